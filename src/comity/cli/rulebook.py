"""The commands ``comity rulebook check|show|diff|schema``."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

import typer

from comity.cli.affected import affected_lines
from comity.cli.options import Clock, Json, Today, day_of, refuse, tell
from comity.cli.sentences import laid_out
from comity.core.problems import Problem, has_errors
from comity.core.rulebook.prose import Line
from comity.core.rulebook.prose_editions import sections
from comity.files.rendering import as_json, render
from comity.files.rulebooks import load_rulebooks
from comity.service import rulebooks
from comity.service.affected import Concerned, concerned_as_json, concerned_by

app = typer.Typer(
    add_completion=False,
    help="Check, read and compare rulebooks.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Paths = Annotated[
    list[Path],
    typer.Argument(
        metavar="PATH",
        help="An edition, an authority's folder, or a folder of them.",
        show_default=False,
    ),
]
_NARROWEST = 40


@app.command()
def check(paths: Paths, *, as_data: Json = False, today: Today = None) -> None:
    """Look for mistakes in rulebooks, and run their worked cases.

    Everything wrong is told at once, each with its line and how to mend it. Exit status 1 if
    something has to be mended; warnings are told and do no harm.
    """
    found = rulebooks.check(paths, today=Clock(day_of(today, "--today")).today_at())
    if as_data:
        _print_json(
            {
                "editions": len(found.loaded.files),
                "cases": found.n_cases,
                "problems": as_json(found.problems),
            }
        )
    else:
        if found.problems:
            typer.echo(render(found.problems, found.loaded.texts))
        typer.echo(_summary(found))
    raise typer.Exit(0 if found.is_sound else 1)


def _summary(found: rulebooks.CheckedRulebooks) -> str:
    looked_at = (
        f"{_counted(len(found.loaded.files), 'edition')} and "
        f"{_counted(found.n_cases, 'worked case')} looked at"
    )
    n_errors = sum(problem.severity == "error" for problem in found.problems)
    n_warnings = len(found.problems) - n_errors
    verdict = f"{_counted(n_errors, 'thing')} to mend" if n_errors else "nothing to mend"
    warnings = f", {_counted(n_warnings, 'warning')}" if n_warnings else ""
    return f"{looked_at}: {verdict}{warnings}."


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


@app.command()
def show(paths: Paths, *, as_data: Json = False, today: Today = None) -> None:
    """Print rulebooks as sentences to lay beside the authority's text.

    Every requirement has its number, how it is read day by day, and where it is written. An
    edition that should have been read again is marked.
    """
    loaded = load_rulebooks(paths, today=Clock(day_of(today, "--today")).today_at())
    _tell(loaded.problems, loaded.texts, as_data=as_data)
    if as_data:
        _print_json([rulebooks.shown(each.edition) for each in loaded.files])
        return
    for position, each in enumerate(loaded.files):
        if position:
            typer.echo()
        for section in sections(each.edition):
            typer.echo(f"{section.heading}\n")
            for line in section.lines:
                typer.echo(_laid_out(line))
            typer.echo()


def _laid_out(line: Line) -> str:
    """Return a line of prose within the width of the terminal, its number hanging."""
    indent = "   " * line.depth
    number = f"{line.number}  " if line.number else ""
    name = f" [{line.id}]" if line.id else ""
    first = f"  {indent}{number}"
    return textwrap.fill(
        f"{line.text}{name}",
        width=max(_NARROWEST, shutil.get_terminal_size().columns),
        initial_indent=first,
        subsequent_indent=" " * len(first),
        break_long_words=False,
        break_on_hyphens=False,
    )


@app.command()
def diff(
    old: Annotated[Path, typer.Argument(metavar="OLD", help="The file of the earlier edition.")],
    new: Annotated[Path, typer.Argument(metavar="NEW", help="The file of the later edition.")],
    *,
    applicants: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="PATH",
            help="An applicant file, or a folder of them, to say whose answer changes; may be"
            " given again.",
        ),
    ] = None,
    on: Annotated[
        str | None,
        typer.Option(
            metavar="DATE",
            help="The day of submission asked about; the first day of NEW if left out.",
        ),
    ] = None,
    as_data: Json = False,
    today: Today = None,
) -> None:
    """Say what changed from one edition to another, in sentences.

    What is asked comes first; sources and days of reading, which ask nothing, come last. With
    applicants, those whose answer changes follow, with the requirements that change it.
    """
    clock, submitted = Clock(day_of(today, "--today")), day_of(on, "--on")
    found = rulebooks.compare(old, new)
    _tell(found.problems, found.texts, as_data=as_data)
    concerned = None
    if applicants and found.editions is not None:
        concerned = concerned_by(found.editions, applicants, on=submitted, today_at=clock.today_at)
        _tell(concerned.read.problems, concerned.read.texts, as_data=as_data)
    if as_data:
        _print_json(_as_data(found, concerned))
        return
    _print_changes(found)
    if concerned is not None:
        typer.echo(f"\n{laid_out(affected_lines(concerned))}")


def _as_data(found: rulebooks.Comparison, concerned: Concerned | None) -> object:
    """Return the changes; with applicants asked for, in a mapping beside those concerned."""
    told = [rulebooks.change_as_json(change) for change in found.changes]
    if concerned is None:
        return told
    return {"changes": told, "affected": concerned_as_json(concerned)}


def _print_changes(found: rulebooks.Comparison) -> None:
    asked = [change.sentence for change in found.changes if change.sort != "source"]
    read = [change.sentence for change in found.changes if change.sort == "source"]
    typer.echo("\n".join(asked) or "Nothing that is asked has changed.")
    if read:
        typer.echo("\nSources and days of reading:")
        typer.echo("\n".join(read))


@app.command()
def schema(
    *,
    applicant: Annotated[
        bool, typer.Option("--applicant", help="The schema of applicant files instead.")
    ] = False,
) -> None:
    """Print the JSON Schema of rulebook files, for editors.

    An editor that knows it completes keys and marks slips while one writes.
    """
    _print_json(rulebooks.applicant_schema() if applicant else rulebooks.rulebook_schema())


def _tell(problems: tuple[Problem, ...], texts: Mapping[str, str], *, as_data: bool) -> None:
    """Print problems beside the answer, and leave if one of them stops the work."""
    if has_errors(problems):
        refuse(problems, texts, as_data=as_data)
    if problems:
        tell(problems, texts, as_data=as_data)


def _print_json(data: object) -> None:
    typer.echo(json.dumps(data, indent=2, ensure_ascii=False))
