"""Readiness, the weeks of study, and whether to wait, as an adviser reads them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.cli.exam_options import percent
from comity.core.days.calendar import iso
from comity.core.exam.forecasts import RESULTS_AT_LEAST
from comity.service.exam_readiness import CAUTION, short_name, time_said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.exam.booking import Booking
    from comity.core.exam.readiness import Readiness
    from comity.core.exam.study import StudyPlan
    from comity.service.exam_readiness import Prepared

ADVICE = {
    "book the first": "Book the first sitting: waiting costs more than it brings.",
    "wait": "Wait for the later sitting.",
    "no clear difference": "Neither is clearly better; decide by what else speaks for a day.",
    "cannot say yet": "Nothing can be said yet about booking or waiting.",
}


def ready_lines(found: Prepared, *, n_undated: int, n_results: int = 0) -> Iterator[str]:
    """Yield paragraphs; lines that begin with blanks belong to the one before.

    `n_results` is how many real results were given, of which some may not be usable.
    """
    wanted = found.wanted
    yield f"{wanted.person}, examination on {iso(wanted.exam)}"
    yield ""
    yield from _chance(found.now, "Without further study")
    if found.studied is not None:
        yield from _chance(found.studied, "With the study plan below")
    yield from _beside(found.now)
    yield ""
    yield from _rests_on(found.now, n_undated=n_undated)
    if n_results and found.known.exam.cut is not None:
        yield _by_results(found.now, n_results)
    yield ""
    yield "By domain, right answers to expect:"
    for each in found.now.domains:
        yield (
            f"  {short_name(each.name)}: {percent(each.right.middle)} (between"
            f" {percent(each.right.low)} and {percent(each.right.high)}), {each.n_first} answered"
        )
    if found.plan is not None:
        yield ""
        yield from _weeks(found, found.plan)
    if found.booking is not None:
        yield ""
        yield from _booking(found.booking)
        rules = wanted.rules
        if not (rules.day_minor or rules.failure_minor):
            yield (
                "  Only fees are weighed: --day-costs and --failing-costs say what waiting and"
                " failing cost besides"
            )
    yield ""
    yield CAUTION


def _chance(found: Readiness, when: str) -> Iterator[str]:
    between = f"between {percent(found.low)} and {percent(found.high)}"
    if found.low is None:
        yield f"{when}: no chance can be told, since the pass mark is not known."
    elif found.p_pass is None:
        yield f"{when}: too early for one figure; {between}."
    else:
        yield f"{when}: the chance of passing is {percent(found.p_pass)}, {between}."


def _beside(found: Readiness) -> Iterator[str]:
    benchmark = found.benchmark
    if benchmark.share_right is None:
        return
    said = f"By the share of right answers alone ({percent(benchmark.share_right)})"
    if benchmark.chance is None:
        yield f"{said}: nothing can be told without a pass mark."
    else:
        yield f"{said} it would be {percent(benchmark.chance)}."


def _rests_on(found: Readiness, *, n_undated: int) -> Iterator[str]:
    basis = found.rests_on
    last = "" if basis.last_on is None else f", the last on {iso(basis.last_on)}"
    yield (
        f"It rests on {basis.n_answers} answers to {basis.n_first} different items{last};"
        f" how hard items are, on the answers of {basis.n_people} people."
    )
    if found.reasons:
        yield "That is not enough yet:"
        yield from (f"  {reason}." for reason in found.reasons)
    yield from (f"  {remark}." for remark in found.remarks)
    if n_undated:
        yield (
            f"  {n_undated} answers tell no day and count as given today: forgetting is underrated."
        )


def _by_results(found: Readiness, n_given: int) -> str:
    n_used = found.rests_on.n_results
    given = f"{n_given} that {'was' if n_given == 1 else 'were'} given"
    if n_used:
        return f"The chance is corrected by {n_used} real results, of the {given}."
    return (
        f"Real results correct the chance from {RESULTS_AT_LEAST} people on who had answered enough"
        f" before they sat the examination; the {given} are too few."
    )


def _weeks(found: Prepared, plan: StudyPlan) -> Iterator[str]:
    names = {each.id: short_name(each.name) for each in found.blueprint.domains}
    yield "Study plan:"
    for week in plan.weeks:
        parts = ", ".join(f"{names[id_]} {time_said(minutes)}" for id_, minutes in week.domains)
        yield f"  Week of {iso(week.starts)}, {time_said(week.minutes)}: {parts}"
    gain = plan.gain
    if gain is not None:
        clear = "clearly more than" if gain.is_clear else "not clearly more than"
        yield (
            f"It raises the chance of passing from {percent(gain.without)} to"
            f" {percent(gain.planned)}. That is {clear} study in proportion to the examination"
            f" would ({percent(gain.in_proportion)}; the difference is {gain.gain * 100:+.1f}"
            f" points with a noise of {gain.noise * 100:.1f})."
        )
    yield from (f"No gain can be told: {reason}." for reason in plan.reasons)


def _booking(booking: Booking) -> Iterator[str]:
    yield ADVICE[booking.advice]
    yield from (f"  {reason}." for reason in booking.reasons)
    for each in booking.options:
        yield (
            f"  {iso(each.on)} first: {percent(each.p_pass)} there, {percent(each.p_ever)} in the"
            f" end; {each.n_attempts:.1f} attempts, fees {each.fees_minor / 100:.2f},"
            f" costs together {each.cost_minor / 100:.2f} on average"
        )
    if booking.best is not None and booking.saves_minor > 0:
        yield (
            f"  {iso(booking.best.on)} saves {booking.saves_minor / 100:.2f} on average, with a"
            f" noise of {booking.noise_minor / 100:.2f}"
        )
