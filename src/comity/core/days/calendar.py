"""Days as whole numbers, and the two additions of calendar months.

A day is the number of days since 1900-01-01. Calendar months are added in two ways, which differ
at the end of short months and are never exchanged for each other:

- *clamp*, for "within n months after an event": same day number n months on, else that month's
  last day (Regulation (EEC, Euratom) 1182/71, article 3(1) and 3(2)(c));
- *roll*, for "n months beginning with a day": the exclusive end, a missing day becoming the first
  of the month after (BGB sections 187(2) and 188(2), second alternative).

Neither has an inverse, so "n months before a limit" is the *upper adjoint* of the clamp, not a
subtraction. Each is a table over all days, made on first use.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date
from functools import lru_cache
from typing import Final, Literal, overload

import numpy as np
import numpy.typing as npt

Day = int
"""Days since 1900-01-01, which is day 0 and a Monday."""

Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

FOREVER: Final = 131_071
"""The exclusive end of time (17 bits): what has no end, ends here."""

MonthRule = Literal["clamp", "roll"]

_ORDINAL_OF_DAY_0: Final = date(1900, 1, 1).toordinal()
_FIRST_MONTH: Final = (1900 - 1970) * 12
_N_MONTHS: Final = 12 * 359
_DAY_0: Final = -25_567  # 1900-01-01 as days since 1970-01-01


def day_from_date(value: date) -> Day:
    """Return the day number of a date.

    Parameters
    ----------
    value : datetime.date
        From 1900-01-01 on.

    Raises
    ------
    ValueError
        When the date lies before 1900 or beyond the end of time.

    Examples
    --------
    >>> day_from_date(date(2026, 3, 1))
    46080
    """
    day = value.toordinal() - _ORDINAL_OF_DAY_0
    if not 0 <= day < FOREVER:
        message = f"{value.isoformat()} lies outside the days from 1900-01-01 to {iso(FOREVER - 1)}"
        raise ValueError(message)
    return day


def date_from_day(day: Day) -> date:
    """Return the date of a day number."""
    return date.fromordinal(int(day) + _ORDINAL_OF_DAY_0)


def iso(day: Day) -> str:
    """Return a day as ``YYYY-MM-DD``."""
    return date_from_day(day).isoformat()


@overload
def add_months_clamp(days: Day, n: int) -> Day: ...
@overload
def add_months_clamp(days: Ints, n: int) -> Ints: ...
def add_months_clamp(days: Day | Ints, n: int) -> Day | Ints:
    """Return the day n months after each day: same day number, else the month's last day.

    Parameters
    ----------
    days : int or ndarray of int64
        Taken as 0 below 0, and as FOREVER beyond it; FOREVER stays FOREVER.
    n : int
        Months; may be negative.

    Examples
    --------
    >>> iso(add_months_clamp(day_from_date(date(2026, 1, 31)), 1))
    '2026-02-28'
    """
    if isinstance(days, np.ndarray):
        return look_up(clamp_table(n, 0), days)
    return _clamped(days, n)


def _clamped(day: Day, n: int) -> Day:
    """Return the day n months after one day: a table of all days would take a thousand times it."""
    if day >= FOREVER:
        return FOREVER
    start = date_from_day(max(day, 0))
    year, month = divmod(start.year * 12 + start.month - 1 + n, 12)
    first = date(year, month + 1, 1).toordinal() - _ORDINAL_OF_DAY_0
    length = monthrange(year, month + 1)[1]
    return min(max(first + min(start.day, length) - 1, 0), FOREVER)


@overload
def add_months_roll(days: Day, n: int) -> Day: ...
@overload
def add_months_roll(days: Ints, n: int) -> Ints: ...
def add_months_roll(days: Day | Ints, n: int) -> Day | Ints:
    """Return the exclusive end of n months beginning with each day.

    Parameters
    ----------
    days : int or ndarray of int64
        First days, which count.
    n : int
        Months, >= 0.

    Examples
    --------
    >>> iso(add_months_roll(day_from_date(date(2024, 11, 30)), 3))
    '2025-03-01'
    """
    return look_up(roll_table(n, 0), days)


@overload
def last_day_with_clamp_at_most(limits: Day, n: int) -> Day: ...
@overload
def last_day_with_clamp_at_most(limits: Ints, n: int) -> Ints: ...
def last_day_with_clamp_at_most(limits: Day | Ints, n: int) -> Day | Ints:
    """Return the greatest day whose clamped n months end on or before each limit; -1 when none.

    For "at least n months of validity left": the upper adjoint of the clamp. Going back n months
    from the limit would refuse up to three lawful days.

    Parameters
    ----------
    limits : int or ndarray of int64
        Last days of validity; FOREVER gives FOREVER.
    n : int
        Months, >= 0.

    Examples
    --------
    >>> iso(last_day_with_clamp_at_most(day_from_date(date(2027, 2, 28)), 6))
    '2026-08-31'
    """
    return look_up(clamp_adjoint_table(n, 0), limits)


@overload
def look_up(table: Ints, days: Day) -> Day: ...
@overload
def look_up(table: Ints, days: Ints) -> Ints: ...
@overload
def look_up(table: Ints, days: Day | Ints) -> Day | Ints: ...
def look_up(table: Ints, days: Day | Ints) -> Day | Ints:
    """Return a table's entries for days, which saturate at 0 and FOREVER."""
    if isinstance(days, np.ndarray):
        found: Ints = table.take(days, mode="clip")
        return found
    return int(table[min(max(days, 0), FOREVER)])


@lru_cache(maxsize=64)
def clamp_table(months: int, days: int) -> Ints:
    """Return the day `months` (clamped) and then `days` after each day, for all days."""
    return _saturated(_moved(months, "clamp"), days)


@lru_cache(maxsize=64)
def roll_table(months: int, days: int) -> Ints:
    """Return the exclusive end of `months` (rolled) and then `days` beginning with each day."""
    return _saturated(_moved(months, "roll"), days)


@lru_cache(maxsize=64)
def clamp_adjoint_table(months: int, days: int) -> Ints:
    """Return, for each limit, the last day whose clamped end is not after it; -1 when none."""
    return _read_only(_n_entries_up_to(clamp_table(months, days)) - 1)


@lru_cache(maxsize=64)
def roll_adjoint_table(months: int, days: int) -> Ints:
    """Return, for each limit, the last first day whose rolled end is not after it; -1 when none."""
    return _read_only(_n_entries_up_to(roll_table(months, days)) - 1)


@lru_cache(maxsize=64)
def trailing_table(months: int, days: int, counted_from: int) -> Ints:
    """Return the first day counted by a trailing window on each day; negative before day 0.

    The window opens `counted_from` days (1 when its day counts, else 0) after the day which lies
    `months` (clamped) and then `days` back.
    """
    table = _moved(-months, "clamp")
    table += counted_from - days
    table[FOREVER] = FOREVER
    return _read_only(table)


@lru_cache(maxsize=64)
def window_reaches_table(months: int, days: int, counted_from: int) -> Ints:
    """Return, for each day, the first day whose trailing window begins on or after it."""
    # One more than each entry, so that the number of entries up to a day is of those before it.
    after = np.maximum(trailing_table(months, days, counted_from), -1) + 1
    return _read_only(_n_entries_up_to(after)[:-1])


def _n_entries_up_to(table: Ints) -> Ints:
    """Return for each day how many of a table's entries, themselves days, do not exceed it."""
    counts = np.bincount(table, minlength=FOREVER + 1)
    return counts.cumsum(out=counts)


def _moved(months: int, rule: MonthRule) -> Ints:
    """Return each day moved by calendar months, unbounded."""
    first, target = _firsts_of_months(0), _firsts_of_months(months)
    length = np.diff(first)
    moved = np.repeat(target[:-1] - first[:-1], length)[: FOREVER + 1]
    moved += _all_days()
    # Only the last days of a month can be missing in the month they are moved to, three at most.
    greatest = np.diff(target) - (1 if rule == "clamp" else 0)
    for days_left in range(1, 4):
        day = first[1:] - days_left
        missing = (length - days_left > greatest) & (day <= FOREVER)
        moved[day[missing]] = (target[:-1] + greatest)[missing]
    return moved


def _saturated(table: Ints, days: int) -> Ints:
    """Return the table moved by days, within 0 and FOREVER, keeping FOREVER fixed."""
    table += days
    table[FOREVER] = FOREVER
    return _read_only(np.clip(table, 0, FOREVER, out=table))


@lru_cache(maxsize=1)
def _all_days() -> Ints:
    """Return all days and FOREVER."""
    return _read_only(np.arange(FOREVER + 1))


def _firsts_of_months(shift: int) -> Ints:
    """Return the first days of all months from 1900-01 on, each `shift` months later."""
    months = np.arange(_FIRST_MONTH + shift, _FIRST_MONTH + shift + _N_MONTHS + 1)
    return months.astype("datetime64[M]").astype("datetime64[D]").astype(np.int64) - _DAY_0


def _read_only(table: Ints) -> Ints:
    """Return the table, protected: it is shared by every caller."""
    table.setflags(write=False)
    return table
