"""The command ``comity restore``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from comity.cli.office import office


def restore(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A backup.", show_default=False)],
    *,
    replace: Annotated[
        bool,
        typer.Option("--replace", help="Let it take the place of the office that is here."),
    ] = False,
) -> None:
    """Put an office back from a backup, after every part of it has been verified.

    A file that is cut off, changed or not ours is refused whole. Everybody has to sign in again;
    stop the desk before, and start it afterwards.

    Example: COMITY_HOME=/srv/office comity restore office-2026-11-25.zip
    """
    with office(is_new_allowed=True):
        from comity.store.restoring import restore as put_back  # noqa: PLC0415 - loads Django
        from comity.store.spans import refresh_all  # noqa: PLC0415

        done = put_back(file, replace=replace)
        refresh_all()
    cases = "1 case is" if done.n_cases == 1 else f"{done.n_cases} cases are"
    typer.echo(f"{cases} back, as the office was at {done.made_at}")
    typer.echo(f"The audit trail of {done.n_records} records was verified.")
