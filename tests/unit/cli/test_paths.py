"""Paths as they come: with spaces, in every script, too long, leading round, of folders."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest
from typer.testing import CliRunner

from comity.cli.main import app
from tests.cli_files import APPLICANT, LEFT_TO_THE_COUNCIL, RULEBOOK

if TYPE_CHECKING:
    from pathlib import Path

    from typer.testing import Result

NAMES = ["with spaces.yaml", "عمارة.yaml", "アマラ.yaml", "ÅÄÖ-ñ.yaml", "-dash.yaml", "🏥.yaml"]
TOO_LONG = "a" * 300
CANNOT_READ = "error F111: the file cannot be read\n   got from the system: "
CANNOT_WRITE = (
    "error F113: the file cannot be written; nothing was changed\n   got from the system: "
)


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(APPLICANT, encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(LEFT_TO_THE_COUNCIL, encoding="utf-8")
    (tmp_path / "ring").symlink_to("ring")
    return tmp_path


def run(*arguments: str, typed: str = "") -> Result:
    name, *rest = arguments
    return CliRunner().invoke(app, [name, "--today", "2026-11-25", *rest], input=typed)


def told(*arguments: str) -> str:
    """Return what a refused command says; nothing else is printed."""
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (1, "")
    return result.stderr


@pytest.mark.parametrize("name", NAMES)
def test_a_file_of_any_name_is_assessed(name: str, folder: Path) -> None:
    (folder / name).write_text(APPLICANT, encoding="utf-8")
    result = run("assess", "--rulebook", "rules.yaml", "--", name)
    assert result.exit_code == 0
    assert "Amara N. as Dietitian" in result.stdout


@pytest.mark.parametrize("name", NAMES)
def test_a_letter_is_written_to_a_file_of_any_name(name: str, folder: Path) -> None:
    name = name.replace(".yaml", ".txt")
    options = ("--rulebook", "rules.yaml", "--title", "dietitian", "-o", name)
    result = run("discretion", "good.yaml", *options)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith(f"{name}: ")
    assert "Amara N." in (folder / name).read_text(encoding="utf-8")


def test_a_name_that_is_no_text_is_shown_harmlessly() -> None:
    message = told("assess", os.fsdecode(b"\xff.yaml"), "--rulebook", "rules.yaml")
    assert message.startswith(f"\\udcff.yaml: {CANNOT_READ}No such file or directory\n")


@pytest.mark.parametrize("path", [TOO_LONG, f"{TOO_LONG}/b.yaml"])
@pytest.mark.parametrize("command", ["assess", "ask", "brief"])
def test_an_applicant_with_too_long_a_name_is_told(command: str, path: str) -> None:
    message = told(command, path, "--rulebook", "rules.yaml")
    assert message.startswith(f"{path}: {CANNOT_READ}File name too long\n")


def test_a_rulebook_with_too_long_a_name_is_told() -> None:
    message = told("assess", "good.yaml", "--rulebook", TOO_LONG)
    assert message.startswith(f"{TOO_LONG}: {CANNOT_READ}File name too long\n")


@pytest.mark.parametrize(
    "arguments",
    [
        ("assess", "ring", "--rulebook", "rules.yaml"),
        ("assess", "good.yaml", "ring", "--rulebook", "rules.yaml"),
        ("assess", "good.yaml", "--rulebook", "ring"),
        ("ask", "ring", "--rulebook", "rules.yaml"),
        ("rulebook", "check", "ring"),
    ],
    ids=" ".join,
)
def test_a_link_to_itself_cannot_be_read(arguments: tuple[str, ...]) -> None:
    name, *rest = arguments
    if name == "rulebook":
        result = run_rulebook(*rest)
        assert result.exit_code == 1
        said = result.stdout
    else:
        said = told(*arguments)
    assert said.startswith(f"ring: {CANNOT_READ}Too many levels of symbolic links\n")


def run_rulebook(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["rulebook", *arguments])


@pytest.mark.parametrize("command", ["brief", "discretion"])
@pytest.mark.parametrize(
    ("output", "reason"),
    [
        ("ring", "Too many levels of symbolic links"),
        ("no/out.txt", "No such file or directory"),
        ("good.yaml/out.txt", "Not a directory"),
        (f"{TOO_LONG}.txt", "File name too long"),
        ("/dev/full", "No space left on device"),
        (".", "Is a directory"),
    ],
)
def test_output_that_cannot_be_written_is_told_and_nothing_is_left(
    command: str, output: str, reason: str, folder: Path
) -> None:
    options = ("--title", "dietitian", "-o", output)
    message = told(command, "good.yaml", "--rulebook", "rules.yaml", *options)
    assert message.startswith(f"{output}: {CANNOT_WRITE}{reason}\n")
    assert sorted(path.name for path in folder.iterdir()) == ["good.yaml", "ring", "rules.yaml"]
    assert (folder / "ring").is_symlink()


def test_output_that_exists_is_replaced_whole(folder: Path) -> None:
    (folder / "out.txt").write_text("x" * 100_000, encoding="utf-8")
    options = ("--rulebook", "rules.yaml", "--title", "dietitian", "-o", "out.txt")
    assert run("discretion", "good.yaml", *options).exit_code == 0
    assert "xx" not in (folder / "out.txt").read_text(encoding="utf-8")


def test_output_over_a_link_to_the_file_that_is_read_is_refused(folder: Path) -> None:
    (folder / "other.yaml").symlink_to("good.yaml")
    result = run("brief", "good.yaml", "--rulebook", "rules.yaml", "-o", "other.yaml")
    assert result.exit_code == 2
    assert "other.yaml is the file that is read; name another one." in result.stderr
    assert (folder / "good.yaml").read_text(encoding="utf-8") == APPLICANT


@pytest.mark.parametrize(
    "arguments",
    [
        ("assess", "", "--rulebook", "rules.yaml"),
        ("assess", "good.yaml", "--rulebook", ""),
        ("brief", "good.yaml", "--rulebook", "rules.yaml", "-o", ""),
        ("demo", ""),
    ],
    ids=" ".join,
)
def test_an_empty_path_is_wrong_usage_and_not_this_folder(arguments: tuple[str, ...]) -> None:
    result = CliRunner().invoke(app, list(arguments))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "a path is expected, and nothing stands here." in result.stderr


def test_a_rulebook_named_twice_is_read_once(folder: Path) -> None:
    (folder / "again.yaml").symlink_to("rules.yaml")
    result = run("assess", "good.yaml", "--rulebook", "rules.yaml", "--rulebook", "again.yaml")
    assert (result.exit_code, result.stderr) == (0, "")


def test_a_folder_compared_with_itself_is_told_once(folder: Path) -> None:
    (folder / "both").mkdir()
    for year in ("2025", "2026"):
        text = RULEBOOK.replace(
            'rulebook: "2026"', f'rulebook: "{year}"\napplies: {{from: {year}-01-01}}'
        )
        (folder / "both" / f"{year}.yaml").write_text(text, encoding="utf-8")
    result = run_rulebook("diff", "both", "both")
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.count("error ") == 1
    assert "both: error R109: one edition is compared with one other" in result.stderr


@pytest.mark.parametrize("mark", [b"\xff\xfe", b""], ids=["with a mark", "without one"])
def test_a_file_in_utf_16_is_named_and_not_shown(mark: bytes, folder: Path) -> None:
    (folder / "wide.yaml").write_bytes(mark + APPLICANT.encode("utf-16-le"))
    assert told("assess", "wide.yaml", "--rulebook", "rules.yaml") == (
        "wide.yaml: error F102: the file is not written in UTF-8\n"
        "   got what looks like UTF-16; expected UTF-8\n"
        "   hint: in your editor, save the file with the encoding UTF-8\n"
    )


def test_an_answer_that_cannot_be_kept_is_told_at_once(folder: Path) -> None:
    (folder / "rules.yaml").write_text(RULEBOOK, encoding="utf-8")
    result = run("ask", "no/new.yaml", "--rulebook", "rules.yaml", typed="3 May 1990\n")
    assert result.exit_code == 1
    assert result.stderr.startswith(f"no/new.yaml: {CANNOT_WRITE}No such file or directory\n")


def test_what_was_pasted_by_mistake_is_not_kept(folder: Path) -> None:
    (folder / "rules.yaml").write_text(RULEBOOK, encoding="utf-8")
    result = run("ask", "new.yaml", "--rulebook", "rules.yaml", typed="1" * 100_000)
    assert result.exit_code == 0
    assert "this is 100000 characters long; at most 2000 are kept." in result.stdout
    assert not (folder / "new.yaml").exists()
