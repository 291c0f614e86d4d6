"""Documentation as something to test: pages, their links, and the sessions they show.

A fence marked ``console`` is a session. Its lines that start with ``$ `` are commands, run by bash
in a folder of the page's own; the lines below are what they print, where a line ``...`` stands for
any lines. A command must succeed unless the next one is ``echo $?``, which shows its exit status.
A fence after ``<!-- file: PATH -->`` is first written to that path, so that a page can show a file
and then use it.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

ELLIPSIS = "..."
SHOWS_STATUS = "echo $?"

_FENCE = re.compile(
    r"(?:<!-- file: (?P<path>\S+) -->\n+)?^```(?P<language>[\w-]*)\n(?P<body>.*?)^```$",
    re.MULTILINE | re.DOTALL,
)
_LINK = re.compile(r"(?<!!)\[[^\]]+\]\((?P<target>[^)\s]+)\)")
_HEADING = re.compile(r"^#{1,6} +(?P<title>.+?) *#*$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class ShownFile:
    """A file which a page shows and later uses."""

    path: str
    text: str


@dataclass(frozen=True, slots=True)
class Command:
    """A command which a page shows, with the lines it is said to print."""

    line: int
    text: str
    expected: tuple[str, ...]


def steps_of(page: str) -> Iterator[ShownFile | Command]:
    """Yield what the page shows in its order: files to write and commands to run."""
    for fence in _FENCE.finditer(page):
        if fence["path"]:
            yield ShownFile(fence["path"], fence["body"])
        elif fence["language"] == "console":
            first_line = page.count("\n", 0, fence.start("body")) + 1
            yield from _commands_of(fence["body"].splitlines(), first_line=first_line)


def _commands_of(lines: Sequence[str], *, first_line: int) -> Iterator[Command]:
    starts = [at for at, line in enumerate(lines) if line.startswith("$ ")]
    if lines and starts[:1] != [0]:
        msg = f"line {first_line}: a session starts with '$ ', not {lines[0]!r}"
        raise ValueError(msg)
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        last = start
        while lines[last].endswith("\\"):
            last += 1
        text = "\n".join(lines[start : last + 1]).removeprefix("$ ")
        yield Command(first_line + start, text, tuple(lines[last + 1 : end]))


def is_shown_by(expected: Sequence[str], printed: Sequence[str]) -> bool:
    """Tell whether the printed lines fit, a line ``...`` standing for any number of lines."""
    if not expected:
        return not printed
    if expected[0].strip() == ELLIPSIS:
        return any(is_shown_by(expected[1:], printed[at:]) for at in range(len(printed) + 1))
    return (
        bool(printed)
        and expected[0].rstrip() == printed[0].rstrip()
        and is_shown_by(expected[1:], printed[1:])
    )


def run_page(page: str, folder: Path) -> list[str]:
    """Run what the page shows and return a sentence for each command that does otherwise."""
    failures = []
    steps = list(steps_of(page))
    status = 0
    for step, following in zip(steps, [*steps[1:], None], strict=True):
        if isinstance(step, ShownFile):
            (folder / step.path).parent.mkdir(parents=True, exist_ok=True)
            (folder / step.path).write_text(step.text, encoding="utf-8")
            continue
        status, printed = run_in_shell(f"(exit {status}); {step.text}", folder)
        may_fail = isinstance(following, Command) and following.text == SHOWS_STATUS
        if status and not may_fail:
            printed = [*printed, f"[exit status {status}]"]
        if not is_shown_by(step.expected, printed):
            shown = "\n".join(printed)
            failures.append(f"line {step.line}: `{step.text}` printed:\n{shown}\n")
    return failures


def run_in_shell(command: str, folder: Path) -> tuple[int, list[str]]:
    """Run a command as a reader of the documentation would; return its status and its lines."""
    binaries = os.path.dirname(sys.executable)  # noqa: PTH120  (a symlink must not be resolved)
    environment = {
        **os.environ,
        "COLUMNS": "100",
        "COMITY_TODAY": "2026-11-25",
        "NO_COLOR": "1",
        "PATH": f"{binaries}{os.pathsep}{os.environ['PATH']}",
    }
    done = subprocess.run(
        ["bash", "-c", command],
        cwd=folder,
        env=environment,
        check=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
    )
    return done.returncode, done.stdout.rstrip("\n").split("\n") if done.stdout.strip() else []


def links_of(page: str) -> list[str]:
    """Return the targets of the page's links which lead to files of ours."""
    targets = [found["target"] for found in _LINK.finditer(without_fences(page))]
    return [
        target for target in targets if "://" not in target and not target.startswith("mailto:")
    ]


def anchors_of(page: str) -> set[str]:
    """Return the anchors that a forge makes of the page's headings."""
    titles = [found["title"].lower() for found in _HEADING.finditer(without_fences(page))]
    return {re.sub(r"[^\w\- ]", "", title).replace(" ", "-") for title in titles}


def without_fences(page: str) -> str:
    """Return the page's prose alone."""
    return _FENCE.sub("", page)
