"""The command ``comity plan``."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import Annotated, Final

import typer

from comity.cli.options import (
    Clock,
    Json,
    OneApplicant,
    Rulebooks,
    Title,
    Today,
    day_of,
    output_of,
    refuse,
    tell,
)
from comity.cli.plan_options import (
    blocked_of,
    currency_of,
    minutes_of,
    rates_of,
    savings_of,
    sitting_of,
    sittings_of,
)
from comity.cli.plan_sentences import plan_lines, refining_said
from comity.cli.progress import progress
from comity.cli.sentences import laid_out
from comity.core.plan.taken import LIKELY_TO_PASS
from comity.files.writing import write_whole
from comity.service.assessing import read_inputs
from comity.service.planning import N_DRAWS, SEED, Plan, Wishes
from comity.service.planning_all import plan_all
from comity.service.planning_json import plans_data

_MOST_DRAWS: Final = 200_000
_MOST_SECONDS: Final = 3_600.0
SECONDS: Final = 10.0


def plan(  # noqa: PLR0913 - each parameter is an option of the command
    applicant: OneApplicant,
    *,
    rulebook: Rulebooks,
    title: Title = None,
    start: Annotated[
        str | None,
        typer.Option("--from", metavar="DATE", help="First day to plan from; today if left out."),
    ] = None,
    draws: Annotated[
        int,
        typer.Option(min=100, max=_MOST_DRAWS, metavar="N", help="How many futures to go through."),
    ] = N_DRAWS,
    seed: Annotated[
        int, typer.Option(min=0, metavar="N", help="Another number gives other chance.")
    ] = SEED,
    likely_to_pass: Annotated[
        float,
        typer.Option(
            min=0.01, max=1.0, metavar="SHARE", help="How likely one attempt at an exam succeeds."
        ),
    ] = LIKELY_TO_PASS,
    hours_a_week: Annotated[
        str | None, typer.Option(metavar="HOURS", help="Hours of study a week, as 10 or 7.5.")
    ] = None,
    savings_a_month: Annotated[
        str | None,
        typer.Option(metavar="AMOUNT", help="What can be put aside a month, as 220 or 220.50."),
    ] = None,
    blocked: Annotated[
        list[str] | None,
        typer.Option(
            metavar="FROM..TO",
            help="Days on which you can do nothing, both included; may be given again.",
        ),
    ] = None,
    sitting: Annotated[
        str | None,
        typer.Option(metavar="DATE", help="The sitting of an exam that you want to go to first."),
    ] = None,
    sittings_from: Annotated[
        str | None, typer.Option(metavar="DATE", help="No sitting of an exam before this day.")
    ] = None,
    skip_sitting: Annotated[
        list[str] | None,
        typer.Option(metavar="DATE", help="A sitting to pass over; may be given again."),
    ] = None,
    seconds: Annotated[
        float,
        typer.Option(
            min=0.0,
            max=_MOST_SECONDS,
            metavar="N",
            help="How long to look for a better plan where savings or hours are short; Ctrl-C takes"
            " the best so far.",
        ),
    ] = SECONDS,
    currency: Annotated[
        str | None, typer.Option(metavar="CUR", help="Currency to count in, as EUR.")
    ] = None,
    rates: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="Exchange rates, in a layout of the European Central Bank."
        ),
    ] = None,
    as_data: Json = False,
    chart: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Draw the schedule into this SVG.")
    ] = None,
    ics: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the days into this calendar.")
    ] = None,
    today: Today = None,
) -> None:
    """Say what to do when, how long it takes, and what it costs.

    For each title that is open or can be opened: the dates as spreads, what to do next, when to ask
    for papers that run out, and the fees month by month. Times and results that nobody can know are
    drawn many times over; the same seed gives the same plan.

    Example: comity plan amara.yaml --rulebook rulebooks --title dietitian --currency EUR
    """
    clock = Clock(day_of(today, "--today"))
    for output, option in ((chart, "--chart"), (ics, "--ics")):
        if output is not None:
            output_of(output, inputs=[applicant, *([rates] if rates else [])], option=option)
    counted_in = currency_of(currency)
    first_day = day_of(start, "--from")
    ahead = clock.today_at() if first_day is None else first_day
    wishes = partial(
        Wishes,
        draws=draws,
        seed=seed,
        p_pass=likely_to_pass,
        study_minutes_a_week=minutes_of(hours_a_week),
        savings=savings_of(savings_a_month, counted_in),
        currency=counted_in,
        rates=rates_of(rates, as_data=as_data),
        blocked=blocked_of(blocked),
        sitting=sitting_of(sitting, "--sitting", today=ahead),
        sittings_from=day_of(sittings_from, "--sittings-from"),
        skipped_sittings=sittings_of(skip_sitting, "--skip-sitting", today=ahead),
        seconds=seconds,
    )
    inputs = read_inputs([applicant], rulebook, today=clock.today_at(), title=title)
    if not inputs.is_sound:
        refuse(inputs.problems, inputs.texts, as_data=as_data)
    if inputs.problems:
        tell(inputs.problems, inputs.texts, as_data=as_data)
    with progress(_capitalised) as on_progress:
        made = plan_all(
            inputs,
            wishes,
            title=title,
            start=first_day,
            today_at=clock.today_at,
            on_progress=on_progress,
            on_refining=lambda found: on_progress(refining_said(found)) is None,
        )
    if made.problems:
        tell(made.problems, inputs.texts, as_data=as_data)
    shown = [each for each in made.plans if each.can_be_opened or title is not None]
    _write(shown, chart=chart, ics=ics)
    if as_data:
        data = plans_data(each for each in shown if each.can_be_opened)
        typer.echo(json.dumps(data, ensure_ascii=False, indent=2))
    else:
        _say(shown, closed=[each for each in made.plans if each not in shown])
    if made.problems:
        raise typer.Exit(1)


def _capitalised(text: str) -> str:
    return text[:1].upper() + text[1:]


def _say(plans: list[Plan], *, closed: list[Plan]) -> None:
    if plans:
        typer.echo("\n\n".join(laid_out(plan_lines(each)) for each in plans))
    for each in closed:
        typer.echo(
            f"\nNo plan for {each.route.title.name} at {each.rulebook.authority.name}: nobody can"
            " say when all it asks is met. `comity assess` says why."
        )


def _write(plans: list[Plan], *, chart: Path | None, ics: Path | None) -> None:
    possible = [each for each in plans if each.is_possible]
    if chart is not None and possible:
        from comity.service.planning_files import chart_of  # noqa: PLC0415 - slow to load

        for each, path in zip(possible, _one_each(chart, possible), strict=True):
            write_whole(path, chart_of(each))
            typer.echo(f"{path}: the schedule of {each.route.title.name}.", err=True)
    if ics is not None:
        from comity.service.planning_files import calendar_of  # noqa: PLC0415 - slow to load

        write_whole(ics, calendar_of(possible))
        typer.echo(f"{ics}: the days of {_n_plans(len(possible))}.", err=True)


def _n_plans(n: int) -> str:
    return "1 plan" if n == 1 else f"{n} plans"


def _one_each(path: Path, plans: list[Plan]) -> list[Path]:
    """Return a path for each plan: as named for a single one, else with its title in the name."""
    if len(plans) == 1:
        return [path]
    return [
        path.with_stem(f"{path.stem}-{each.rulebook.authority.id}-{each.title_id}")
        for each in plans
    ]
