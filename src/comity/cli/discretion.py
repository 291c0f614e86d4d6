"""The command ``comity discretion``."""

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
    Today,
    day_of,
    output_of,
    refuse,
)
from comity.cli.sentences import Line, laid_out
from comity.files.writing import write_whole
from comity.service.assessing import Asked, read_inputs
from comity.service.discretion import case_of, letter_text, notice_for, titles_of


def discretion(  # noqa: PLR0913 - each parameter is an option of the command
    applicant: OneApplicant,
    *,
    rulebook: Rulebooks,
    title: Annotated[
        str,
        typer.Option(
            metavar="TITLE",
            help="The title, as dietitian or authority/dietitian.",
            show_default=False,
        ),
    ],
    output: Annotated[
        Path | None,
        typer.Option(
            "--output",
            "-o",
            metavar="FILE",
            help="Where to write: a PDF if it ends in .pdf, else text; shown if left out.",
        ),
    ] = None,
    on: On = None,
    assume: Assume = "continues",
    confirmed: Confirmed = False,
    today: Today = None,
) -> None:
    """Draft a letter of facts where the authority decides.

    For what is left to the authority's discretion, is missed by little, or on which its own texts
    differ: which requirement, by how much, what in the file speaks for it, which papers to attach.
    Where a letter would not help, it says so and what could be done instead.

    Example: comity discretion amara.yaml --rulebook rulebooks --title dietitian -o letter.pdf
    """
    clock = Clock(day_of(today, "--today"))
    asked = Asked(day_of(on, "--on"), title, assume, confirmed)
    if output is not None:
        output_of(output, inputs=[applicant])
    inputs = read_inputs([applicant], rulebook, today=clock.today_at(), title=title)
    if not inputs.is_sound:
        refuse(inputs.problems, inputs.texts)
    titles = titles_of(inputs, asked)
    if len(titles) > 1:
        names = ", ".join(f"{each.authority.id}/{name}" for each, name in titles)
        msg = f"several authorities have it; name one of {names}."
        raise typer.BadParameter(msg, param_hint="--title")
    case = case_of(inputs, asked, title=titles[0], today_at=clock.today_at)
    if case.letter is None:
        typer.echo(laid_out(Line(sentence) for sentence in case.says))
        return
    notice = notice_for(titles[0][0])
    if output is None:
        typer.echo(letter_text(case.letter, notice=notice), nl=False)
        return
    if output.suffix.casefold() == ".pdf":
        from comity.brief.letter import letter_pdf  # noqa: PLC0415 - slow to load

        write_whole(output, letter_pdf(case.letter, notice=notice))
    else:
        write_whole(output, letter_text(case.letter, notice=notice))
    typer.echo(f"{output}: {case.letter.subject}.")
