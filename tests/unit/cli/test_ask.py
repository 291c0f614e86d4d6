"""An interview on a terminal, as it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from comity.files.applicants import load_applicant
from comity.service.demo import lay_out
from tests.cli_files import APPLICANT, RULEBOOK

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result

    from comity.core.facts.model import Applicant

OTHER_TITLE = RULEBOOK.partition("titles:\n")[2].replace("dietitian", "nurse")


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "demo").folder


@pytest.fixture
def small(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder with one rulebook that asks for an age only."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rules.yaml").write_text(RULEBOOK, encoding="utf-8")
    return tmp_path


def interview(
    *typed: str, path: str | Path = "new.yaml", rules: str | Path = "rules.yaml"
) -> Result:
    lines = "".join(f"{line}\n" for line in typed)
    arguments = ["ask", str(path), "--rulebook", str(rules), "--today", "2026-11-25"]
    return CliRunner().invoke(app, arguments, input=lines)


def of_titilope(demo: Path, *typed: str) -> Result:
    """Interview somebody of whom nearly nothing is known, about one title."""
    path = str(demo / "applicants" / "titilope.yaml")
    arguments = ["ask", path, "--rulebook", str(demo / "rulebooks")]
    options = ["--title", "xa-council/provisional", "--today", "2026-11-25"]
    lines = "".join(f"{line}\n" for line in typed)
    return CliRunner().invoke(app, [*arguments, *options], input=lines)


def kept(path: Path) -> Applicant:
    found = load_applicant(path).applicant
    assert found is not None
    return found


def test_the_one_question_is_asked_and_its_answer_settles_the_title(small: Path) -> None:
    result = interview("3 May 1990")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "  Kept: 3 May 1990.\n" in result.stdout
    assert "✓ Dietitian, Council of Xandria: met\n" in result.stdout
    assert str(kept(small / "new.yaml").facts.person.born) == "1990-05-03"


def test_a_file_with_everything_known_is_asked_nothing(small: Path) -> None:
    (small / "new.yaml").write_text(APPLICANT, encoding="utf-8")
    result = interview()
    assert result.exit_code == 0
    assert "> " not in result.stdout
    assert "✓ Dietitian, Council of Xandria: met\n" in result.stdout
    assert (small / "new.yaml").read_text(encoding="utf-8") == APPLICANT


@pytest.mark.parametrize("word", ["stop", "quit", "EXIT", " q "])
def test_one_may_leave_at_any_time(word: str, small: Path) -> None:
    result = interview(word)
    assert result.exit_code == 0
    assert result.stdout.endswith("\nNothing was changed.\n")
    assert not (small / "new.yaml").exists()


@pytest.mark.parametrize("word", ["?", "", "I don't know", "not sure"])
def test_not_to_know_is_an_answer_and_ends_the_question(word: str, small: Path) -> None:
    result = interview(word)
    assert "  Kept: you do not know.\n" in result.stdout
    assert "? Dietitian, Council of Xandria: unknown\n" in result.stdout
    assert kept(small / "new.yaml").asked == ("person/born",)


def test_what_was_not_understood_is_asked_again(small: Path) -> None:
    result = interview("long ago", "3 May 1990")
    assert result.stdout.count("  That was not understood: write a day as 3 May 2019") == 1
    assert "✓ Dietitian" in result.stdout


def test_an_answer_may_be_taken_back_and_given_anew(demo: Path) -> None:
    before = (demo / "applicants" / "titilope.yaml").read_text(encoding="utf-8")
    result = of_titilope(demo, "Lagos Clinic", "back", "stop")
    assert "  Kept: Lagos Clinic.\n" in result.stdout
    assert "  Taken back.\n" in result.stdout
    assert result.stdout.endswith("\nNothing was changed.\n")
    assert (demo / "applicants" / "titilope.yaml").read_text(encoding="utf-8") == before


def test_before_the_first_answer_there_is_none_to_take_back(demo: Path) -> None:
    result = of_titilope(demo, "back", "stop")
    assert "  There is no answer to take back yet.\n" in result.stdout


@pytest.mark.parametrize(
    ("answer", "names"),
    [("yes", ["Ward", "Clinic"]), ("n", ["Ward and Clinic"])],
)
def test_a_list_that_can_be_read_in_two_ways_is_asked_about(
    answer: str, names: list[str], demo: Path
) -> None:
    result = of_titilope(demo, "Ward and Clinic", answer, "stop")
    assert "Are these 2: Ward; Clinic? Write yes; no if it is one." in result.stdout
    practice = kept(demo / "applicants" / "titilope.yaml").facts.practice
    assert practice is not None
    assert [each.employer for each in practice] == names


def test_a_doubt_that_is_not_settled_brings_the_question_again(demo: Path) -> None:
    result = of_titilope(demo, "Ward and Clinic", "perhaps", "stop")
    assert "  Please answer the question again.\n" in result.stdout
    assert kept(demo / "applicants" / "titilope.yaml").facts.practice is None


def test_a_choice_is_kept_by_what_its_number_stands_for(demo: Path) -> None:
    result = of_titilope(demo, "none", "1", "stop")
    assert "  Kept: none.\n" in result.stdout
    assert "  Kept: Halvenian for Health Professionals.\n" in result.stdout
    text = (demo / "applicants" / "titilope.yaml").read_text(encoding="utf-8")
    assert "test: Halvenian for Health Professionals" in text


@pytest.mark.parametrize(
    ("typed", "told"), [(("a",), "1 answer is"), (("a", "none"), "2 answers are")]
)
def test_who_leaves_is_told_how_many_answers_are_kept(
    typed: tuple[str, ...], told: str, demo: Path
) -> None:
    path = demo / "applicants" / "titilope.yaml"
    result = of_titilope(demo, *typed, "stop")
    assert result.stdout.endswith(f"\n{told} kept in {path}. Type the same command to go on.\n")


def test_with_several_titles_it_says_how_many_are_open(small: Path) -> None:
    (small / "rules.yaml").write_text(RULEBOOK + OTHER_TITLE, encoding="utf-8")
    result = interview("stop")
    assert " 2 of 2 titles are open.\n" in result.stdout.replace("\n  ", " ")


def test_problems_of_both_files_are_told_together(small: Path) -> None:
    (small / "new.yaml").write_text("- a\n", encoding="utf-8")
    result = interview(rules="nowhere.yaml")
    assert (result.exit_code, result.stdout) == (1, "")
    assert [line.split(":")[0] for line in result.stderr.splitlines() if "error F" in line] == [
        "new.yaml",
        "nowhere.yaml",
    ]
