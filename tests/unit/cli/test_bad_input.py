"""Whatever is wrong with the files: one message, status 1, no answer, nothing written."""

from __future__ import annotations

import json
import os
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from tests.cli_files import APPLICANT, BAD_APPLICANTS, BAD_RULEBOOKS, LEFT_TO_THE_COUNCIL, RULEBOOK

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from typer.testing import Result

TODAY = ("--today", "2026-11-25")
COMMANDS: dict[str, Sequence[str]] = {
    "assess": ("assess",),
    "brief": ("brief", "-o", "out.pdf"),
    "discretion": ("discretion", "--title", "dietitian", "-o", "out.txt"),
    "ask": ("ask",),
}


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(APPLICANT, encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(RULEBOOK, encoding="utf-8")
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(app, [*arguments, *TODAY])


def assert_refused(result: Result, code: str, *, left: Path, kept: int) -> None:
    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr.count("error ") == 1
    assert f": error {code}: " in result.stderr
    assert "Traceback" not in result.stderr
    assert isinstance(result.exception, SystemExit)
    assert len(list(left.iterdir())) == kept


@pytest.mark.parametrize("command", COMMANDS.values(), ids=COMMANDS.keys())
@pytest.mark.parametrize(("content", "code"), BAD_APPLICANTS.values(), ids=BAD_APPLICANTS.keys())
def test_a_bad_applicant_file_is_refused(
    command: Sequence[str], content: bytes, code: str, folder: Path
) -> None:
    (folder / "bad.yaml").write_bytes(content)
    name, *options = command
    result = run(name, "bad.yaml", "--rulebook", "rules.yaml", *options)
    assert_refused(result, code, left=folder, kept=3)
    assert (folder / "bad.yaml").read_bytes() == content


@pytest.mark.parametrize("command", COMMANDS.values(), ids=COMMANDS.keys())
@pytest.mark.parametrize(("content", "code"), BAD_RULEBOOKS.values(), ids=BAD_RULEBOOKS.keys())
def test_a_bad_rulebook_is_refused(
    command: Sequence[str], content: bytes, code: str, folder: Path
) -> None:
    (folder / "bad.yaml").write_bytes(content)
    name, *options = command
    result = run(name, "good.yaml", "--rulebook", "bad.yaml", *options)
    assert_refused(result, code, left=folder, kept=3)


def test_a_byte_order_mark_does_no_harm(folder: Path) -> None:
    (folder / "marked.yaml").write_bytes(b"\xef\xbb\xbf" + APPLICANT.encode())
    result = run("assess", "marked.yaml", "--rulebook", "rules.yaml")
    assert (result.exit_code, result.stderr) == (0, "")


@pytest.mark.parametrize("name", ["brief", "discretion", "assess"])
def test_a_missing_file_is_named(name: str, folder: Path) -> None:
    options = ("--title", "dietitian") if name == "discretion" else ()
    result = run(name, "nowhere.yaml", "--rulebook", "rules.yaml", *options)
    assert_refused(result, "F111", left=folder, kept=2)
    assert result.stderr.startswith("nowhere.yaml: ")


def test_a_missing_rulebook_is_named(folder: Path) -> None:
    result = run("assess", "good.yaml", "--rulebook", "nowhere")
    assert_refused(result, "F111", left=folder, kept=2)
    assert result.stderr.startswith("nowhere: ")


def test_a_folder_given_as_an_applicant_is_refused(folder: Path) -> None:
    (folder / "people").mkdir()
    result = run("assess", "people", "--rulebook", "rules.yaml")
    assert_refused(result, "F111", left=folder, kept=3)


@pytest.mark.parametrize("name", ["brief", "discretion"])
def test_output_that_cannot_be_written_is_told(name: str, folder: Path) -> None:
    options = ("--title", "dietitian") if name == "discretion" else ()
    (folder / "rules.yaml").write_text(LEFT_TO_THE_COUNCIL, encoding="utf-8")
    result = run(name, "good.yaml", "--rulebook", "rules.yaml", *options, "-o", "no/out.pdf")
    assert_refused(result, "F113", left=folder, kept=2)
    assert result.stderr.startswith("no/out.pdf: ")


@pytest.mark.parametrize("name", ["brief", "discretion"])
def test_the_file_that_is_read_is_never_written_over(name: str, folder: Path) -> None:
    options = ("--title", "dietitian") if name == "discretion" else ()
    result = run(name, "good.yaml", "--rulebook", "rules.yaml", *options, "-o", "./good.yaml")
    assert result.exit_code == 2
    assert "good.yaml is the file that is read; name another one." in result.stderr
    assert (folder / "good.yaml").read_text(encoding="utf-8") == APPLICANT


def test_all_problems_of_all_files_are_told_in_one_run(folder: Path) -> None:
    (folder / "one.yaml").write_text("- a\n", encoding="utf-8")
    (folder / "two.yaml").write_text("", encoding="utf-8")
    result = run("assess", "one.yaml", "two.yaml", "--rulebook", "rules.yaml")
    assert [line.split(":")[0] for line in result.stderr.splitlines() if "error F" in line] == [
        "one.yaml",
        "two.yaml",
    ]


def test_problems_come_as_json_where_json_is_asked_for() -> None:
    result = run("assess", "nowhere.yaml", "--rulebook", "rules.yaml", "--json")
    assert (result.exit_code, result.stdout) == (1, "")
    (problem,) = json.loads(result.stderr)["problems"]
    assert (problem["code"], problem["file"], problem["line"]) == ("F111", "nowhere.yaml", None)


def test_two_files_of_one_applicant_are_refused(folder: Path) -> None:
    (folder / "copy.yaml").write_text(APPLICANT, encoding="utf-8")
    result = run("assess", "good.yaml", "copy.yaml", "--rulebook", "rules.yaml")
    assert_refused(result, "E101", left=folder, kept=3)


def test_a_file_named_twice_is_assessed_twice(folder: Path) -> None:
    result = run("assess", "good.yaml", f"{folder}{os.sep}good.yaml", "--rulebook", "rules.yaml")
    assert result.exit_code == 0


def test_a_title_that_no_rulebook_has_is_refused_with_those_there_are() -> None:
    result = run("assess", "good.yaml", "--rulebook", "rules.yaml", "--title", "dietician")
    assert result.exit_code == 1
    assert result.stderr == (
        "error E102: no rulebook has this title\n"
        "   got 'dietician'; expected one of dietitian\n"
        "   hint: did you mean 'dietitian'?\n"
    )


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("assess",), "Missing argument 'APPLICANT…'."),
        (("assess", "good.yaml"), "Missing option '--rulebook'."),
        (("assess", "good.yaml", "--rulebook", "rules.yaml", "--on", "soon"), "'soon' is no day"),
        (
            ("assess", "good.yaml", "--rulebook", "rules.yaml", "--assume", "maybe"),
            "'maybe' is not one of 'continues', 'stops'.",
        ),
        (("discretion", "good.yaml", "--rulebook", "rules.yaml"), "Missing option '--title'."),
        (("assess", "good.yaml", "--rulebook", "rules.yaml", "--colour"), "No such option"),
        (("asses",), "No such command 'asses'."),
    ],
)
def test_a_command_typed_wrongly_ends_with_status_2(arguments: Sequence[str], message: str) -> None:
    result = CliRunner().invoke(app, list(arguments))
    assert (result.exit_code, result.stdout) == (2, "")
    assert message in result.stderr
