"""The half hours in which there is time to study, and which domain each is for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import Day, iso
from comity.core.exam.planned_study import ReadinessError, StudySession

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WEEK: Final = 7
HALF_HOUR: Final = 30
DAY_HOURS: Final = 24
EVERY_DAY: Final = tuple(range(WEEK))


@dataclass(frozen=True, slots=True)
class StudyTime:
    """When somebody has time to study.

    Parameters
    ----------
    start : Day
        First day of study.
    exam : Day
        Day of the examination; study ends the day before.
    hours_a_week : float
        Time in a whole week; of a week that is cut short, a share. Used in whole half hours;
        what is left over goes to the next week.
    weekdays : tuple of int
        Days of the week for study, 0 Monday to 6 Sunday.
    at_most_a_day : float
        Most hours on one day.
    blocked : frozenset of Day
        Days without study.
    """

    start: Day
    exam: Day
    hours_a_week: float
    weekdays: tuple[int, ...] = EVERY_DAY
    at_most_a_day: float = 8.0
    blocked: frozenset[Day] = frozenset()

    def __post_init__(self) -> None:
        if self.exam < self.start:
            message = f"the examination, on {iso(self.exam)}, is before {iso(self.start)}"
            raise ReadinessError(message)
        if (
            not 0 <= self.hours_a_week <= DAY_HOURS * WEEK
            or not 0 <= self.at_most_a_day <= DAY_HOURS
        ):
            message = (
                "hours must fit a week and a day:"
                f" got {self.hours_a_week:g} a week, at most {self.at_most_a_day:g} a day"
            )
            raise ReadinessError(message)
        if not {*self.weekdays} <= {*EVERY_DAY}:
            message = f"days of the week are 0 Monday to 6 Sunday, got {self.weekdays}"
            raise ReadinessError(message)


@dataclass(frozen=True, slots=True)
class StudyWeek:
    """What to study in one week.

    Parameters
    ----------
    starts : Day
        Monday of the week.
    minutes : int
        Together.
    domains : tuple of (str, int)
        Minutes of each domain with any, the most first.
    sessions : tuple of StudySession
        By day.
    """

    starts: Day
    minutes: int
    domains: tuple[tuple[str, int], ...]
    sessions: tuple[StudySession, ...]


def monday_of(day: Day) -> Day:
    """Return the Monday of a day's week; day 0 was one."""
    return day - day % WEEK


def study_days(time: StudyTime) -> tuple[Day, ...]:
    """Return the day of every half hour there is, in order."""
    slots: list[Day] = []
    owed = 0.0
    for monday in range(monday_of(time.start), time.exam, WEEK):
        whole = [monday + weekday for weekday in sorted({*time.weekdays})]
        # A blocked day takes no time away: it is made up on the others, as far as a day allows.
        owed += 2 * time.hours_a_week * sum(_is_in(time, day) for day in whole) / max(len(whole), 1)
        wanted = int(owed + 1e-9)
        owed -= wanted
        slots += _half_hours_of(time, whole, wanted)
    return tuple(slots)


def _is_in(time: StudyTime, day: Day) -> bool:
    return time.start <= day < time.exam


def _half_hours_of(time: StudyTime, whole: Sequence[Day], wanted: int) -> Iterator[Day]:
    """Yield the day of each half hour of a week, evenly over the days that are free."""
    free = [day for day in whole if _is_in(time, day) and day not in time.blocked]
    possible = min(wanted, int(2 * time.at_most_a_day + 1e-9) * len(free))
    for number, day in enumerate(free):
        yield from [day] * ((number + 1) * possible // len(free) - number * possible // len(free))


def spread_out(
    days: Sequence[Day], domains: Sequence[str], counts: Sequence[int]
) -> tuple[StudySession, ...]:
    """Return sessions in which each domain comes again and again, at even distances.

    Parameters
    ----------
    days : sequence of Day
        Of each half hour, in order; as many as `counts` sum to.
    domains : sequence of str
    counts : sequence of int
        Half hours of each domain.
    """
    # The halves of a domain stand in the middles of equal parts of the time.
    middles = [(np.arange(count) + 0.5) / max(count, 1) for count in counts]
    place = np.concatenate(middles)
    which = np.repeat(np.arange(len(counts)), counts)[np.argsort(place, kind="stable")]
    minutes: dict[tuple[Day, int], int] = {}
    for day, k in zip(days, which.tolist(), strict=True):
        minutes[day, k] = minutes.get((day, k), 0) + HALF_HOUR
    return tuple(StudySession(day, domains[k], each) for (day, k), each in sorted(minutes.items()))


def by_week(sessions: Sequence[StudySession]) -> tuple[StudyWeek, ...]:
    """Return sessions put into weeks, Monday to Sunday; weeks without any are left out."""
    weeks: dict[Day, list[StudySession]] = {}
    for each in sessions:
        weeks.setdefault(monday_of(each.on), []).append(each)
    return tuple(_week(monday, weeks[monday]) for monday in sorted(weeks))


def _week(monday: Day, sessions: Sequence[StudySession]) -> StudyWeek:
    minutes: dict[str, int] = {}
    for each in sessions:
        minutes[each.domain] = minutes.get(each.domain, 0) + each.minutes
    most_first = sorted(minutes.items(), key=lambda pair: (-pair[1], pair[0]))
    return StudyWeek(monday, sum(minutes.values()), tuple(most_first), tuple(sessions))
