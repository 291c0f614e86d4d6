"""The day-set primitives done the slow way: one day, one row, one rule at a time."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from comity.core.days.gaps import Anchor
    from comity.core.days.period import Period

DAY_0 = date(1900, 1, 1)
FIRST = (date(2023, 6, 1) - DAY_0).days
LAST = (date(2026, 6, 30) - DAY_0).days
ALL_DAYS = range(FIRST, LAST + 1)

Span = tuple[int, int]
Spell = tuple[int, int, int]  # start, end, value


def after(day: int, period: Period) -> int:
    """Return the last day within a period after an event."""
    return _in_month(day, period.months, roll=False) + period.days


def beginning(day: int, period: Period) -> int:
    """Return the exclusive end of a period that begins with a day."""
    return _in_month(day, period.months, roll=True) + period.days


def before(day: int, period: Period) -> int:
    """Return the day which a trailing window opens after."""
    return _in_month(day, -period.months, roll=False) - period.days


@lru_cache(maxsize=100_000)
def _in_month(day: int, months: int, *, roll: bool) -> int:
    known = DAY_0 + timedelta(days=day)
    year, month = divmod(known.year * 12 + known.month - 1 + months, 12)
    n_days = monthrange(year, month + 1)[1]
    last = (date(year, month + 1, n_days) - DAY_0).days
    return last - n_days + known.day if known.day <= n_days else last + int(roll)


def days_in(spans: Iterable[Span]) -> set[int]:
    """Return the days of half-open spans, among all those looked at."""
    return {day for start, end in spans for day in range(max(start, FIRST), min(end, LAST + 1))}


def daily_amounts(spells: Sequence[Spell], cap: int) -> dict[int, int]:
    """Return each day's sum, capped."""
    return {
        day: min(cap, sum(value for start, end, value in spells if start <= day < end))
        for day in ALL_DAYS
    }


def amount(amounts: dict[int, int], day: int, *, window: Period | None, counted: int) -> int:
    """Return the sum over the trailing window on a day; nothing lies before the days looked at."""
    opens = FIRST - 1 if window is None else before(day, window)
    return sum(amounts.get(each, 0) for each in range(opens + counted, day + counted))


def prefix_sums(amounts: dict[int, int]) -> dict[int, int]:
    """Return, for each day, the sum over all days before it."""
    sums, total = {}, 0
    for day in range(FIRST, LAST + 3):
        sums[day] = total
        total += amounts.get(day, 0)
    return sums


def holds_run(spans: Sequence[Span], day: int, *, length: Period, window: Period | None) -> bool:
    """Return whether a run of a length lies within the window on a day."""
    opens = FIRST - 1 if window is None else before(day, window)
    clipped = [(max(start, opens + 1), min(end, day + 1)) for start, end in spans]
    return any(start < end and beginning(start, length) <= end for start, end in clipped)


def lasted(last: int, period: Period, anchor: Anchor) -> int:
    """Return the first day on which a gap after a last day of practice has lasted a period."""
    if anchor == "after last practice day":
        return after(last, period)
    return beginning(last + 1, period) - 1


def last_counted(practised: Collection[int], day: int, origin: int) -> int | None:
    """Return the last day of practice up to a day, or the origin while there has been none."""
    earlier = [each for each in practised if each <= day]
    if earlier:
        return max(earlier)
    return origin if origin <= day else None


def has_long_gap(
    practised: Collection[int], day: int, *, since: int, greatest: Period, anchor: Anchor,
    window: Period | None = None,
) -> bool:  # fmt: skip
    """Return whether some gap from `since` up to a day has lasted longer than allowed."""
    opens = FIRST - 1 if window is None else before(day, window)
    marks = [since, *sorted(each for each in practised if since < each <= day), day + 1]
    return any(
        following - 1 > lasted(max(last, opens), greatest, anchor)
        for last, following in pairwise(marks)
    )
