"""Options that the commands about examinations share, and how they read what was typed."""

from __future__ import annotations

import json
import shutil
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from comity.cli.options import refuse, tell
from comity.core.exam.responses import ResponsesError
from comity.files.responses import load_responses
from comity.service.exam_inputs import (
    ExamFiles,
    outline_files,
    read_exam_files,
    starter_files,
)
from comity.service.exam_responses import MarkedAnswers, mark, not_to_be_had

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.items import Bank

Responses = Annotated[
    Path,
    typer.Argument(
        metavar="RESPONSES", help="Answers as CSV or Parquet, long or wide.", show_default=False
    ),
]
Banks = Annotated[
    list[Path] | None,
    typer.Option(
        "--bank",
        metavar="PATH",
        help="A bank of items, or a folder of them; may be given again. Left out: the starter"
        " bank.",
    ),
]
OneBlueprint = Annotated[
    Path | None,
    typer.Option(
        "--blueprint", metavar="FILE", help="A blueprint. Left out: the outline of dietetics."
    ),
]
Person = Annotated[
    str, typer.Option(metavar="ID", help="Whose, as in the column person.", show_default=False)
]
_NARROWEST = 40


def banks_of(paths: list[Path] | None, *, as_data: bool = False) -> ExamFiles:
    """Return the banks named, or the starter bank; what is wrong with them ends the command."""
    files = read_exam_files(paths) if paths else starter_files()
    if not files.is_sound:
        refuse(files.problems, files.texts, as_data=as_data)
    if not files.banks:
        refuse(
            [not_to_be_had("there are no items in what --bank names")],
            files.texts,
            as_data=as_data,
        )
    return files


def bank_of(paths: list[Path] | None, *, as_data: bool = False) -> Bank:
    """Return all items of the banks named as one bank."""
    return banks_of(paths, as_data=as_data).bank


def blueprint_of(path: Path | None, *, as_data: bool = False) -> Blueprint:
    """Return the blueprint named, or the outline that comes with Comity."""
    files = outline_files() if path is None else read_exam_files([path])
    if not files.is_sound:
        refuse(files.problems, files.texts, as_data=as_data)
    if not files.blueprints:
        refuse([not_to_be_had(f"{path} is no blueprint")], files.texts, as_data=as_data)
    return files.blueprints[0]


def marked_of(
    path: Path, bank: Bank | None, *, as_data: bool, today: Day | None = None
) -> MarkedAnswers:
    """Return the answers of a file, marked; what is wrong in it ends the command."""
    loaded = load_responses(path)
    marked = mark(loaded, bank, today=today)
    if not marked.is_sound:
        refuse(marked.problems, {loaded.file: loaded.text}, as_data=as_data)
    if not marked.marked:
        refuse([not_to_be_had(f"{path} has no answer in it")], {}, as_data=as_data)
    if marked.problems:
        tell(marked.problems, {loaded.file: loaded.text}, as_data=as_data)
    return marked


def refuse_sentence(error: Exception | str, *, as_data: bool = False) -> NoReturn:
    """Say why something cannot be worked out, and end the command with status 1."""
    faults = error.faults if isinstance(error, ResponsesError) else (str(error),)
    refuse([not_to_be_had(each) for each in faults], {}, as_data=as_data)


def print_json(data: Any) -> None:  # noqa: ANN401 - anything that JSON has
    """Print data as JSON."""
    typer.echo(json.dumps(data, ensure_ascii=False, indent=2))


def say(paragraphs: Iterable[str]) -> None:
    """Print paragraphs within the width of the terminal; lines that begin with blanks hang."""
    width = max(_NARROWEST, min(shutil.get_terminal_size().columns, 100))
    for text in paragraphs:
        indent = " " * (len(text) - len(text.lstrip()))
        if not text.strip():
            typer.echo()
            continue
        typer.echo(
            textwrap.fill(
                text.strip(),
                width=width,
                initial_indent=indent,
                subsequent_indent=f"{indent}  " if indent else "",
                break_long_words=False,
                break_on_hyphens=False,
            )
        )


def in_columns(rows: Sequence[Sequence[str]], *, right: Sequence[int] = ()) -> list[str]:
    """Return rows of cells as lines whose columns stand below each other."""
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = (
            cell.rjust(width) if at in right else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        lines.append("  ".join(cells).rstrip())
    return lines


def percent(share: float | None) -> str:
    """Return a share in whole hundredths."""
    return "" if share is None else f"{share:.0%}".replace("%", " %")
