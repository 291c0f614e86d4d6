"""The money of a plan as a page shows it: each fee ahead, and what falls due month by month."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, day_from_date
from comity.service.planning_money import source_said

if TYPE_CHECKING:
    from comity.service.planning import Plan


@dataclass(frozen=True, slots=True)
class ShownFee:
    """A fee ahead: over all futures, in the plan's currency, and as it is published."""

    label: str
    p50: int
    p80: int
    published: str
    day: Day | None
    each: str
    refundable: bool
    source: str
    is_next_paid: bool


@dataclass(frozen=True, slots=True)
class ShownMonth:
    """What falls due in a month; `share` of the dearest month, in hundredths, to be drawn."""

    first_day: Day
    p50: int
    p80: int
    share: int


def fees_of(plan: Plan) -> tuple[ShownFee, ...]:
    """Return the fees ahead, each with its source and the day on which it is likely paid."""
    if plan.budget is None:
        return ()
    sources = {each.due.id: each.source for each in plan.owed}
    return tuple(
        ShownFee(
            line.fee.label,
            line.p50,
            line.p80,
            str(line.fee.least)
            if line.fee.least == line.fee.most
            else f"{line.fee.least} – {line.fee.most}",
            plan.times[line.fee.step].start.p50 if line.fee.step in plan.times else None,
            line.fee.paid_for,
            line.fee.refundable,
            source_said(plan, sources.get(line.fee.id)),
            bool(line.fee.n_paid),
        )
        for line in plan.budget.lines
    )


def months_of(plan: Plan) -> tuple[ShownMonth, ...]:
    """Return what falls due month by month."""
    if plan.budget is None:
        return ()
    due = [each for each in plan.budget.months if each.p80]
    most = max((each.p80 for each in due), default=1)
    return tuple(
        ShownMonth(
            day_from_date(date(each.year, each.month, 1)),
            each.p50,
            each.p80,
            max(round(100 * each.p80 / most), 1),
        )
        for each in due
    )
