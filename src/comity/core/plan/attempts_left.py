"""The sittings that are still to come for one applicant, and how many attempts are left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.workdays import working_day_on_or_after
from comity.core.plan.network import NO_WAIT, Sitting, Sittings
from comity.core.plan.taken import chance_of

if TYPE_CHECKING:
    from collections.abc import Container, Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.days.workdays import WorkCalendar
    from comity.core.facts.model import Applicant, ExaminationResult
    from comity.core.plan.taken import Taken
    from comity.core.rulebook.kinds.testing import ExaminationPassed
    from comity.core.rulebook.model import Examination

_APPOINTMENTS: Final = 500
"""Working days ahead on which an examination by appointment can be sat: two years."""
_SAT: Final = ("failed", "awaiting", "passed")


@dataclass(frozen=True, slots=True)
class Trying:
    """An applicant before an examination.

    Parameters
    ----------
    sittings : Sittings
        Still to come; one that is booked, or whose result is awaited, stands first.
    not_before : Day
        First day on which one may enter.
    used : int
        Attempts made that count.
    booked : Day or None
        Day of a sitting that is booked, or sat with the result awaited.
    """

    sittings: Sittings
    not_before: Day
    used: int
    booked: Day | None = None


def trying(
    examination: Examination,
    requirement: ExaminationPassed | None,
    applicant: Applicant,
    *,
    taken: Taken,
    calendar: WorkCalendar,
) -> Trying:
    """Return what is left of an examination's sittings and attempts.

    Parameters
    ----------
    examination : Examination
        With its published sittings.
    requirement : ExaminationPassed or None
        Which limits attempts and sets waits and bars; None where nothing does.
    applicant : Applicant
        With results so far.
    taken : Taken
        The day from which is planned, the chance of passing, and sittings that are passed over.
    calendar : WorkCalendar
        Working days of whoever holds it, for appointments.
    """
    start = taken.start
    results = _results(applicant, examination.id, requirement)
    sat = [each for each in results if each.outcome in _SAT]
    booked = _booked(results, start, skipped=taken.skipped)
    wait = (requirement.wait if requirement else None) or NO_WAIT
    not_before = max([start, *(wait.after(_day(each)) for each in sat)])
    allowed = requirement.attempts if requirement else None
    left = None if allowed is None else allowed - len(sat) + (booked is not None and booked < start)
    bar = requirement.bar if requirement else None
    if left is not None and left <= 0 and bar is not None and sat:
        not_before, left = max(not_before, bar.after(_day(sat[-1])) + 1), allowed
    dates = tuple(
        each
        for each in _dates(examination, start=start, calendar=calendar)
        if taken.can_sit(each.on)
    )
    if booked is not None:
        later = tuple(each for each in dates if each.closes > booked)
        dates = (Sitting(booked, max(booked, start)), *later)
        not_before = start
    chance = chance_of(taken.p_pass, examination.id)
    sittings = Sittings(dates if left is None or left > 0 else (), chance, left, wait)
    return Trying(sittings, not_before, len(sat), booked)


def _results(
    applicant: Applicant, examination: str, requirement: ExaminationPassed | None
) -> list[ExaminationResult]:
    """Return the results that count, by day."""
    is_of_now = requirement is not None and requirement.attempts_count == "application"
    found = [
        each
        for each in applicant.results.examinations or ()
        if each.examination == examination
        and each.taken is not None
        and not (is_of_now and each.application is not None)
    ]
    return sorted(found, key=_day)


def _day(result: ExaminationResult) -> Day:
    assert result.taken is not None  # noqa: S101 - only those with a day are kept
    return result.taken.latest


def _booked(
    results: Sequence[ExaminationResult], start: Day, *, skipped: Container[Day]
) -> Day | None:
    """Return the day of a sitting that is booked, or sat without a result so far."""
    for each in reversed(results):
        is_ahead = _day(each) >= start and _day(each) not in skipped
        if each.outcome == "awaiting" or (each.outcome == "booked" and is_ahead):
            return _day(each)
    return None


def _dates(examination: Examination, *, start: Day, calendar: WorkCalendar) -> Iterator[Sitting]:
    if examination.by_appointment:
        day = start
        for _ in range(_APPOINTMENTS):
            day = working_day_on_or_after(day, calendar)
            yield Sitting(day, day)
            day += 1
        return
    for each in sorted(examination.sittings, key=lambda sitting: sitting.on):
        closes = each.on if each.closes is None else each.closes
        if closes >= start:
            yield Sitting(each.on, closes)
