"""The command ``comity backup``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from comity.cli.office import office


def backup(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A new file.", show_default=False)],
    *,
    without_keys: Annotated[
        bool,
        typer.Option(
            "--without-keys",
            help="Leave the office's keys out; keep sealing.key elsewhere, or what was given out "
            "and the history cannot be read again.",
        ),
    ] = False,
) -> None:
    """Copy the whole office into one file; the desk may go on serving.

    The file holds everything the office keeps, people's facts included, and its keys: keep it as
    you keep the office itself. It can be restored into SQLite and Postgres alike.

    Example: comity backup office-2026-11-25.zip
    """
    with office():
        from comity.store.backup import backup as make_backup  # noqa: PLC0415 - loads Django

        done = make_backup(file, with_keys=not without_keys)
    cases = "1 case" if done.n_cases == 1 else f"{done.n_cases} cases"
    typer.echo(f"{cases} and {done.n_records} records of the audit trail in {done.path}")
    typer.echo(f"The trail ends with {done.head}")
    if not done.has_keys:
        typer.echo("The office's keys are not in it: keep sealing.key where the file is not.")
