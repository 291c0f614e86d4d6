"""The commands about examinations with every kind of item, several banks, and refusals."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from comity.demo.exam_class import examination_files
from comity.files.qti_package import load_package
from tests.exam_files import BANK, BLUEPRINT

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result

MORE = """\
bank: more-items
author: a-writer
items:
  - id: several
    domain: measures
    level: recall
    stem: Which of these are units of mass?
    options: {a: gram, b: litre, c: kilogram}
    answers: [a, c]
    source: Invented
  - id: pairs
    domain: measures
    level: apply
    stem: Match each measure with its unit.
    lines: {m: mass, v: volume}
    options: {x: kilogram, y: litre}
    matches: {m: x, v: y}
    study: [Invented handbook]
    source: Invented
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "one.yaml").write_text(BANK, encoding="utf-8")
    (tmp_path / "two.yaml").write_text(MORE, encoding="utf-8")
    (tmp_path / "outline.yaml").write_text(BLUEPRINT, encoding="utf-8")
    return tmp_path


def run(*typed: object, told: str | None = None) -> Result:
    environment = {"COMITY_TODAY": "2026-11-25", "COLUMNS": "100"}
    return CliRunner().invoke(app, ["exam", *map(str, typed)], input=told, env=environment)


def banks(folder: Path) -> tuple[object, ...]:
    return ("--bank", folder / "one.yaml", "--bank", folder / "two.yaml")


def outline(folder: Path) -> tuple[object, ...]:
    return ("--blueprint", folder / "outline.yaml")


def test_answers_to_every_kind_of_item_are_marked_by_the_keys(folder: Path) -> None:
    path = folder / "a.csv"
    path.write_text(
        "person,iron-stores,sodium,several,pairs\n"
        "p1,a,2000,a c,m=x v=y\n"
        "p2,b,2001.5,c,m=y v=x\n"
        "p3,c,2001,c a,m=x\n",
        encoding="utf-8",
    )
    found = json.loads(run("figures", path, *banks(folder), "--json").stdout)
    assert {each["id"]: each["right"]["value"] for each in found["items"]} == {
        "iron-stores": 0.333333,
        "sodium": 0.666667,
        "several": 0.666667,
        "pairs": 0.333333,
    }


def test_what_is_no_answer_to_an_item_says_what_would_be(folder: Path) -> None:
    path = folder / "a.csv"
    path.write_text("person,sodium,pairs\np1,many,m=q\n", encoding="utf-8")
    done = run("figures", path, *banks(folder))
    assert done.exit_code == 1
    assert "expected a number, as 1450 or 0.8" in done.stderr
    assert "expected line=option of x, y" in done.stderr


def test_letters_without_a_bank_cannot_be_marked(folder: Path) -> None:
    path = folder / "a.csv"
    path.write_text("person,q1\np1,a\n", encoding="utf-8")
    done = run("figures", path, "--scored")
    assert done.exit_code == 1
    assert "a column right, or --bank with the items" in done.stderr


def test_practice_asks_items_of_every_kind(folder: Path) -> None:
    done = run(
        "practise", "--person", "new", *banks(folder), *outline(folder), "--count", 9,
        told="\n\n\n\n\n",
    )  # fmt: skip
    for said in ("Your answer", "Your number", "All that are right, as a c",
                 "Your matches, as a=x b=y", "  m  mass", "Read: Invented handbook",
                 "There are no more items.", "0 of 0 right."):  # fmt: skip
        assert said in done.stdout


def test_a_wrong_answer_is_told_the_key_of_every_kind(folder: Path) -> None:
    for named, answer, key in (
        ("iron-stores", "c", "a, Ferritin"),
        ("sodium", "1", "2000"),
        ("several", "b", "a, gram, c, kilogram"),
        ("pairs", "m=y v=x", "m=x, v=y"),
    ):
        text = f"{BANK}{MORE.partition('items:')[2][1:]}"
        kept = [part for part in text.split("  - id: ")[1:] if part.startswith(named)]
        path = folder / "only.yaml"
        path.write_text(f"bank: only\nauthor: w\nitems:\n  - id: {kept[0]}", encoding="utf-8")
        done = run(
            "practise", "--person", "new", "--bank", path, *outline(folder), told=f"{answer}\n"
        )
        assert f"Not right: {key}." in done.stdout


def test_the_next_items_are_listed_with_why(folder: Path) -> None:
    done = run("practise", "--person", "new", *banks(folder), *outline(folder), "--list")
    assert "iron-stores (measures): tells most about where you stand." in done.stdout
    assert "That is all there is." in done.stdout


def test_a_bank_without_an_item_of_the_blueprint_gives_no_practice(folder: Path) -> None:
    path = folder / "b.yaml"
    path.write_text(BLUEPRINT.replace("measures, name", "other, name"), encoding="utf-8")
    done = run("practise", "--person", "new", *banks(folder), "--blueprint", path)
    assert done.exit_code == 1
    assert "X507" in done.stderr


def test_files_of_another_sort_are_told_where_they_are_named(folder: Path) -> None:
    assert "X507" in run("practise", "--person", "n", "--bank", folder / "outline.yaml").stderr
    assert "is no blueprint" in run("form", "--blueprint", folder / "one.yaml").stderr
    assert run("bank", folder / "nothing.yaml").exit_code == 1
    assert "an item model here" in run("draw", folder / "one.yaml").stderr
    assert run("draw", folder / "one.yaml", "bmi").exit_code == 2


def test_a_form_says_its_items_by_domain_and_goes_into_a_package(tmp_path: Path) -> None:
    for name, text in examination_files().items():
        (tmp_path / name.partition("/")[2]).write_text(text, encoding="utf-8")
    typed = (
        "form", "--bank", tmp_path / "items.yaml", "--blueprint", tmp_path / "blueprint.yaml",
        "--items", 8, "--slack", 2,
    )  # fmt: skip
    done = run(*typed, "-o", tmp_path / "form.zip")
    assert done.exit_code == 0, done.output
    assert "form: 8 items" in done.stdout
    assert "domain" in done.stdout
    package = load_package(tmp_path / "form.zip")
    assert package.bank is not None
    assert len(package.bank.items) == 8
    run(*typed, "-o", tmp_path / "first.yaml")
    again = run(*typed, "--earlier", tmp_path / "first.yaml", "--shared", 1)
    assert "shared with earlier form 1." in again.stdout
    refused = run(*typed, "--items", 90, "--json")
    assert refused.exit_code == 1
    assert json.loads(refused.stdout)["reasons"]


def test_items_that_packages_cannot_hold_are_told_and_kept(folder: Path) -> None:
    done = run("convert", folder / "two.yaml", folder / "two.zip")
    assert done.exit_code == 0
    assert "warning" in done.stderr
    assert run("convert", folder / "two.zip", folder / "again.zip").exit_code == 0
    assert run("convert", folder / "one.yaml", folder / "copy.yaml").exit_code == 0


def test_broken_files_are_not_converted(folder: Path) -> None:
    (folder / "bad.yaml").write_text("bank: x\n", encoding="utf-8")
    (folder / "bad.csv").write_text("name\nx\n", encoding="utf-8")
    assert run("convert", folder / "bad.yaml", folder / "b.zip").exit_code == 1
    assert run("convert", folder / "bad.csv", folder / "b.parquet").exit_code == 1
    assert run("standard", folder / "bad.csv").exit_code == 1
    assert run("figures", folder / "bad.csv", "--scored").exit_code == 1


def test_a_table_without_an_answer_has_no_figures(folder: Path) -> None:
    path = folder / "a.csv"
    path.write_text("person,q1\np1,\n", encoding="utf-8")
    assert "has no answer in it" in run("figures", path, "--scored").stderr


def test_the_brief_asks_for_the_day_and_the_person(folder: Path) -> None:
    from tests.cli_files import APPLICANT, RULEBOOK  # noqa: PLC0415 - only here

    (folder / "a.yaml").write_text(APPLICANT, encoding="utf-8")
    (folder / "r.yaml").write_text(RULEBOOK, encoding="utf-8")
    path = folder / "a.csv"
    path.write_text("person,iron-stores\np1,a\n", encoding="utf-8")
    typed = ["brief", folder / "a.yaml", "--rulebook", folder / "r.yaml", "-o", folder / "b.pdf",
             "--responses", path, "--tell-readiness", *banks(folder), *outline(folder)]  # fmt: skip

    def brief(*more: str) -> Result:
        environment = {"COMITY_TODAY": "2026-11-25"}
        return CliRunner().invoke(app, [*map(str, typed), *more], env=environment)

    assert brief().exit_code == 2
    assert "X506" in brief("--exam-on", "2027-01-20").stderr
    assert "X507" in brief("--exam-on", "2026-01-20", "--person", "p1").stderr
    few = brief("--exam-on", "2027-01-20", "--person", "p1")
    assert few.exit_code == 0
    assert "stays out of the brief: 1 answer to different items" in few.stderr
