"""The practice kinds by hand: amounts, runs, gaps, recency, updating."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import accumulate
from math import ceil
from typing import TYPE_CHECKING

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from tests.properties.oracle.months import (
    ONE_DAY,
    after,
    before,
    end_of_beginning,
    exactly,
    first_day_counted,
    number_of,
    running_counts,
)
from tests.properties.oracle.world import (
    Spell,
    World,
    dated,
    excluded,
    known,
    last_day_covered,
    listed,
    unbroken_runs,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from comity.core.facts.model import PracticeSpell, Registration, Updating
    from comity.core.rulebook.kinds.combining import Bands
    from comity.core.rulebook.kinds.practising import (
        Interruption,
        Practice,
        Recency,
        RegistrationScope,
        Scope,
        SupervisorConditions,
        UpdatingOwed,
    )

MINUTES_IN_A_WEEK = 168 * 60
# No example asks of a later day.
LAST_ASKED = date(2031, 1, 1)
DAYS_IN_A_MONTH = {"365/12": Fraction(365, 12), "30.4375": Fraction("30.4375")}


def spells_in(world: World, scope: Scope | None) -> list[PracticeSpell]:
    """Return the spells of practice that a scope lets count."""
    spells = known(world.facts.practice)
    return [spell for spell in spells if scope is None or _is_in(spell, scope)]


def _is_in(spell: PracticeSpell, scope: Scope) -> bool:
    return (
        listed_or_any(spell.setting, scope.settings)
        and not (scope.excluded_settings and excluded(spell.setting, scope.excluded_settings))
        and listed_or_any(spell.title, scope.titles)
        and listed_or_any(spell.country, scope.countries)
        and not (scope.excluded_countries and excluded(spell.country, scope.excluded_countries))
        and (scope.registered is None or known(spell.registered) == scope.registered)
        and (scope.supervised is None or known(spell.supervised) == scope.supervised)
        and (
            scope.least_hours_a_week is None
            or known(spell.hours_a_week) >= scope.least_hours_a_week
        )
    )


def listed_or_any(value: str | None, options: tuple[str, ...] | None) -> bool:
    """Whether a value is listed; a list left out does not matter."""
    return options is None or listed(value, options)


def first_qualification(world: World) -> date | None:
    """Return the day of the earliest qualification."""
    completed = [exactly(each.completed) for each in known(world.facts.qualifications)]
    return min(completed, default=None)


def first_registration(world: World) -> date | None:
    """Return the first day of the earliest registration held."""
    held = [each for each in known(world.facts.registrations) if each.state == "held"]
    return min((exactly(each.start) for each in held), default=None)


def _spells_counted(requirement: Practice, world: World) -> list[PracticeSpell]:
    spells = spells_in(world, requirement.scope)
    if requirement.after is None:
        return spells
    is_qualification = requirement.after == "qualification"
    event = first_qualification(world) if is_qualification else first_registration(world)
    if event is None:
        return []
    clipped = [
        replace(spell, start=PartialDate.exact(number_of(max(exactly(spell.start), event))))
        for spell in spells
    ]
    return [spell for spell in clipped if exactly(spell.start) <= exactly(spell.end)]


def practice_holds(requirement: Practice, world: World, day: date) -> bool:
    """Whether there was enough practice."""
    if requirement.run == "consecutive":
        return _has_a_run(requirement, world, day)
    done = world.once(("done", id(requirement)), lambda: _minutes_done(requirement, world))
    amount = done(day)
    if requirement.look_back is not None:
        amount -= done(before(day, requirement.look_back))
    return amount >= _minutes_needed(requirement)


def _minutes_done(requirement: Practice, world: World) -> Callable[[date], int]:
    """Return the sum of each day's rate up to each day, in minutes a week times days."""
    spells = [
        (exactly(spell.start), exactly(spell.end), known(spell.hours_a_week))
        for spell in _spells_counted(requirement, world)
    ]
    full, share = MINUTES_IN_A_WEEK, Fraction(1)
    if requirement.full_time is not None:
        full, share = requirement.full_time, requirement.overlap_cap
    cap = full * share
    assert cap.denominator == 1, "the examples cap at whole minutes"

    first = min((start for start, _, _ in spells), default=date(2000, 1, 1))
    rates = [0] * ((LAST_ASKED - first).days + 1)
    for start, end, minutes in spells:
        for place in range((start - first).days, (min(end, LAST_ASKED) - first).days + 1):
            rates[place] += minutes
    totals = list(accumulate(min(rate, int(cap)) for rate in rates))
    return lambda day: totals[(day - first).days] if day >= first else 0


def _minutes_needed(requirement: Practice) -> Fraction:
    """Return the threshold in minutes a week times days."""
    number, unit = requirement.amount.number, requirement.amount.unit
    if unit == "hours":
        return number * 60 * 7
    full = requirement.full_time
    if unit in {"months", "years"}:
        months = number * (12 if unit == "years" else 1)
        if requirement.hours_a_month is not None:
            return months * requirement.hours_a_month * 7
        return Fraction(ceil(months * DAYS_IN_A_MONTH[requirement.measure] * known(full)))
    if unit == "weeks":
        return number * 7 * known(full)
    assert unit == "days"
    if requirement.hours_a_day is not None:
        return number * requirement.hours_a_day * 7
    return number * known(full)


def _has_a_run(requirement: Practice, world: World, day: date) -> bool:
    runs = world.once(("runs", id(requirement)), lambda: _runs(requirement, world))
    length = _length(requirement)
    for start, end in runs:
        lower = max(start, first_day_counted(day, requirement.look_back))
        if end_of_beginning(lower, length) <= min(end, day + ONE_DAY):
            return True
    return False


def _runs(requirement: Practice, world: World) -> list[tuple[date, date]]:
    """Return the runs of practice with the pauses filled that do not break them."""
    runs: list[tuple[date, date]] = []
    pause = requirement.greatest_pause
    for start, end in _unbroken(requirement, world):
        if runs and pause is not None and start <= end_of_beginning(runs[-1][1], pause):
            runs[-1] = (runs[-1][0], end)
        else:
            runs.append((start, end))
    return runs


def _unbroken(requirement: Practice, world: World) -> list[tuple[date, date]]:
    """Return the runs of days worked, or of days worked full time where that is said."""
    counted = _spells_counted(requirement, world)
    if requirement.full_time is None:
        return unbroken_runs(dated(counted))
    enough = min(requirement.full_time, int(requirement.full_time * requirement.overlap_cap))
    first = min((exactly(spell.start) for spell in counted), default=LAST_ASKED)
    runs: list[tuple[date, date]] = []
    for place in range((LAST_ASKED - first).days + 1):
        day = first + place * ONE_DAY
        worked = sum(
            known(spell.hours_a_week)
            for spell in counted
            if exactly(spell.start) <= day <= exactly(spell.end)
        )
        if worked < enough:
            continue
        if runs and runs[-1][1] == day:
            runs[-1] = (runs[-1][0], day + ONE_DAY)
        else:
            runs.append((day, day + ONE_DAY))
    return runs


def _length(requirement: Practice) -> Period:
    number, unit = requirement.amount.number, requirement.amount.unit
    assert number.denominator == 1, "a run is a whole number of months, weeks or days"
    months = {"years": 12, "months": 1}.get(unit, 0)
    days = {"weeks": 7, "days": 1}.get(unit, 0)
    assert months or days, "a run is not measured in hours"
    return Period(months=months * int(number), days=days * int(number))


def gap_has_reached(last: date, asked: date, *, bound: Period, anchor: str) -> int:
    """Return -1, 0 or 1: the gap after a last day has not reached, just reached, passed a bound.

    `after last practice day`: the day last (+) n has reached it. `beginning first idle day`: the
    day e [+) n, with e the day after the last.
    """
    if anchor == "after last practice day":
        limit = after(last, bound)
    else:
        limit = end_of_beginning(last + ONE_DAY, bound)
    return (asked > limit) - (asked < limit)


def interruption_holds(requirement: Interruption, world: World, day: date) -> bool:
    """Whether no gap was too long, walking through the days from the first that matters."""
    first = world.once(("since", id(requirement)), lambda: _first_that_matters(requirement, world))
    if first is None or day < first:
        return False
    n_too_long = world.once(
        ("too long", id(requirement)),
        lambda: _days_too_long(requirement, world, first),
    )
    look_back = requirement.look_back
    opens = first - ONE_DAY if look_back is None else before(day, look_back)
    return n_too_long(day) - n_too_long(opens) == 0


def _first_that_matters(requirement: Interruption, world: World) -> date | None:
    if requirement.since == "qualification":
        return first_qualification(world)
    spells = spells_in(world, requirement.scope)
    return min((exactly(each.start) for each in spells), default=None)


def _days_too_long(requirement: Interruption, world: World, first: date) -> Callable[[date], int]:
    """Return the number of idle days, up to each day, on which the gap was too long already."""
    spells = dated(spells_in(world, requirement.scope))
    least = 0 if requirement.anchor == "beginning first idle day" else 1

    def is_too_long(day: date) -> bool:
        last = last_day_covered(spells, day)
        last = first if last is None else max(last, first)
        if last == day:
            return False
        bound, anchor = requirement.greatest, requirement.anchor
        return gap_has_reached(last, day, bound=bound, anchor=anchor) >= least

    return running_counts(first, is_too_long)


def recency_holds(requirement: Recency, world: World, day: date) -> bool:
    """Whether something that counts is recent enough."""
    for counted in requirement.counts:
        if counted == "qualification":
            completed = [exactly(each.completed) for each in known(world.facts.qualifications)]
            if any(each <= day <= after(each, requirement.within) for each in completed):
                return True
            continue
        last = last_day_covered(dated(_spells_of(counted, world, requirement)), day)
        if last is None:
            continue
        reached = gap_has_reached(last, day, bound=requirement.within, anchor=requirement.anchor)
        of_idle = requirement.anchor == "beginning first idle day"
        if last == day or reached < (0 if of_idle else 1):
            return True
    return False


def registrations_in(world: World, scope: RegistrationScope | None) -> list[Registration]:
    """Return the registrations held that a scope lets count."""
    return [
        each
        for each in known(world.facts.registrations)
        if each.state == "held"
        and (
            scope is None
            or (
                listed_or_any(each.authority, scope.authorities)
                and listed_or_any(each.country, scope.countries)
                and listed_or_any(each.title, scope.titles)
                and listed_or_any(each.category, scope.categories)
                and not (
                    scope.excluded_categories and excluded(each.category, scope.excluded_categories)
                )
            )
        )
    ]


def _spells_of(counted: str, world: World, asked: Recency | Bands) -> Sequence[Spell]:
    if counted == "practice":
        return spells_in(world, asked.scope)
    return registrations_in(world, asked.registrations)


def last_contact(asked: Bands, world: World, day: date) -> date | None:
    """Return the last day on or before a day with anything that ends a gap."""
    found: list[date | None] = []
    for counted in asked.counts:
        if counted == "qualification":
            completed = [exactly(each.completed) for each in known(world.facts.qualifications)]
            found += [each for each in completed if each <= day]
        else:
            found.append(last_day_covered(dated(_spells_of(counted, world, asked)), day))
    return max((each for each in found if each is not None), default=None)


def updating_holds(requirement: UpdatingOwed, world: World, day: date) -> bool:
    """Whether enough updating was done, each kind up to its share of the required amount."""
    required = requirement.amount.number * (
        60 if requirement.amount.unit == "hours" else known(requirement.hours_a_day)
    )
    counted = [
        each
        for each in known(world.facts.updating)
        if listed_or_any(each.how, requirement.allowed)
        and exactly(each.end) <= day
        and (requirement.within is None or exactly(each.start) > before(day, requirement.within))
        and _is_well_supervised(each, requirement.supervisor)
    ]
    hours: dict[str, Fraction] = {}
    for each in counted:
        hours[known(each.how)] = hours.get(known(each.how), Fraction(0)) + known(each.hours)
    for cap in requirement.caps:
        hours[cap.how] = min(hours.get(cap.how, Fraction(0)), cap.share * required)
    return sum(hours.values()) >= required


def _is_well_supervised(entry: Updating, conditions: SupervisorConditions | None) -> bool:
    if conditions is None or entry.how != "supervised practice":
        return True
    supervisor = known(entry.supervisor)
    if conditions.registered_for is not None:
        registered = exactly(supervisor.registered_since)
        if after(registered, conditions.registered_for) > exactly(entry.start):
            return False
    if conditions.same_profession and not known(supervisor.same_profession):
        return False
    return not (conditions.not_sanctioned and known(supervisor.sanctioned))


__all__ = [
    "first_qualification",
    "first_registration",
    "gap_has_reached",
    "interruption_holds",
    "last_contact",
    "practice_holds",
    "recency_holds",
    "updating_holds",
]
