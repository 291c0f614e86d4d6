"""The commands ``comity rulebook check|show|diff|schema``."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from comity.cli.rulebook import app
from comity.files.schema import as_editors_see
from comity.files.yaml import read_tree

ASSETS = Path(__file__).parents[2] / "assets"
EVERY_KIND = ASSETS / "rulebooks" / "every-kind.yaml"
BAD = ASSETS / "bad"
RUNNER = CliRunner()


def run(*arguments: object) -> tuple[int, str, str]:
    """Return exit status, output and errors of a command."""
    result = RUNNER.invoke(app, [str(each) for each in arguments])
    return result.exit_code, result.stdout, result.stderr


# ------------------------------------------------------------------------------------- check


def test_a_good_rulebook_has_nothing_to_mend() -> None:
    assert run("check", EVERY_KIND, "--today", "2026-11-25") == (
        0,
        "1 edition and 1 worked case looked at: nothing to mend.\n",
        "",
    )


def test_errors_give_status_1_and_are_counted(tmp_path: Path) -> None:
    text = (BAD / "R116.yaml").read_text("utf-8").replace("2026-05-01", "2020-05-01")
    (tmp_path / "a.yaml").write_text(text, encoding="utf-8")
    status, printed, _ = run("check", tmp_path, "--today", "2026-11-25")
    assert status == 1
    assert "a.yaml:16:42: error R116: no requirement has this id\n" in printed
    assert printed.endswith(
        "\n1 edition and 0 worked cases looked at: 2 things to mend, 1 warning.\n"
    )


def test_warnings_alone_give_status_0() -> None:
    status, printed, _ = run("check", BAD / "R107.yaml", "--today", "2026-11-25")
    assert status == 0
    assert printed.endswith("looked at: nothing to mend, 1 warning.\n")


def test_a_check_answers_as_json() -> None:
    status, printed, _ = run("check", BAD / "R150.yaml", "--json", "--today", "2026-11-25")
    data = json.loads(printed)
    assert (status, data["editions"], data["cases"]) == (1, 1, 1)
    assert [(each["code"], each["line"]) for each in data["problems"]] == [
        ("R150", 23),
        ("R150", 24),
    ]


def test_the_day_may_come_from_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COMITY_TODAY", "2040-01-01")
    assert "1 warning" in run("check", EVERY_KIND)[1]


def test_without_a_day_the_clock_is_asked() -> None:
    status, printed, _ = run("check", EVERY_KIND)
    assert (status, printed.splitlines()[-1].startswith("1 edition")) == (0, True)


def test_a_day_that_is_none_is_wrong_usage() -> None:
    status, _, errors = run("check", EVERY_KIND, "--today", "2026-02-31")
    assert status == 2
    assert "'2026-02-31' is no day; write year-month-day, as 2026-11-25" in errors


# -------------------------------------------------------------------------------------- show


def test_an_edition_is_printed_as_it_is_kept_in_the_assets() -> None:
    """Renew with ``COLUMNS=100 comity rulebook show EDITION > FILE``, and read what changed."""
    kept = (ASSETS / "shown" / "every-kind.txt").read_text("utf-8")
    assert run("show", EVERY_KIND, "--today", "2026-11-25") == (0, kept, "")


def test_a_stale_edition_is_marked_beside_its_text() -> None:
    status, printed, errors = run("show", EVERY_KIND, "--today", "2027-05-02")
    assert (status, printed.startswith("Council of Dietitians of Xandria")) == (0, True)
    assert "warning R107: the edition has been stale since 2027-05-02" in errors


def test_lines_keep_within_the_terminal() -> None:
    printed = run("show", EVERY_KIND)[1]
    assert max(len(line) for line in printed.splitlines()) <= 100


def test_several_editions_are_printed_one_after_the_other(tmp_path: Path) -> None:
    for year in ("2026", "2027"):
        text = (BAD / "R107.yaml").read_text("utf-8").replace("2026", year)
        (tmp_path / f"{year}.yaml").write_text(text, encoding="utf-8")
    status, printed, errors = run("show", tmp_path)
    assert status == 0
    assert re.findall("Council of Xandria, edition (.+)", printed) == ["2026", "2027"]
    assert "warning R104" in errors


def test_a_broken_rulebook_is_not_shown() -> None:
    status, printed, errors = run("show", BAD / "R116.yaml")
    assert (status, printed) == (1, "")
    assert "error R116" in errors


def test_editions_are_shown_as_json() -> None:
    status, printed, _ = run("show", EVERY_KIND, "--json")
    (data,) = json.loads(printed)
    assert (status, data["edition"], len(data["sections"])) == (0, "2026", 13)


# -------------------------------------------------------------------------------------- diff


@pytest.fixture
def newer(tmp_path: Path) -> Path:
    """Return an edition which asks less and was read again."""
    text = EVERY_KIND.read_text("utf-8").replace("amount: 24 months", "amount: 18 months")
    path = tmp_path / "2027.yaml"
    path.write_text(text.replace("read: 2026-05-01", "read: 2026-11-01"), encoding="utf-8")
    return path


def test_changes_are_told_in_sentences(newer: Path) -> None:
    assert run("diff", EVERY_KIND, newer) == (
        0,
        (
            "Recent practice: the amount goes from 24 months to 18 months (applications from"
            " 2026-01-01).\n"
            "\n"
            "Sources and days of reading:\n"
            "The edition: the day of reading goes from 2026-05-01 to 2026-11-01.\n"
        ),
        "",
    )


def test_no_change_is_said_too() -> None:
    assert run("diff", EVERY_KIND, EVERY_KIND) == (0, "Nothing that is asked has changed.\n", "")


def test_changes_are_told_as_json(newer: Path) -> None:
    status, printed, _ = run("diff", EVERY_KIND, newer, "--json")
    assert status == 0
    assert [each["sort"] for each in json.loads(printed)] == ["changed", "source"]


@pytest.fixture
def clients(tmp_path: Path) -> Path:
    """Return a folder with one applicant."""
    folder = tmp_path / "clients"
    folder.mkdir()
    lines = (
        "applicant: ada",
        "name: Ada Near",
        "facts: {person: {born: 1980-01-01}}",
    )
    (folder / "ada.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def _two_ages(folder: Path, *, title: str = "dietitian") -> tuple[Path, Path]:
    text = (BAD / "R141.yaml").read_text("utf-8").replace("22a5", "2265")
    old, new = folder / "old.yaml", folder / "new.yaml"
    old.write_text(text.replace("21 years", "60 years"), encoding="utf-8")
    new.write_text(text.replace("id: dietitian", f"id: {title}"), encoding="utf-8")
    return old, new


def test_applicants_whose_answer_changes_are_named(tmp_path: Path, clients: Path) -> None:
    old, new = _two_ages(tmp_path)
    status, printed, errors = run("diff", old, new, "--applicants", clients, "--on", "2026-12-01")
    assert (status, errors) == (0, "")
    assert printed == (
        "Age: the lowest age goes from 60 years to 21 years (applications from 2026-01-01).\n"
        "\n"
        "Whose answer changes, handed in on 2026-12-01 (1 applicant looked at):\n"
        "  · Ada Near (ada) as Dietitian: before not met, now met.\n"
        "    · Age: before not met, now met: 46 years old.\n"
    )


def test_nobody_concerned_is_said_too(clients: Path) -> None:
    printed = run("diff", EVERY_KIND, EVERY_KIND, "--applicants", clients, "--on", "2026-12-01")[1]
    assert printed.endswith(
        "\n\nNobody's answer changes, handed in on 2026-12-01 (1 applicant looked at).\n"
    )


def test_titles_that_come_and_go_are_said(tmp_path: Path, clients: Path) -> None:
    old, new = _two_ages(tmp_path, title="nutritionist")
    printed = run("diff", old, new, "--applicants", clients, "--today", "2026-12-01")[1]
    assert "  · Ada Near (ada) as Dietitian: the title is new, met.\n" in printed
    assert "as Dietitian: the title is no longer there, before not met.\n" in printed


@pytest.mark.parametrize("option", ["--on", "--today"])
def test_a_day_that_is_none_is_refused_though_nobody_is_looked_at(option: str) -> None:
    status, printed, errors = run("diff", EVERY_KIND, EVERY_KIND, option, "soon")
    assert (status, printed) == (2, "")
    assert f"Invalid value for {option}: 'soon' is no day" in errors


def test_applicants_concerned_are_told_as_json(tmp_path: Path, clients: Path) -> None:
    old, new = _two_ages(tmp_path)
    printed = run("diff", old, new, "--json", "--applicants", clients, "--on", "2026-12-01")[1]
    data = json.loads(printed)
    assert [each["sort"] for each in data["changes"]] == ["changed"]
    assert [each["applicant"] for each in data["affected"]["applicants"]] == ["ada"]


def test_a_broken_applicant_file_gives_status_1(clients: Path) -> None:
    (clients / "ada.yaml").write_text("applicnt: ada\n", encoding="utf-8")
    status, printed, errors = run("diff", EVERY_KIND, EVERY_KIND, "--applicants", clients)
    assert (status, printed) == (1, "")
    assert "applicnt" in errors


def test_what_cannot_be_compared_gives_status_1(tmp_path: Path) -> None:
    status, printed, errors = run("diff", EVERY_KIND, tmp_path)
    assert (status, printed) == (1, "")
    assert "error R101: no rulebook stands in the folder" in errors


# ------------------------------------------------------------------------------------ schema


def test_the_schema_takes_a_good_rulebook_and_refuses_a_slip() -> None:
    """The independent validator is jsonschema."""
    validator = Draft202012Validator(json.loads(run("schema")[1]))
    text = EVERY_KIND.read_text("utf-8")
    for written, is_good in ((text, True), (text.replace("look_back", "lookback"), False)):
        node, _ = read_tree(written, "x.yaml")
        assert node is not None
        assert validator.is_valid(as_editors_see(node)) is is_good


def test_the_schema_of_applicants_is_another(tmp_path: Path) -> None:
    schema = json.loads(run("schema", "--applicant")[1])
    validator = Draft202012Validator(schema)
    assert list(validator.iter_errors({"applicant": "amara-n"})) == []
    assert [error.validator for error in validator.iter_errors({"applicnt": "amara-n"})] != []
