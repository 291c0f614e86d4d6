"""The command group ``comity audit``."""

from __future__ import annotations

from typing import Annotated

import typer

from comity.cli.office import STATUS, office

app = typer.Typer(
    help="Look through the audit trail of the office.", add_completion=False, rich_markup_mode=None
)


@app.callback()
def _audit() -> None:
    """Look through the audit trail of the office."""


@app.command()
def verify(
    *,
    head: Annotated[
        str | None,
        typer.Option(
            metavar="HASH",
            help="A hash that was printed earlier and kept elsewhere; it must still be there.",
        ),
    ] = None,
) -> None:
    """Verify that no record was changed, taken out or put in between.

    Nobody can tell from the trail alone whether its newest records were cut off: keep the hash
    that is printed in another place, and give it as --head next time.

    Example: comity audit verify
    """
    with office():
        from comity.store.audit import verify as verify_chain  # noqa: PLC0415 - loads Django

        found = verify_chain(head=head)
    for problem in found.problems:
        typer.echo(f"error: {problem}", err=True)
    if not found.is_sound:
        raise typer.Exit(STATUS)
    typer.echo(f"{found.n_records} records, each as it was written.")
    typer.echo(f"The trail ends with {found.head}")
