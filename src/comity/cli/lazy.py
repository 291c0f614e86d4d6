"""A command group whose commands are loaded when they are asked for, so that each starts fast."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Mapping
from typing import Any, ClassVar

import typer
import typer.main
from typer.core import TyperGroup

from comity.cli.options import tell
from comity.cli.plain_values import read_plainly
from comity.core.problems import Problem
from comity.files.decoding import unreadable_file


class LazyGroup(TyperGroup):
    """The commands of ``comity``, by the places of their functions.

    What the system refuses, to read, to write or to show, is told as any other problem is.
    """

    places: ClassVar[Mapping[str, str]] = {
        "assess": "comity.cli.assess:assess",
        "ask": "comity.cli.ask:ask",
        "plan": "comity.cli.plan:plan",
        "brief": "comity.cli.brief:brief",
        "discretion": "comity.cli.discretion:discretion",
        "rulebook": "comity.cli.rulebook:app",
        "exam": "comity.cli.exam:app",
        "demo": "comity.cli.demo:demo",
        "serve": "comity.cli.serve:serve",
        "backup": "comity.cli.backup:backup",
        "restore": "comity.cli.restore:restore",
        "audit": "comity.cli.audit:app",
    }
    """In the order of ``--help``."""

    def list_commands(self, ctx: Any) -> list[str]:  # noqa: ANN401 - Typer keeps it private
        """Return the names of all commands."""
        del ctx
        return list(self.places)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ANN401 - see above
        """Return a command, loaded now; None for a name that is none."""
        place = self.places.get(cmd_name)
        if place is None:
            return None
        module, _, name = place.partition(":")
        found = getattr(importlib.import_module(module), name)
        command = typer.main.get_command(found if isinstance(found, typer.Typer) else _app(found))
        command.name = cmd_name
        read_plainly(command, ctx)
        return command

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401 - see above
        """Read what was typed before the command's name."""
        read_plainly(self, ctx)
        return super().parse_args(ctx, args)

    def main(self, *args: Any, **extra: Any) -> Any:  # noqa: ANN401 - see above
        """Run what was typed."""
        try:
            return super().main(*args, **extra)
        except OSError as error:
            tell([getattr(error, "problem", None) or refusal_of(error)], {})
            sys.exit(1)


def refusal_of(error: OSError) -> Problem:
    """Return the problem of a file that cannot be looked at, or of an output that is full."""
    got = f"from the system: {error.strerror or error}"
    if error.filename is not None:
        return unreadable_file(str(error.filename), got)
    return Problem(
        "F113",
        "the answer cannot be shown",
        got=got,
        hint="make room where the output goes, and type the command again",
    )


def _app(command: Any) -> typer.Typer:  # noqa: ANN401 - any function
    app = typer.Typer(add_completion=False, rich_markup_mode=None)
    app.command()(command)
    return app
