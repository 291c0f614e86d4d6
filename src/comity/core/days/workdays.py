"""Working days of a party: neither in its weekend nor among its holidays."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, overload

import numpy as np

from comity.core.days.calendar import FOREVER, Day, Ints, look_up

if TYPE_CHECKING:
    from collections.abc import Iterable

_DAYS_A_WEEK = 7


@dataclass(frozen=True, slots=True)
class WorkCalendar:
    """When a party works.

    Parameters
    ----------
    weekend : frozenset of int
        Days of the week, Monday = 0; may be empty, not all seven.
    holidays : tuple of Day
        In any order; one on a weekend, or given twice, counts once.
    """

    weekend: frozenset[int] = frozenset({5, 6})
    holidays: tuple[Day, ...] = ()

    def __post_init__(self) -> None:
        """Refuse a week without working days."""
        if not all(0 <= day < _DAYS_A_WEEK for day in self.weekend):
            message = f"weekend {sorted(self.weekend)}: expected days of the week from 0 to 6"
            raise ValueError(message)
        if len(self.weekend) == _DAYS_A_WEEK:
            message = "a weekend of all seven days leaves no working day"
            raise ValueError(message)

    def with_holidays(self, holidays: Iterable[Day]) -> WorkCalendar:
        """Return the calendar with more holidays."""
        return WorkCalendar(self.weekend, (*self.holidays, *holidays))


@overload
def nth_working_day_after(days: Day, n: int, calendar: WorkCalendar) -> Day: ...
@overload
def nth_working_day_after(days: Ints, n: int | Ints, calendar: WorkCalendar) -> Ints: ...
def nth_working_day_after(days: Day | Ints, n: int | Ints, calendar: WorkCalendar) -> Day | Ints:
    """Return the n-th working day after each event, whose own day never counts.

    Parameters
    ----------
    days : int or ndarray of int64
        Days of the events, working days or not.
    n : int or ndarray of int64
        Working days, >= 0; 0 gives the event's day.
    calendar : WorkCalendar
        Of the party that acts.
    """
    working, n_before = _working_days(calendar)
    last = n_before.take(np.add(days, 1), mode="clip") + n - 1
    found = np.where(np.equal(n, 0), days, working.take(last, mode="clip"))
    return found if isinstance(days, np.ndarray) else int(found)


@overload
def first_start(ends: Day, n: int, calendar: WorkCalendar) -> Day: ...
@overload
def first_start(ends: Ints, n: int | Ints, calendar: WorkCalendar) -> Ints: ...
def first_start(ends: Day | Ints, n: int | Ints, calendar: WorkCalendar) -> Day | Ints:
    """Return the first event whose n-th working day lies on or after each end.

    The lower adjoint of `nth_working_day_after`; day 0 where time began too late.
    """
    working, n_before = _working_days(calendar)
    index = n_before.take(ends, mode="clip") - n
    found = np.where(np.equal(n, 0), ends, np.where(index < 0, 0, working.take(index, mode="clip")))
    return found if isinstance(ends, np.ndarray) else int(found)


@overload
def working_days_between(starts: Day, ends: Day, calendar: WorkCalendar) -> int: ...
@overload
def working_days_between(starts: Ints, ends: Ints, calendar: WorkCalendar) -> Ints: ...
def working_days_between(
    starts: Day | Ints, ends: Day | Ints, calendar: WorkCalendar
) -> int | Ints:
    """Return the number of working days from each start to the day before each end."""
    n_before = _working_days(calendar)[1]
    n_days = n_before.take(ends, mode="clip") - n_before.take(starts, mode="clip")
    return n_days if isinstance(starts, np.ndarray) else int(n_days)


@overload
def working_day_on_or_after(days: Day, calendar: WorkCalendar) -> Day: ...
@overload
def working_day_on_or_after(days: Ints, calendar: WorkCalendar) -> Ints: ...
def working_day_on_or_after(days: Day | Ints, calendar: WorkCalendar) -> Day | Ints:
    """Return each day if it is a working day, else the next one.

    Only for deadlines that run forward, and only where the rule says so: Regulation (EEC, Euratom)
    1182/71, article 3(4).
    """
    return look_up(_next_working_day(calendar), days)


@lru_cache(maxsize=64)
def _working_days(calendar: WorkCalendar) -> tuple[Ints, Ints]:
    """Return all working days, then FOREVER; and how many lie before each day."""
    works = np.ones(FOREVER + 1, bool)
    for day_of_week in calendar.weekend:
        works[day_of_week::_DAYS_A_WEEK] = False
    works[np.asarray(calendar.holidays, np.int64)] = False
    works[FOREVER] = False
    n_before = np.zeros(FOREVER + 2, np.int64)
    works.cumsum(out=n_before[1:])
    return np.append(np.flatnonzero(works), FOREVER), n_before


@lru_cache(maxsize=64)
def _next_working_day(calendar: WorkCalendar) -> Ints:
    """Return for each day the working day on or after it."""
    working = _working_days(calendar)[0]
    return working[working.searchsorted(np.arange(FOREVER + 1))]
