"""The command ``comity assess``."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from comity.cli.options import (
    Applicants,
    Assume,
    Clock,
    Confirmed,
    Json,
    On,
    Rulebooks,
    Title,
    Today,
    day_of,
    refuse,
    tell,
)
from comity.cli.sentences import answer_lines, laid_out
from comity.cli.table import comparison
from comity.service.assessing import Asked, assess_all, read_inputs
from comity.service.assessment_json import assessments_data


def assess(  # noqa: PLR0913 - each parameter is an option of the command
    applicants: Applicants,
    *,
    rulebook: Rulebooks,
    title: Title = None,
    on: On = None,
    assume: Assume = "continues",
    confirmed: Confirmed = False,
    details: Annotated[
        bool, typer.Option("--details", help="After a comparison, every answer in sentences.")
    ] = False,
    as_data: Json = False,
    today: Today = None,
) -> None:
    """Say who can apply, from when, until when, and what would help.

    With one applicant and one title the answer comes in sentences, what decides it first. With
    several it is a table, a line for each applicant and title.

    Example: comity assess amara.yaml --rulebook rulebooks --on 2027-01-15
    """
    clock = Clock(day_of(today, "--today"))
    asked = Asked(day_of(on, "--on"), title, assume, confirmed)
    inputs = read_inputs(applicants, rulebook, today=clock.today_at(), title=title)
    if not inputs.is_sound:
        refuse(inputs.problems, inputs.texts, as_data=as_data)
    if inputs.problems:
        tell(inputs.problems, inputs.texts, as_data=as_data)
    found = assess_all(inputs, asked, today_at=clock.today_at)
    if as_data:
        typer.echo(json.dumps(assessments_data(found), ensure_ascii=False, indent=2))
        return
    if len(found) != 1:
        typer.echo(comparison(found))
    if len(found) == 1 or details:
        for assessment in found:
            typer.echo(laid_out(answer_lines(assessment)))
