"""Months counted by hand with `datetime` and `dateutil`, one day at a time.

Sources: Regulation (EEC, Euratom) 1182/71 art. 3(2)(c) for a period after an event (clamp);
BGB 187(2), 188(2) and (3) for a period that begins with a day (roll).
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from math import ceil
from typing import TYPE_CHECKING

from dateutil.relativedelta import relativedelta

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from comity.core.days.partial import PartialDate
    from comity.core.days.period import Period

BEGINNING = date(1900, 1, 1)
# The exclusive end of time in the files; an open end lies there.
FAR = BEGINNING + timedelta(days=131_071)
ONE_DAY = timedelta(days=1)


@cache
def day_of(number: int) -> date:
    """Return the date of a day number of the files."""
    return BEGINNING + timedelta(days=number)


def number_of(day: date) -> int:
    """Return the day number of a date."""
    return (day - BEGINNING).days


def exactly(partial: PartialDate | None) -> date:
    """Return the date that is known exactly; an open end is far away."""
    assert partial is not None, "the oracle answers complete files only"
    assert partial.earliest == partial.latest, f"{partial} is not exact"
    return day_of(partial.earliest)


@cache
def after(day: date, period: Period) -> date:
    """Return the last day within the period after an event: (+), months first, then days."""
    return day + relativedelta(months=period.months) + timedelta(days=period.days)


@cache
def before(day: date, period: Period) -> date:
    """Return the day after which a trailing window opens: (+) with the period taken off."""
    return day - relativedelta(months=period.months) - timedelta(days=period.days)


@cache
def end_of_beginning(day: date, period: Period) -> date:
    """Return the exclusive end of the period which begins with a day: [+)."""
    month = date(day.year, day.month, 1) + relativedelta(months=period.months)
    try:
        rolled = month.replace(day=day.day)
    except ValueError:
        rolled = month + relativedelta(months=1)
    return rolled + timedelta(days=period.days)


def is_within_window(day: date, *, asked: date, look_back: Period | None) -> bool:
    """Whether a day lies in the trailing window (asked (+) (-look_back), asked]."""
    return day <= asked and (look_back is None or day > before(asked, look_back))


def first_day_counted(asked: date, look_back: Period | None) -> date:
    """Return the first day of the trailing window."""
    return BEGINNING if look_back is None else before(asked, look_back) + ONE_DAY


def enough_days(length: Period) -> int:
    """Return the days that make a length where days are added up: twelve months are 365."""
    return ceil(Fraction(length.months * 365, 12)) + length.days


def each_day(first: date, last: date) -> Iterator[date]:
    """Yield the days from first to last, both included."""
    day = first
    while day <= last:
        yield day
        day += ONE_DAY


def running_counts(first: date, holds: Callable[[date], bool]) -> Callable[[date], int]:
    """Return, for a day, on how many days from a first one up to it something holds."""
    totals: list[int] = []

    def count_on(day: date) -> int:
        place = (day - first).days
        while len(totals) <= place:
            is_held = holds(first + len(totals) * ONE_DAY)
            totals.append((totals[-1] if totals else 0) + is_held)
        return totals[place] if place >= 0 else 0

    return count_on
