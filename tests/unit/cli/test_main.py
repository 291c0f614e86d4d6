"""The command as the system runs it: streams that are full, closed, narrow or of another age."""

from __future__ import annotations

import errno
import gc
import os
import subprocess
import sys
from importlib.metadata import version
from io import BytesIO, StringIO, TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from comity.cli.main import main
from tests.cli_files import APPLICANT, RULEBOOK

if TYPE_CHECKING:
    from collections.abc import Iterator

ASSESS = ("assess", "good.yaml", "--rulebook", "rules.yaml", "--today", "2026-11-25")
FULL_SAYS = (
    "error F113: the answer cannot be shown\n"
    "   got from the system: No space left on device\n"
    "   hint: make room where the output goes, and type the command again\n"
)


class Refusing(StringIO):
    """An output into which nothing goes."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number

    def write(self, text: str) -> int:
        del text
        raise OSError(self.number, os.strerror(self.number))


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.yaml").write_text(APPLICANT, encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(RULEBOOK, encoding="utf-8")
    before = gc.get_threshold()
    yield tmp_path
    gc.set_threshold(*before)


def status(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    """Run the command and return the exit status."""
    monkeypatch.setattr(sys, "argv", ["comity", *arguments])
    with pytest.raises(SystemExit) as left:
        main()
    return left.value.code if isinstance(left.value.code, int) else 0


def printed_in(
    encoding: str, monkeypatch: pytest.MonkeyPatch, *arguments: str
) -> tuple[int, bytes]:
    """Run the command on a terminal of that encoding; return the status and what it shows."""
    raw = BytesIO()
    stream = TextIOWrapper(raw, encoding=encoding, newline="\n", write_through=True)
    monkeypatch.setattr(sys, "stdout", stream)
    return status(monkeypatch, *arguments), raw.getvalue()


@pytest.mark.parametrize(
    "arguments",
    [
        ASSESS,
        (*ASSESS, "--json"),
        ("rulebook", "show", "rules.yaml"),
        ("rulebook", "check", "rules.yaml"),
        ("rulebook", "schema"),
        ("ask", "good.yaml", "--rulebook", "rules.yaml"),
        ("demo", "demo"),
        ("--help",),
        ("--version",),
    ],
    ids=" ".join,
)
def test_a_full_disk_behind_the_output_is_told(
    arguments: tuple[str, ...],
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(sys, "stdout", Refusing(errno.ENOSPC))
    assert status(monkeypatch, *arguments) == 1
    assert capfd.readouterr().err == FULL_SAYS


def test_a_disk_that_is_really_full_leaves_no_trace_of_the_program() -> None:
    """`/dev/full` takes nothing, as a full disk does (Linux man-pages, full(4))."""
    command = (sys.executable, "-m", "comity", "--version")
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, check=False)
    assert (done.returncode, done.stderr.decode()) == (1, FULL_SAYS)


def test_a_pipe_that_closes_early_ends_the_command_quietly(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", Refusing(errno.EPIPE))
    assert status(monkeypatch, *ASSESS) == 1
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252"])
def test_a_sign_that_a_terminal_does_not_have_comes_as_its_code(
    encoding: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, shown = printed_in(encoding, monkeypatch, *ASSESS)
    assert code == 0
    assert b"\n\\u2713 Twenty-one years of age: met\n" in shown


def test_a_terminal_of_today_shows_every_sign(monkeypatch: pytest.MonkeyPatch) -> None:
    code, shown = printed_in("utf-8", monkeypatch, *ASSESS)
    assert (code, "\n✓ Twenty-one years of age: met\n" in shown.decode()) == (0, True)


def test_an_answer_in_another_encoding_is_not_understood_and_asked_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = TextIOWrapper(BytesIO("Zürich\nstop\n".encode("latin-1")), encoding="utf-8")
    monkeypatch.setattr(sys, "stdin", typed)
    assert status(monkeypatch, "ask", "new.yaml", *ASSESS[2:]) == 0
    shown = capsys.readouterr().out
    assert "That was not understood: write a day as 3 May 2019" in shown
    assert shown.endswith("Nothing was changed.\n")
    assert not (folder / "new.yaml").exists()


def test_with_nobody_to_type_nothing_is_asked_twice(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    assert status(monkeypatch, "ask", "new.yaml", *ASSESS[2:]) == 0
    assert capsys.readouterr().out.endswith("\n\nNothing was changed.\n")
    assert not (folder / "new.yaml").exists()


def test_a_closed_output_is_no_reason_to_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert status(monkeypatch, *ASSESS) == 0


def test_the_version_is_that_of_the_package(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status(monkeypatch, "--version") == 0
    assert capsys.readouterr().out == f"comity {version('comity')}\n"


def test_the_help_names_every_command(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status(monkeypatch, "--help") == 0
    listed = capsys.readouterr().out.partition("Commands:")[2]
    names = [
        line.split()[0]
        for line in listed.splitlines()
        if line.startswith("  ") and line[2:3] != " "
    ]
    assert names[:8] == [
        *("assess", "ask", "plan", "brief", "discretion", "rulebook", "exam", "demo"),
    ]


@pytest.mark.parametrize(
    "arguments", [ASSESS, ("assess", "nowhere.yaml", *ASSESS[2:]), ("--help",)], ids=" ".join
)
def test_no_output_has_colours_whatever_the_terminal(
    arguments: tuple[str, ...],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("FORCE_COLOR", "1")
    status(monkeypatch, *arguments)
    shown = capsys.readouterr()
    assert "\x1b" not in shown.out + shown.err
