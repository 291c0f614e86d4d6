"""The commands about examinations, typed as a tutor or an adviser would."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from comity.core.exam.readiness_words import CAUTION as CAUTION_FOR_APPLICANTS
from comity.core.exam.readiness_words import WORDS
from comity.demo.exam_class import BAD, examination_files
from comity.files.item_bank import load_bank
from comity.files.responses import load_responses
from tests.exam_files import BANK

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result

TODAY = "2026-11-25"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with the demo's examination in it."""
    for name, text in _examination().items():
        (tmp_path / name.partition("/")[2]).write_text(text, encoding="utf-8")
    return tmp_path


@cache
def _examination() -> dict[str, str]:
    return dict(examination_files())


def run(*typed: object, told: str | None = None) -> Result:
    return CliRunner().invoke(
        app, ["exam", *map(str, typed)], input=told, env={"COMITY_TODAY": TODAY, "COLUMNS": "100"}
    )


def answered(*typed: object) -> Any:  # noqa: ANN401 - anything that JSON has
    done = run(*typed, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def of_class(folder: Path, *more: object) -> tuple[object, ...]:
    return (
        folder / "responses.csv", "--bank", folder / "items.yaml",
        "--blueprint", folder / "blueprint.yaml", *more,
    )  # fmt: skip


# ------------------------------------------------------------------------------- items and banks


def test_a_sound_bank_and_blueprint_have_nothing_to_mend(folder: Path) -> None:
    done = run("check", folder / "items.yaml", folder / "blueprint.yaml", "--no-advice")
    assert done.exit_code == 0
    assert done.stdout == "24 items, 1 blueprint, 0 item models looked at: nothing to mend.\n"


def test_a_mistake_is_told_with_its_line_and_advice_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "items.yaml"
    path.write_text(BANK.replace("answer: a", "answer: z"), encoding="utf-8")
    done = run("check", path)
    assert done.exit_code == 1
    assert f"{path}:9:13: error X202" in done.stdout
    assert "1 thing to mend" in done.stdout


def test_an_item_outside_the_blueprint_is_told(folder: Path) -> None:
    other = folder / "other.yaml"
    other.write_text(BANK, encoding="utf-8")
    done = run("check", other, folder / "blueprint.yaml")
    assert done.exit_code == 1
    assert "X212" in done.stdout


def test_one_id_in_two_banks_is_told(tmp_path: Path) -> None:
    for name in ("one.yaml", "two.yaml"):
        (tmp_path / name).write_text(BANK, encoding="utf-8")
    found = json.loads(run("check", tmp_path, "--json", "--no-advice").stdout)
    assert [each["code"] for each in found["problems"]] == ["X204", "X204"]


def test_the_overview_counts_items(folder: Path) -> None:
    found = answered("bank", folder / "items.yaml")
    assert found["items"] == 24
    assert found["by_domain"] == {"units": 6, "recipes": 6, "labels": 6, "stores": 6}
    assert sum(found["by_level"].values()) == 24
    assert "By domain:" in run("bank", folder / "items.yaml").stdout


def test_the_same_seed_draws_the_same_items() -> None:
    one, two, other = (answered("draw", "bmi", "--seed", seed) for seed in (3, 3, 4))
    assert one == two != other
    assert sum(option["is_key"] for option in one[0]["options"]) == 1
    assert one[0]["cautions"]
    assert "Not for patient care" in run("draw", "bmi").stdout


def test_items_drawn_into_a_file_can_be_read_as_a_bank(tmp_path: Path) -> None:
    path = tmp_path / "drawn.yaml"
    assert run("draw", "bmi", "--count", 2, "-o", path).exit_code == 0
    loaded = load_bank(path)
    assert loaded.is_sound
    assert loaded.value is not None
    assert len(loaded.value.items) == 2


def test_models_have_to_be_named_and_known() -> None:
    assert run("draw").exit_code == 2
    done = run("draw", "body-mass")
    assert done.exit_code == 1
    assert "X508" in done.stderr


# --------------------------------------------------------------------------------------- convert


def test_answers_come_back_from_parquet_as_they_were(folder: Path) -> None:
    assert run("convert", folder / "responses.csv", folder / "a.parquet").exit_code == 0
    assert run("convert", folder / "a.parquet", folder / "b.csv").exit_code == 0
    assert (folder / "b.csv").read_bytes() == (folder / "responses.csv").read_bytes()


def test_items_come_back_from_a_package_as_they_were(folder: Path) -> None:
    assert run("convert", folder / "items.yaml", folder / "items.zip").exit_code == 0
    assert run("convert", folder / "items.zip", folder / "back.yaml").exit_code == 0
    before, after = load_bank(folder / "items.yaml").value, load_bank(folder / "back.yaml").value
    assert before is not None
    assert after is not None
    assert after.items == before.items


def test_a_broken_package_is_told_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "a.zip").write_bytes(b"PK\x03\x04 and then nothing")
    done = run("convert", tmp_path / "a.zip", tmp_path / "a.yaml")
    assert done.exit_code == 1
    assert "Traceback" not in done.output
    assert not (tmp_path / "a.yaml").exists()


def test_items_do_not_become_answers(folder: Path) -> None:
    assert run("convert", folder / "items.yaml", folder / "a.csv").exit_code == 2


# ----------------------------------------------------------------------------------------- forms


def test_parallel_forms_share_no_item_and_keep_the_domains(folder: Path) -> None:
    found = answered(
        "form", "--bank", folder / "items.yaml", "--blueprint", folder / "blueprint.yaml",
        "--forms", 2, "--items", 8, "--slack", 2, "-o", folder / "form.yaml",
    )  # fmt: skip
    one, two = ({*form["items"]} for form in found["forms"])
    assert not one & two
    assert [len(one), len(two)] == [8, 8]
    for name in ("form-1.yaml", "form-2.yaml"):
        bank = load_bank(folder / name).value
        assert bank is not None
        domains = [item.domain for item in bank.items]
        assert {each: domains.count(each) for each in domains} == dict.fromkeys(
            ("units", "recipes", "labels", "stores"), 2
        )


def test_a_form_that_cannot_be_is_refused_by_naming_what_is_short(folder: Path) -> None:
    done = run(
        "form", "--bank", folder / "items.yaml", "--blueprint", folder / "blueprint.yaml",
        "--items", 40, "--slack", 20, "-o", folder / "form.yaml",
    )  # fmt: skip
    assert done.exit_code == 1
    assert "10 items of units" in done.stdout
    assert not (folder / "form.yaml").exists()


def test_forms_go_into_files_of_items_only(folder: Path) -> None:
    assert run("form", "--bank", folder / "items.yaml", "-o", folder / "f.pdf").exit_code == 2
    assert run("form", "--leave-aside", "domains").exit_code == 2


# --------------------------------------------------------------------------------------- figures


def test_the_figures_of_the_demo_name_the_bad_items(folder: Path) -> None:
    found = answered("figures", folder / "responses.csv", "--bank", folder / "items.yaml")
    assert {each["item"] for each in found["look_at"]} == set(BAD)
    said = run("figures", folder / "responses.csv", "--bank", folder / "items.yaml").stdout
    assert all(item in said.partition("Items:")[0] for item in BAD)


def test_a_table_of_ones_and_noughts_needs_no_bank(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("person,q1,q2\np1,1,1\np2,1,0\np3,1,1\n", encoding="utf-8")
    found = answered("figures", path, "--scored")
    assert [item["right"]["value"] for item in found["items"]] == [1, 0.666667]
    assert found["items"][0]["item_rest"]["value"] is None


@pytest.mark.parametrize(
    "rows",
    [
        "\n".join(f"p{n},1,1,1" for n in range(12)),
        "\n".join(f"p{n},0,0,0" for n in range(12)),
        "p1,1,0,1",
        "p1,,,\np2,1,,",
    ],
    ids=["all right", "all wrong", "one person", "hardly anything"],
)
def test_odd_classes_get_a_stated_fallback(rows: str, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text(f"person,q1,q2,q3\n{rows}\n", encoding="utf-8")
    done = run("figures", path, "--scored")
    assert done.exit_code == 0, done.output
    assert "nan" not in done.stdout.casefold()
    assert "What is odd, and what is done about it:" in done.stdout


def test_an_answer_to_an_unknown_item_is_told_with_its_place(folder: Path) -> None:
    path = folder / "a.csv"
    path.write_text("person,item,answer\np1,grams-in-kilogram,a\n", encoding="utf-8")
    done = run("figures", path, "--bank", folder / "items.yaml")
    assert done.exit_code == 1
    assert f"{path}:2:22: error X504" in done.stderr
    assert "grams-in-kilograms" in done.stderr


def test_figures_are_drawn_where_there_are_enough_people(folder: Path) -> None:
    run("figures", folder / "responses.csv", "--bank", folder / "items.yaml",
        "--chart", folder / "o.svg")  # fmt: skip
    assert (folder / "o.svg").read_text(encoding="utf-8").startswith("<svg")


# -------------------------------------------------------------------------------------- standard


def test_the_pass_mark_and_its_error_are_those_of_the_worked_example(tmp_path: Path) -> None:
    # Exact arithmetic: sums of the raters 2.6, 2.6, 2.7, so 2.63333 with error 0.03333.
    path = tmp_path / "r.csv"
    path.write_text(
        "judge,q1,q2,q3,q4\na,0.6,0.7,0.8,0.5\nb,0.5,0.8,0.7,0.6\nc,0.7,0.6,0.9,0.5\n",
        encoding="utf-8",
    )
    found = answered("standard", path)
    assert found["cut"] == pytest.approx(2.63333, abs=1e-5)
    assert found["standard_error"] == pytest.approx(0.03333, abs=1e-5)
    assert "Pass mark: 2.63 of 4 right" in run("standard", path).stdout


def test_one_judge_has_no_error_and_no_rating_no_pass_mark(tmp_path: Path) -> None:
    path = tmp_path / "r.csv"
    path.write_text("judge,q1\na,0.6\n", encoding="utf-8")
    assert "No standard error" in run("standard", path).stdout
    path.write_text("judge,q1,q2\na,0.6,\nb,0.5,\n", encoding="utf-8")
    done = run("standard", path)
    assert done.exit_code == 1
    assert "no judge rated item 2" in done.stderr
    path.write_text("judge,q1,q2\na,0.6,\nb,,0.5\n", encoding="utf-8")
    assert "No pass mark" in run("standard", path, "--missing", "complete").stdout


# ------------------------------------------------------------------------------------- readiness


def test_readiness_stands_beside_the_plain_share_and_says_what_it_rests_on(folder: Path) -> None:
    found = answered(
        "ready", *of_class(folder, "--person", "p07", "--on", "2027-01-20", "--hours-a-week", 4)
    )
    now, studied = found["readiness"], found["with_study"]
    assert 0 < now["low"] < now["p_pass"] < now["high"] < 1
    assert studied["p_pass"] > now["p_pass"]
    assert now["benchmark"]["p_pass"] is not None
    assert now["rests_on"]["different_items"] == 24
    assert sum(week["minutes"] for week in found["study_plan"]["weeks"]) == sum(
        found["study_plan"]["minutes"].values()
    )


def test_readiness_is_told_in_sentences_with_its_caution(folder: Path) -> None:
    done = run(
        "ready", *of_class(folder, "--person", "p07", "--on", "2027-01-20", "--hours-a-week", 4,
                           "--or-on", "2027-03-17", "--fee", 240, "--ics", folder / "s.ics",
                           "--chart", folder / "r.svg"),
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    for said in ("the chance of passing is", "By the share of right answers alone", "It rests on",
                 "Study plan:", "noise", "2027-03-17 first", "not a promise"):  # fmt: skip
        assert said in done.stdout
    calendar = (folder / "s.ics").read_text(encoding="utf-8")
    assert calendar.count("BEGIN:VEVENT") > 20
    assert "SUMMARY:Examination" in calendar
    assert "<svg" in (folder / "r.svg").read_text(encoding="utf-8")
    assert "<svg" in (folder / "r-weeks.svg").read_text(encoding="utf-8")


def test_real_results_correct_the_chance_and_it_is_said(folder: Path) -> None:
    path = folder / "results.csv"
    asked = of_class(folder, "--person", "p07", "--on", "2027-01-20")
    plain = answered("ready", *asked)["readiness"]
    rows = [f"p{n:02},2026-11-25,no" for n in range(1, 37)]
    path.write_text("\n".join(["person,day,passed", *rows]), encoding="utf-8")
    found = answered("ready", *asked, "--results", path)["readiness"]
    assert found["rests_on"]["results"] >= 30
    assert found["p_pass"] < plain["p_pass"]
    assert plain["rests_on"]["results"] == 0
    said = " ".join(run("ready", *asked, "--results", path).stdout.split())
    assert f"corrected by {found['rests_on']['results']} real results, of the 36 that" in said


def test_too_few_or_broken_results_are_told(folder: Path) -> None:
    path = folder / "results.csv"
    asked = of_class(folder, "--person", "p07", "--on", "2027-01-20", "--results", path)
    path.write_text("person,day,passed\np07,2026-11-25,no\n", encoding="utf-8")
    said = " ".join(run("ready", *asked).stdout.split())
    assert "Real results correct the chance from 30 people on" in said
    path.write_text("person,day,passed\np07,2026-11-25,perhaps\n", encoding="utf-8")
    done = run("ready", *asked)
    assert done.exit_code == 1
    assert f"{path}:2:16: error X511" in done.stderr


def test_too_little_practice_gets_a_range_and_its_reasons(folder: Path) -> None:
    path = folder / "few.csv"
    path.write_text(
        "person,item,answer,on\nnew,degrees,c,2026-11-20\nnew,use-by,c,2026-11-20\n",
        encoding="utf-8",
    )
    done = run("ready", path, "--bank", folder / "items.yaml", "--blueprint",
               folder / "blueprint.yaml", "--person", "new", "--on", "2027-01-20")  # fmt: skip
    assert "too early for one figure" in done.stdout
    assert "a chance needs 20" in done.stdout


@pytest.mark.parametrize(
    ("more", "status", "said"),
    [
        (("--person", "nobody", "--on", "2027-01-20"), 1, "X506"),
        (("--person", "p07", "--on", "2026-01-20"), 1, "X507"),
        (("--person", "p07", "--on", "soon"), 2, "--on"),
        (("--person", "p07", "--on", "2027-01-20", "--fee", "much"), 2, "--fee"),
    ],
)
def test_what_cannot_be_asked_is_told(
    more: tuple[str, ...], status: int, said: str, folder: Path
) -> None:
    done = run("ready", *of_class(folder, *more))
    assert done.exit_code == status
    assert said in done.stderr
    assert "Traceback" not in done.output


# -------------------------------------------------------------------------------------- practise


def test_practice_asks_explains_and_keeps_the_answers(folder: Path) -> None:
    kept = folder / "kept.csv"
    done = run(
        "practise", "--person", "new", "--bank", folder / "items.yaml", "--blueprint",
        folder / "blueprint.yaml", "--count", 3, "--keep", kept, told="c\nz\nb\n",
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    assert "there is no option 'z'" in done.stdout
    assert "Not for patient care" in done.stdout
    assert "of 2 right." in done.stdout
    loaded = load_responses(kept)
    assert loaded.is_sound
    assert [(each.person, each.answer) for each in loaded.given] == [("new", "c"), ("new", "b")]


def test_practice_turns_to_what_is_about_to_be_forgotten(folder: Path) -> None:
    turns = answered("practise", *of_class(folder, "--person", "p07", "--count", 5))
    assert len(turns) == 5
    assert {turn["why"] for turn in turns} == {"about to be forgotten"}


def test_nothing_is_given_twice_to_somebody_new(folder: Path) -> None:
    turns = answered(
        "practise", "--person", "new", "--bank", folder / "items.yaml", "--blueprint",
        folder / "blueprint.yaml", "--count", 40,
    )  # fmt: skip
    assert len({turn["item"] for turn in turns}) == len(turns) == 24


# ----------------------------------------------------------------------------------------- brief


def brief(folder: Path, *more: object) -> Result:
    (folder / "a.yaml").write_text(
        "applicant: p07\nname: Amara N.\nfacts:\n  person: {born: 1990-05-06}\n", encoding="utf-8"
    )
    from tests.cli_files import RULEBOOK  # noqa: PLC0415 - only here

    (folder / "r.yaml").write_text(RULEBOOK, encoding="utf-8")
    typed = ["brief", folder / "a.yaml", "--rulebook", folder / "r.yaml", "-o", folder / "b.pdf",
             "--responses", folder / "responses.csv", "--bank", folder / "items.yaml",
             "--blueprint", folder / "blueprint.yaml", *more]  # fmt: skip
    return CliRunner().invoke(app, list(map(str, typed)), env={"COMITY_TODAY": TODAY})


def test_the_brief_tells_readiness_only_where_the_office_does(folder: Path) -> None:
    silent = brief(folder, "--exam-on", "2027-01-20")
    assert silent.exit_code == 0, silent.output
    assert "Readiness stays out of the brief" in silent.stderr
    size = (folder / "b.pdf").stat().st_size
    told = brief(folder, "--exam-on", "2027-01-20", "--tell-readiness", "--hours-a-week", 4)
    assert told.exit_code == 0, told.output
    assert "stays out" not in told.stderr
    assert (folder / "b.pdf").stat().st_size > size


def test_what_applicants_are_told_never_goes_without_its_caution() -> None:
    assert {words.caution for words in WORDS.values()} == {CAUTION_FOR_APPLICANTS}


# ----------------------------------------------------------------------------------------- start


def test_matrices_are_worked_on_by_one_thread_unless_said_otherwise() -> None:
    code = "import os, comity.cli.main; print(os.environ['OPENBLAS_NUM_THREADS'])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                          env={})  # fmt: skip
    assert done.stdout.strip() == "1"


def test_help_of_the_group_loads_no_figures() -> None:
    code = (
        "import sys, comity.cli.exam\n"
        "assert not [name for name in sys.modules if name.startswith(('scipy', 'pyarrow'))]"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
