"""The command ``comity exam ready``."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from comity.cli.exam_options import (
    Banks,
    OneBlueprint,
    Person,
    Responses,
    bank_of,
    blueprint_of,
    marked_of,
    print_json,
    refuse_sentence,
    say,
)
from comity.cli.exam_ready_sentences import ready_lines
from comity.cli.options import Clock, Json, Today, day_of, output_of, refuse
from comity.cli.progress import progress
from comity.core.exam.booking import BookingRules
from comity.core.exam.planned_study import ReadinessError
from comity.core.exam.responses import ResponsesError
from comity.files.exam_results import load_results
from comity.files.writing import write_all
from comity.service.exam_readiness import Wanted, known_of, prepare, prepared_data, study_calendar
from comity.service.exam_responses import no_such_person

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.exam.real_results import RealResult
    from comity.service.exam_readiness import Prepared

_WEEK_HOURS: Final = 112.0


def ready(  # noqa: PLR0913 - each parameter is an option of the command
    responses: Responses,
    *,
    person: Person,
    on: Annotated[
        str, typer.Option(metavar="DATE", help="Day of the examination.", show_default=False)
    ],
    bank: Banks = None,
    blueprint: OneBlueprint = None,
    hours_a_week: Annotated[
        float | None,
        typer.Option(
            min=0, max=_WEEK_HOURS, metavar="HOURS", help="Time to study; plans the weeks."
        ),
    ] = None,
    blocked: Annotated[
        list[str] | None,
        typer.Option(metavar="DATE", help="A day without study; may be given again."),
    ] = None,
    or_on: Annotated[
        list[str] | None,
        typer.Option(
            metavar="DATE", help="A later sitting to weigh against the first; may be given again."
        ),
    ] = None,
    fee: Annotated[
        str, typer.Option(metavar="AMOUNT", help="What one attempt costs, as 240 or 240.50.")
    ] = "0",
    day_costs: Annotated[
        str, typer.Option(metavar="AMOUNT", help="What each day later costs, lost earnings say.")
    ] = "0",
    failing_costs: Annotated[
        str,
        typer.Option(metavar="AMOUNT", help="What it costs to have no attempt or sitting left."),
    ] = "0",
    attempts: Annotated[
        int | None, typer.Option(min=1, metavar="N", help="Attempts that are left.")
    ] = None,
    results: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Real results (person, day, passed); from 30 on they correct the chance.",
        ),
    ] = None,
    pass_mark: Annotated[
        float | None,
        typer.Option(min=0, max=1, metavar="SHARE", help="As 0.55, in place of the blueprint's."),
    ] = None,
    chart: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Draw readiness over time into this SVG, and the weeks into FILE-weeks.",
        ),
    ] = None,
    ics: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the study plan into this calendar.")
    ] = None,
    as_data: Json = False,
    today: Today = None,
) -> None:
    """Say how ready a person is for an examination on a day, for their adviser.

    The chance of passing with its interval, the plain share of right answers beside it, and what
    both rest on. With hours to study comes a weekly plan and what it gains; with later sittings,
    whether to book now or wait.

    Example: comity exam ready class.csv --person p07 --on 2027-03-06 --hours-a-week 8
    """
    clock = Clock(day_of(today, "--today"))
    inputs = [responses, *(bank or []), *([] if results is None else [results])]
    for output, option in ((chart, "--chart"), (ics, "--ics")):
        if output is not None:
            output_of(output, inputs=inputs, option=option)
    wanted = Wanted(
        person=person,
        exam=_day(on, "--on"),
        hours_a_week=hours_a_week,
        blocked=frozenset(_day(each, "--blocked") for each in blocked or ()),
        sittings=tuple(_day(each, "--or-on") for each in or_on or ()),
        rules=BookingRules(
            _minor(fee, "--fee"),
            attempts,
            day_minor=_minor(day_costs, "--day-costs"),
            failure_minor=_minor(failing_costs, "--failing-costs"),
        ),
        cut=pass_mark,
    )
    today_is = clock.today_at()
    whole = bank_of(bank, as_data=as_data)
    outline = blueprint_of(blueprint, as_data=as_data)
    marked = marked_of(responses, whole, as_data=as_data, today=today_is)
    if person not in marked.people:
        refuse([no_such_person(person, marked.people)], {}, as_data=as_data)
    real = () if results is None else _results(results, today_is, as_data=as_data)
    with progress(str) as on_progress:
        on_progress("Weighing the answers")
        try:
            known = known_of(
                marked.dated(default=today_is),
                whole,
                outline,
                today=today_is,
                cut=pass_mark,
                results=real,
            )
            found = prepare(known, wanted)
        except (ReadinessError, ResponsesError) as error:
            refuse_sentence(error, as_data=as_data)
        on_progress("Writing")
        _write(found, chart=chart, ics=ics)
    if as_data:
        print_json(prepared_data(found))
    else:
        undated = sum(each.on is None for each in marked.marked)
        say(ready_lines(found, n_undated=undated, n_results=len(real)))


def _day(text: str, option: str) -> Day:
    found = day_of(text, option)
    assert found is not None  # noqa: S101 - a text was given
    return found


def _results(path: Path, today: Day, *, as_data: bool) -> tuple[RealResult, ...]:
    loaded = load_results(path, today=today)
    if not loaded.is_sound:
        refuse(loaded.problems, {loaded.file: loaded.text}, as_data=as_data)
    return loaded.results


def _minor(text: str, option: str) -> int:
    try:
        amount = Decimal(text.replace(",", "."))
    except InvalidOperation:
        amount = Decimal(-1)
    if not 0 <= amount < 10**9:
        msg = f"{text!r} is no amount; write 240 or 240.50."
        raise typer.BadParameter(msg, param_hint=option)
    return int(amount * 100)


def _write(found: Prepared, *, chart: Path | None, ics: Path | None) -> None:
    contents: dict[Path, str | bytes] = {}
    if ics is not None:
        contents[ics] = study_calendar(found)
    if chart is not None:
        from comity.service.exam_charts import readiness_chart, weeks_chart  # noqa: PLC0415

        contents[chart] = readiness_chart(found)
        contents[chart.with_stem(f"{chart.stem}-weeks")] = weeks_chart(found)
    written = {path: content for path, content in contents.items() if content}
    if written:
        write_all(written)
    for path in written:
        typer.echo(f"{path}: written.", err=True)
