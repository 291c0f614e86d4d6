"""Training, registration and facts of the person by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from tests.properties.oracle.months import ONE_DAY, after, day_of, enough_days, exactly
from tests.properties.oracle.world import (
    World,
    dated,
    excluded,
    known,
    listed,
    n_days_inside,
    plain,
    same,
    shares_one,
    unbroken_runs,
)

if TYPE_CHECKING:
    from datetime import date

    from comity.core.days.period import Period
    from comity.core.facts.model import Qualification, Registration
    from comity.core.rulebook.kinds.qualifying import (
        AgeReached,
        DatesOpen,
        Declared,
        Elapsed,
        NationalityHeld,
        QualificationHeld,
        RegistrationHeld,
        ResidenceHeld,
    )


def qualification_holds(requirement: QualificationHeld, world: World, day: date) -> bool:
    """Whether a single qualification passes every parameter."""
    return any(
        _is_the_one(entry, requirement) and _is_in_time(exactly(entry.completed), requirement, day)
        for entry in known(world.facts.qualifications)
    )


def _is_in_time(completed: date, asked: QualificationHeld, day: date) -> bool:
    return (
        completed <= day
        and (asked.within is None or day <= after(completed, asked.within))
        and (asked.at_least_ago is None or day >= after(completed, asked.at_least_ago))
        and (asked.completed_from is None or completed >= day_of(asked.completed_from))
        and (asked.completed_until is None or completed <= day_of(asked.completed_until))
    )


def _is_the_one(entry: Qualification, asked: QualificationHeld) -> bool:
    return (
        (asked.titles is None or listed(entry.title, asked.titles))
        and (asked.least_level is None or known(entry.level) >= asked.least_level)
        and (asked.fields is None or _begins_with_one(known(entry.field), asked.fields))
        and not (
            asked.excluded_fields and _begins_with_one(known(entry.field), asked.excluded_fields)
        )
        and (asked.countries is None or listed(entry.country, asked.countries))
        and not (asked.excluded_countries and excluded(entry.country, asked.excluded_countries))
        and (asked.accredited_by is None or shares_one(entry.accredited_by, asked.accredited_by))
        and (asked.equivalent_to is None or shares_one(entry.equivalent_to, asked.equivalent_to))
        and _is_long_enough(entry, asked)
        and _has_the_hours(entry, asked)
    )


def _begins_with_one(field: str, prefixes: tuple[str, ...]) -> bool:
    return any(plain(field).startswith(plain(prefix)) for prefix in prefixes)


def _is_long_enough(entry: Qualification, asked: QualificationHeld) -> bool:
    if asked.least_length is None:
        return True
    length = known(entry.length)
    least = asked.least_length
    if length.months == least.months:
        return length.days >= least.days
    if length.days == least.days:
        return length.months >= least.months
    return _in_days(length) >= _in_days(least)


def _in_days(length: Period) -> Fraction:
    """Return a length by the mean month of the calendar's 400 years: 146 097 days, 4 800 months."""
    return length.months * Fraction(146_097, 4_800) + length.days


def _has_the_hours(entry: Qualification, asked: QualificationHeld) -> bool:
    if asked.least_hours is None and asked.total_hours is None and not asked.shares:
        return True
    hours = {plain(category): minutes for category, minutes in known(entry.hours).items()}
    own_total = sum(hours.values())
    for category, least in (asked.least_hours or {}).items():
        if hours.get(plain(category), 0) < least:
            return False
    if asked.total_hours is not None and own_total < asked.total_hours:
        return False
    for part in asked.shares:
        base = {"actual total": own_total, "stated hours": part.hours}.get(
            part.of, asked.total_hours
        )
        if Fraction(hours.get(plain(part.category), 0)) < part.share * known(base):
            return False
    return True


def registration_holds(requirement: RegistrationHeld, world: World, day: date) -> bool:
    """Whether a registration that passes the filters is held, was held, or is held long enough."""
    entries = [
        entry
        for entry in known(world.facts.registrations)
        if _is_such(entry, requirement) and _is_of_turn(entry, world)
    ]
    return any(
        _is_run_enough(requirement, start, end - ONE_DAY, day=day)
        for start, end in unbroken_runs(dated(entries))
    ) and _is_held_enough_in_all(requirement, dated(entries), day)


def _is_run_enough(requirement: RegistrationHeld, start: date, last: date, *, day: date) -> bool:
    """Whether an unbroken run goes on, or ended not too long ago, and has been long enough."""
    length, within = requirement.for_at_least, requirement.within
    if day < start or (length is not None and min(day, last) < after(start, length)):
        return False
    if requirement.held == "current":
        return day <= last
    return within is None or day <= after(last, within)


def _is_held_enough_in_all(
    requirement: RegistrationHeld, spells: list[tuple[date, date]], day: date
) -> bool:
    """Whether the days of the look-back on which one is held come to what is asked in all."""
    if requirement.in_all is None:
        return True
    return n_days_inside(spells, day, look_back=requirement.look_back) >= enough_days(
        requirement.in_all
    )


def _is_such(entry: Registration, asked: RegistrationHeld) -> bool:
    return (
        (entry.state == "held" or asked.or_eligible)
        and (asked.authorities is None or listed(entry.authority, asked.authorities))
        and (asked.countries is None or listed(entry.country, asked.countries))
        and (asked.titles is None or listed(entry.title, asked.titles))
        and (asked.categories is None or listed(entry.category, asked.categories))
        and not (asked.excluded_categories and excluded(entry.category, asked.excluded_categories))
    )


def _is_of_turn(entry: Registration, world: World) -> bool:
    return (world.country is None or same(entry.country, world.country)) and (
        world.authority is None or same(entry.authority, world.authority)
    )


def nationality_holds(requirement: NationalityHeld, world: World, day: date) -> bool:
    """Whether a nationality is listed, on whatever day."""
    del day
    return shares_one(world.facts.person.nationality, requirement.countries)


def residence_holds(requirement: ResidenceHeld, world: World, day: date) -> bool:
    """Whether the country of residence is listed, on whatever day."""
    del day
    return listed(world.facts.person.residence, requirement.countries)


def age_holds(requirement: AgeReached, world: World, day: date) -> bool:
    """Whether the person is old enough and young enough."""
    born = exactly(world.facts.person.born)
    at_least, below = requirement.at_least, requirement.below
    return (at_least is None or day >= after(born, at_least)) and (
        below is None or day < after(born, below)
    )


def declaration_holds(requirement: Declared, world: World, day: date) -> bool:
    """Whether the question was answered as asked."""
    del day
    answers = [
        known(each.answer)
        for each in known(world.facts.declarations)
        if each.id == requirement.declaration
    ]
    assert len(answers) == 1, "a complete file answers each question once"
    return answers[0] == requirement.answer


def dates_hold(requirement: DatesOpen, world: World, day: date) -> bool:
    """Whether the calendar is open on a day."""
    del world
    if requirement.from_ is not None and day < day_of(requirement.from_):
        return False
    if requirement.until is not None and day > day_of(requirement.until):
        return False
    if requirement.every_year_from is None or requirement.every_year_until is None:
        return True
    today = f"{day.month:02}-{day.day:02}"
    first, last = requirement.every_year_from, requirement.every_year_until
    if first <= last:
        return first <= today <= last
    return today >= first or today <= last


def elapsed_holds(requirement: Elapsed, world: World, day: date) -> bool:
    """Whether enough and not too much time has passed since a milestone."""
    happened = [
        exactly(each.on)
        for each in world.applicant.progress
        if plain(each.milestone).split("/")[-1] == plain(requirement.since)
    ]
    if not happened:
        return not requirement.happened
    (event,) = happened
    return (
        day >= event
        and (requirement.at_least is None or day >= after(event, requirement.at_least))
        and (requirement.within is None or day <= after(event, requirement.within))
    )
