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
    """Whether the units of every cycle looked at, or of the look-back, are enough."""
    entries = known(world.facts.education)
    if requirement.look_back is not None:
        opens = before(day, requirement.look_back) + ONE_DAY
        counted = [each for each in entries if opens <= exactly(each.earned) <= day]
        return _is_enough(requirement, counted, carried=Fraction(0))
    cycle = known(requirement.cycle)
    cycles = _cycles_up_to(requirement, world, day)
    first, last = (-1, None) if cycle.which == "running" else (-1 - cycle.how_many, -1)
    looked_at = range(len(cycles))[first:last]
    if len(looked_at) < cycle.how_many:
        return False

    def earned_in(number: int) -> list[EducationUnits]:
        start, end = cycles[number]
        return [each for each in entries if start <= exactly(each.earned) < min(end, day + ONE_DAY)]

    def carried_into(number: int) -> Fraction:
        if number == 0 or cycle.carried_over is None:
            return Fraction(0)
        surplus = _total(requirement, earned_in(number - 1)) - requirement.units
        return min(max(surplus, Fraction(0)), cycle.carried_over)

    return all(
        _is_enough(requirement, earned_in(number), carried=carried_into(number))
        for number in looked_at
    )


def _is_enough(
    requirement: ContinuingEducation, counted: list[EducationUnits], *, carried: Fraction
) -> bool:
    return _total(requirement, counted) + carried >= requirement.units and all(
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


def _cycles_up_to(
    requirement: ContinuingEducation, world: World, day: date
) -> list[tuple[date, date]]:
    """Return the cycles that have begun by a day, each with its exclusive end."""
    cycle = known(requirement.cycle)
    event = _event(requirement, cycle, world)
    if event is None or day < event:
        return []
    anniversary = world.once(
        ("anniversary", id(requirement)), lambda: _first_anniversary(event, cycle)
    )
    length = cycle.length
    if not cycle.first_is_long and event != anniversary:
        length = Period(months=length.months - 12)
    found: list[tuple[date, date]] = []
    start = event
    while start <= day:
        end = end_of_beginning(anniversary, _times(cycle.length, len(found), first=length))
        found.append((start, end))
        start = end
    return found


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
