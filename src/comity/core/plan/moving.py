"""The monotone maps that move days: durations, waits, sittings, permitted days, and back."""

from __future__ import annotations

from bisect import bisect_left
from typing import TYPE_CHECKING

from comity.core.days.calendar import FOREVER, Day
from comity.core.days.workdays import first_start, nth_working_day_after

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.days.dayset import Run
    from comity.core.days.period import Period
    from comity.core.days.workdays import WorkCalendar
    from comity.core.plan.network import Sittings


def end_after(start: Day, days: int, calendar: WorkCalendar) -> Day:
    """Return the day on which a duration that starts on a day ends."""
    if days == 0:
        return start
    if not calendar.weekend and not calendar.holidays:
        return min(start + days, FOREVER)
    return nth_working_day_after(start, days, calendar)


def least_start(end: Day, days: int, calendar: WorkCalendar) -> Day:
    """Return the first start from which a duration ends on or after a day."""
    if days == 0:
        return end
    if not calendar.weekend and not calendar.holidays:
        return max(end - days, 0)
    return first_start(end, days, calendar)


def last_start(end: Day, days: int, calendar: WorkCalendar) -> Day:
    """Return the last start from which a duration ends on or before a day; -1 when there is none.

    The upper adjoint of `end_after`.
    """
    return least_start(end + 1, days, calendar) - 1


def next_allowed(day: Day, runs: Sequence[Run] | None) -> Day:
    """Return the first permitted day on or after a day; FOREVER when there is none."""
    if runs is None:
        return day
    index = bisect_left(runs, day, key=lambda run: run[1] - 1)
    return FOREVER if index == len(runs) else max(day, runs[index][0])


def last_allowed(day: Day, runs: Sequence[Run] | None) -> Day:
    """Return the last permitted day on or before a day; -1 when there is none."""
    if runs is None:
        return day
    index = bisect_left(runs, day + 1, key=lambda run: run[0]) - 1
    return -1 if index < 0 else min(day, runs[index][1] - 1)


def next_sitting(day: Day, sittings: Sittings) -> Day:
    """Return the first sitting that one can still enter for on a day; FOREVER when none is left."""
    index = bisect_left(sittings.dates, day, key=lambda sitting: sitting.closes)
    return FOREVER if index == len(sittings.dates) else sittings.dates[index].on


def last_entry(day: Day, sittings: Sittings) -> Day:
    """Return the last day to enter for a sitting that lies on or before a day; -1 when none."""
    index = bisect_left(sittings.dates, day + 1, key=lambda sitting: sitting.on) - 1
    return -1 if index < 0 else sittings.dates[index].closes


def least_before(end: Day, period: Period) -> Day:
    """Return the first day after which a period reaches a day: the lower adjoint of ``after``."""
    return period.last_start(end - 1) + 1 if end > 0 else 0
