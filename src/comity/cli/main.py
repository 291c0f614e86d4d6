"""The command ``comity``."""

from __future__ import annotations

from importlib.metadata import version
from typing import Annotated

import typer

from comity.cli.assess import assess
from comity.cli.rulebook import app as rulebook_app

_HELP = """
Guide health professionals to a licence in another jurisdiction.

Comity reads what an authority requires (a rulebook) and what is known of a person (an applicant
file), and answers for every title at once: can they apply, from which day, until which day, and
what is the least that would put it right. Each answer names the rule, its source and the day on
which that was read.

The authority decides. Check its current text before relying on an answer. Nothing here is legal
or immigration advice.
"""

_EPILOG = """
Begin with: comity demo demo, then comity assess demo/applicants/*.yaml --rulebook demo/rulebooks
"""

app = typer.Typer(
    name="comity",
    help=_HELP,
    epilog=_EPILOG,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
app.command()(assess)
app.add_typer(rulebook_app, name="rulebook")


def _show_version(asked: bool) -> None:  # noqa: FBT001 - Typer calls it so
    if asked:
        typer.echo(f"comity {version('comity')}")
        raise typer.Exit


@app.callback()
def _comity(
    *,
    show_version: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Say the version."),
    ] = False,
) -> None:
    del show_version


def main() -> None:
    """Run the command line."""
    app()
