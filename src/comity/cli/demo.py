"""The command ``comity demo``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from comity.cli.options import refuse
from comity.service.demo import lay_out


def demo(
    folder: Annotated[
        Path, typer.Argument(metavar="DIR", help="A new or empty folder.", show_default=False)
    ],
) -> None:
    """Lay out invented rulebooks and applicants, to try Comity.

    DIR/rulebooks gets a folder for each of three invented authorities, DIR/applicants a file for
    each invented person; the first lines of a file say what it shows.

    Example: comity demo demo
    """
    done = lay_out(folder)
    if done.problems:
        refuse(done.problems, {})
    typer.echo(f"{done.n_applicants} applicants in {done.applicants}")
    typer.echo(f"{done.n_editions} editions of three authorities' rulebooks in {done.rulebooks}")
    typer.echo("Everything in them is invented: countries, authorities, people and numbers.\n")
    typer.echo(f"Try: comity assess {done.applicants}/*.yaml --rulebook {done.rulebooks}")
