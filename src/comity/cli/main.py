"""The command ``comity``."""

from __future__ import annotations

import gc
import sys
from io import TextIOWrapper
from typing import Annotated, Final

import typer

import comity.cli.few_threads  # noqa: F401 - before anything loads NumPy
from comity.cli.lazy import LazyGroup

_HELP = """
Guide health professionals to a licence in another jurisdiction.

Comity reads what authorities require (rulebooks) and what is known of a person (an applicant
file), and answers for every title at once: can they apply, from which day, until which day, and
what is the least that would put it right. Each answer names the rule, its source and the day on
which that was read.

\b
Typical calls:
  See where a person stands, for every title of every authority you have rules of
    comity assess amara.yaml --rulebook rulebooks
  Compare all your applicants in one table
    comity assess applicants/*.yaml --rulebook rulebooks
  Ask a person only what matters, and keep the answers
    comity ask amara.yaml --rulebook rulebooks
  Give them something to take home
    comity brief amara.yaml --rulebook rulebooks -o amara.pdf
  Put a case to an authority that may decide otherwise
    comity discretion amara.yaml --rulebook rulebooks --title dietitian -o letter.pdf
  Check a rulebook, and read it beside the authority's text
    comity rulebook check rulebooks
    comity rulebook show rulebooks/XA/2025.yaml
  See which items of a mock examination are bad, and how ready somebody is
    comity exam figures class.csv --bank items.yaml
    comity exam ready class.csv --person p07 --on 2027-03-06 --hours-a-week 8

The authority decides. Check its current text before you rely on an answer. Nothing here is legal
or immigration advice.
"""

_EPILOG = """
\b
To try all this with invented people and authorities:
  comity demo demo
  comity assess demo/applicants/*.yaml --rulebook demo/rulebooks
"""

_OBJECTS_BETWEEN_COLLECTIONS: Final = 200_000

app = typer.Typer(
    name="comity",
    cls=LazyGroup,
    help=_HELP,
    epilog=_EPILOG,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _show_version(asked: bool) -> None:  # noqa: FBT001 - Typer calls it so
    if asked:
        from importlib.metadata import version  # noqa: PLC0415 - slow to load, seldom asked

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
    """Run the command line.

    A command is short: looking for rings of dead objects while its modules load takes longer than
    it frees, so that is done seldom.
    """
    gc.set_threshold(_OBJECTS_BETWEEN_COLLECTIONS)
    _spell_out_what_has_no_sign()
    app()


def _spell_out_what_has_no_sign() -> None:
    """Let a character that a terminal's encoding does not have come as its code, both ways."""
    for stream, errors in (
        (sys.stdin, "surrogateescape"),
        (sys.stdout, "backslashreplace"),
        (sys.stderr, "backslashreplace"),
    ):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=errors)
