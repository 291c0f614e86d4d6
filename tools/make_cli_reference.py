"""Write docs/reference/cli.md from the command line itself: ``python -m tools.make_cli_reference``.

The page is checked by tests/test_docs.py, so it cannot fall behind.
"""

from __future__ import annotations

import inspect
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer.main

if TYPE_CHECKING:
    from collections.abc import Iterator

PAGE = Path(__file__).parent.parent / "docs" / "reference" / "cli.md"
HEAD = """\
# Command line

<!-- Made by `python -m tools.make_cli_reference`; change the command's own help instead. -->

Every command answers `--help`. Exit status 0 whatever the verdict, 1 for input that has to be
mended, 2 for a command typed wrongly. `COMITY_TODAY=2026-11-25` in the environment sets the day
which counts as today.
"""
_KEPT = "\b\n"
"""Begins a paragraph whose lines are not filled."""
LEFT_OUT = {"--help", "--install-completion", "--show-completion"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One command: its whole name, the command object of Typer and a context to ask it with."""

    name: str
    command: Any
    context: typer.Context


def reference(app: typer.Typer | None = None) -> str:
    """Return the page for the app; by default our own."""
    sections = [section_of(entry) for entry in entries_of(app or our_app())]
    return "\n".join([HEAD, *sections])


def names_to_document(app: typer.Typer | None = None) -> list[str]:
    """Return every command's whole name and every option that a reader may look for."""
    names = []
    for entry in entries_of(app or our_app()):
        names.append(entry.name)
        for option in _params(entry, kind="option"):
            names += [*option.opts, *option.secondary_opts]
    return names


def our_app() -> typer.Typer:
    """Return Comity's own command line."""
    from comity.cli.main import app  # noqa: PLC0415  (the tool can be tested without it)

    return app


def entries_of(app: typer.Typer, *, name: str = "comity") -> Iterator[Entry]:
    """Yield the app and all its commands, depth first, in the order of ``--help``."""
    command = typer.main.get_command(app)
    yield from _entries_below(Entry(name, command, typer.Context(command, info_name=name)))


def _entries_below(entry: Entry) -> Iterator[Entry]:
    yield entry
    for name, command in _commands_of(entry):
        context = typer.Context(command, info_name=name, parent=entry.context)
        yield from _entries_below(Entry(f"{entry.name} {name}", command, context))


def _as_markdown(text: str) -> str:
    """Return help as a page shows it: what must keep its lines stands in a fence."""
    return "\n\n".join(
        f"```text\n{paragraph.removeprefix(_KEPT)}\n```"
        if paragraph.startswith(_KEPT)
        else paragraph
        for paragraph in text.split("\n\n")
    )


def _commands_of(entry: Entry) -> Iterator[tuple[str, Any]]:
    """Yield the commands below a group, loading those that are loaded late."""
    list_commands = getattr(entry.command, "list_commands", lambda _context: ())
    for name in list_commands(entry.context):
        command = entry.command.get_command(entry.context, name)
        if not command.hidden:
            yield name, command


def section_of(entry: Entry) -> str:
    """Return the command's section: what it does, how it is typed, its arguments and options."""
    pieces = entry.command.collect_usage_pieces(entry.context)
    parts = [f"## `{entry.name}`", _as_markdown(inspect.cleandoc(entry.command.help or ""))]
    parts.append(f"```text\n{' '.join([entry.name, *pieces])}\n```")
    for title, kind in (("Arguments", "argument"), ("Options", "option")):
        rows = [_row(param, entry.context) for param in _params(entry, kind=kind)]
        if rows:
            parts.append("\n".join([f"{title}:", "", *rows]))
    rows = [
        f"- `{entry.name} {name}`: {command.get_short_help_str(limit=200)}"
        for name, command in _commands_of(entry)
    ]
    if rows:
        parts.append("\n".join(["Commands:", "", *rows]))
    return "\n\n".join(part for part in parts if part) + "\n"


def _params(entry: Entry, *, kind: str) -> list[Any]:
    return [
        param
        for param in entry.command.params
        if param.param_type_name == kind
        and not getattr(param, "hidden", False)
        and not LEFT_OUT.intersection(param.opts)
    ]


def _row(param: Any, context: typer.Context) -> str:  # noqa: ANN401  (Typer keeps it private)
    shown, text = param.get_help_record(context) or (param.name, "")
    if param.param_type_name == "argument":
        shown = shown.partition(" <")[0]
    return f"- `{shown}`: {' '.join(text.split())}"


if __name__ == "__main__":
    PAGE.write_text(reference(), encoding="utf-8")
