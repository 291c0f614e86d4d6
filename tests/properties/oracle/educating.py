"""Continuing education by hand."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from comity.core.days.period import Period
from tests.properties.oracle.months import (
    ONE_DAY,
    before,
    each_day,
    end_of_beginning,
    exactly,
)
from tests.properties.oracle.practising import first_qualification, first_registration
from tests.properties.oracle.world import World, excluded, known, same

if TYPE_CHECKING:
    from comity.core.facts.model import EducationUnits
    from comity.core.rulebook.kinds.educating import ContinuingEducation, Cycle


def education_holds(requirement: ContinuingEducation, world: World, day: date) -> bool:
    """Whether the units in the day's cycle or look-back are enough, in all and by category."""
    opens = _first_day_counted(requirement, world, day)
    if opens is None:
        return False
    counted = [
        each for each in known(world.facts.education) if opens <= exactly(each.earned) <= day
    ]
    return _total(requirement, counted) >= requirement.units and all(
        _units_in(minimum.categories, counted) >= minimum.least for minimum in requirement.minima
    )


def _total(requirement: ContinuingEducation, counted: list[EducationUnits]) -> Fraction:
    total = sum((known(each.units) for each in counted), Fraction(0))
    for cap in requirement.caps:
        total -= max(_units_in(cap.categories, counted) - cap.most, Fraction(0))
    return total


def _units_in(categories: tuple[str, ...], counted: list[EducationUnits]) -> Fraction:
    return sum(
        (known(each.units) for each in counted if excluded(each.category, categories)),
        Fraction(0),
    )


def _first_day_counted(requirement: ContinuingEducation, world: World, day: date) -> date | None:
    """Return the first day whose units count on a day; None when no cycle has begun."""
    if requirement.look_back is not None:
        return before(day, requirement.look_back) + ONE_DAY
    cycle = known(requirement.cycle)
    event = _event(requirement, cycle, world)
    if event is None or day < event:
        return None
    anniversary = world.once(
        ("anniversary", id(requirement)), lambda: _first_anniversary(event, cycle)
    )
    length = cycle.length
    if not cycle.first_is_long and event != anniversary:
        length = Period(months=length.months - 12)
    start, number = event, 0
    while (end := end_of_beginning(anniversary, _times(cycle.length, number, first=length))) <= day:
        start, number = end, number + 1
    return start


def _times(length: Period, number: int, *, first: Period) -> Period:
    """Return the time from the anniversary to the end of the cycle of a number."""
    return Period(months=first.months + number * length.months)


def _first_anniversary(event: date, cycle: Cycle) -> date:
    """Return the first day on or after the event that follows the day on which cycles end."""
    month, day_of_month = (int(part) for part in cycle.ends_on.split("-"))
    for day in each_day(event, date(event.year + 2, 1, 1)):
        eve = day - ONE_DAY
        if (eve.month, eve.day) == (month, day_of_month):
            return day
    raise AssertionError(cycle.ends_on)


def _event(requirement: ContinuingEducation, cycle: Cycle, world: World) -> date | None:
    if cycle.first_starts == "registration":
        return first_registration(world)
    if cycle.first_starts == "qualification":
        return first_qualification(world)
    passes = [
        exactly(each.taken)
        for each in known(world.applicant.results.examinations)
        if each.outcome == "passed" and same(each.examination, known(requirement.examination))
    ]
    return min(passes, default=None)
