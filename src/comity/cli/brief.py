"""The command ``comity brief``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from comity.cli.options import (
    Assume,
    Clock,
    Confirmed,
    On,
    OneApplicant,
    Rulebooks,
    Title,
    Today,
    day_of,
    output_of,
    refuse,
)
from comity.cli.progress import progress
from comity.files.writing import write_whole
from comity.service.assessing import Asked, read_inputs
from comity.service.briefs import brief_of


def brief(  # noqa: PLR0913 - each parameter is an option of the command
    applicant: OneApplicant,
    *,
    rulebook: Rulebooks,
    output: Annotated[
        Path,
        typer.Option("--output", "-o", metavar="FILE", help="The PDF to write."),
    ] = Path("brief.pdf"),
    title: Title = None,
    on: On = None,
    assume: Assume = "continues",
    confirmed: Confirmed = False,
    contact: Annotated[
        str, typer.Option(metavar="TEXT", help="Whom the applicant may write to.")
    ] = "",
    today: Today = None,
) -> None:
    """Write the brief that an applicant takes home, as a PDF.

    For each title a page in plain words (the answer, why, what to do next, by when), then the
    details: every requirement with its source, and the open dates drawn.

    Example: comity brief amara.yaml --rulebook rulebooks -o amara.pdf
    """
    clock = Clock(day_of(today, "--today"))
    asked = Asked(day_of(on, "--on"), title, assume, confirmed)
    output_of(output, inputs=[applicant])
    inputs = read_inputs([applicant], rulebook, today=clock.today_at(), title=title)
    if not inputs.is_sound:
        refuse(inputs.problems, inputs.texts)
    with progress("Assessing {}".format) as on_title:
        pdf, found = brief_of(
            inputs, asked, today_at=clock.today_at, contact=contact, on_title=on_title
        )
    write_whole(output, pdf)
    titles = "1 title" if len(found) == 1 else f"{len(found)} titles"
    typer.echo(f"{output}: the brief of {found[0].applicant_name}, {titles}.")
