"""The command ``comity brief``."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from comity.cli.brief_ready import AskedReady, ready_page_for
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

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.core.days.calendar import Day
    from comity.service.assessing import Inputs
    from comity.service.planning import Plan, Wishes


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
    plan: Annotated[
        bool,
        typer.Option("--plan", help="Add when, in which order, and at what cost; takes longer."),
    ] = False,
    savings_a_month: Annotated[
        str | None,
        typer.Option(metavar="AMOUNT", help="For the plan: what can be put aside a month."),
    ] = None,
    currency: Annotated[
        str | None, typer.Option(metavar="CUR", help="For the plan: currency to count in, as EUR.")
    ] = None,
    rates: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="For the plan: exchange rates, in a layout of the European Central Bank.",
        ),
    ] = None,
    responses: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="For readiness: answers in practice, CSV or Parquet."),
    ] = None,
    tell_readiness: Annotated[
        bool,
        typer.Option("--tell-readiness", help="Your office tells applicants how ready they are."),
    ] = False,
    person: Annotated[
        str | None,
        typer.Option(
            metavar="ID", help="For readiness: who in the answers, if not the applicant's id."
        ),
    ] = None,
    exam_on: Annotated[
        str | None, typer.Option(metavar="DATE", help="For readiness: day of the examination.")
    ] = None,
    hours_a_week: Annotated[
        float | None,
        typer.Option(min=0, max=112, metavar="HOURS", help="For readiness: time to study."),
    ] = None,
    bank: Annotated[
        list[Path] | None,
        typer.Option(metavar="PATH", help="For readiness: the items; may be given again."),
    ] = None,
    blueprint: Annotated[
        Path | None, typer.Option(metavar="FILE", help="For readiness: the blueprint.")
    ] = None,
    today: Today = None,
) -> None:
    """Write the brief that an applicant takes home, as a PDF.

    For each title a page in plain words (the answer, why, what to do next, by when), then the
    details: every requirement with its source, and the open dates drawn. With --plan the schedule,
    the days to ask for papers that run out, and the budget stand between the two; with --responses
    and --tell-readiness, in words, how ready they are and what to study in each week, once that
    rests on enough.

    Example: comity brief amara.yaml --rulebook rulebooks -o amara.pdf
    """
    clock = Clock(day_of(today, "--today"))
    asked = Asked(day_of(on, "--on"), title, assume, confirmed)
    readiness = AskedReady(
        responses=responses,
        exam_on=exam_on,
        tell=tell_readiness,
        person=person,
        hours_a_week=hours_a_week,
        bank=bank,
        blueprint=blueprint,
    )
    output_of(output, inputs=[applicant, *([rates] if rates else []), *readiness.inputs])
    wishes = _wishes(savings_a_month, currency, rates) if plan else None
    inputs = read_inputs([applicant], rulebook, today=clock.today_at(), title=title)
    if not inputs.is_sound:
        refuse(inputs.problems, inputs.texts)
    ready = ready_page_for(readiness, applicant=_id_of(inputs), clock=clock)
    with progress("Assessing {}".format) as on_title:
        plans = () if wishes is None else _plans(inputs, wishes, title=title, clock=clock)
        pdf, found = brief_of(
            inputs,
            asked,
            today_at=clock.today_at,
            contact=contact,
            on_title=on_title,
            plans=plans,
            ready=ready,
        )
    write_whole(output, pdf)
    titles = "1 title" if len(found) == 1 else f"{len(found)} titles"
    typer.echo(f"{output}: the brief of {found[0].applicant_name}, {titles}.")


def _id_of(inputs: Inputs) -> str:
    applicant = inputs.applicants[0].applicant
    return "" if applicant is None else applicant.applicant


def _wishes(
    savings: str | None, currency: str | None, rates: Path | None
) -> Callable[[Day], Wishes]:
    """Return what is wished of the plans."""
    # Planning loads slowly, and a brief without plans does not need it.
    from comity.cli.plan_options import currency_of, rates_of, savings_of  # noqa: PLC0415
    from comity.service.planning import Wishes  # noqa: PLC0415

    counted_in = currency_of(currency)
    return partial(
        Wishes,
        savings=savings_of(savings, counted_in),
        currency=counted_in,
        rates=rates_of(rates, as_data=False),
    )


def _plans(
    inputs: Inputs, wishes: Callable[[Day], Wishes], *, title: str | None, clock: Clock
) -> tuple[Plan, ...]:
    """Return the plans of all titles asked for; what keeps one from being made ends the command."""
    from comity.service.planning_all import plan_all  # noqa: PLC0415 - see above

    made = plan_all(inputs, wishes, title=title, today_at=clock.today_at)
    if made.problems:
        refuse(made.problems, inputs.texts)
    return made.plans
