"""Days of the requirements that are made of requirements."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import gcd

import numpy as np

from comity.core.days.accumulate import days_with_run
from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.dayset import DaySet, at_least
from comity.core.days.period import Period
from comity.core.eligibility.context import Context, days_of, folded, leaf_days, remembered
from comity.core.eligibility.events import trailing_end
from comity.core.eligibility.reading import OVER
from comity.core.eligibility.recency import SECTION_OF, Contacts, contacts, last_allowed
from comity.core.eligibility.totals import days_with_total
from comity.core.eligibility.triple import Days, complemented, every, negated, some
from comity.core.rulebook.kinds.combining import (
    All,
    AnyOf,
    AtLeast,
    Band,
    Bands,
    ByHand,
    Conflict,
    ForEach,
    Not,
    Refer,
    SameAs,
)
from comity.core.rulebook.kinds.scoring import Points


@leaf_days.register
def _all(requirement: All, context: Context) -> Days:
    return every([days_of(part, context) for part in requirement.of], context.n_rows)


@leaf_days.register
def _any(requirement: AnyOf, context: Context) -> Days:
    return some(1, [days_of(part, context) for part in requirement.of], context.n_rows)


@leaf_days.register
def _at_least(requirement: AtLeast, context: Context) -> Days:
    parts = [days_of(part, context) for part in requirement.of]
    return some(requirement.k, parts, context.n_rows)


@leaf_days.register
def _points(requirement: Points, context: Context) -> Days:
    """Return the days with points enough: each part counts as often as it has points.

    Counted in the largest step that all points share, so that fives and tens are ones and twos.
    """
    step = gcd(*(scored.points for scored in requirement.of))
    parts = [
        part
        for scored in requirement.of
        for part in [days_of(scored.for_, context)] * (scored.points // step)
    ]
    return some(-(-requirement.needed // step), parts, context.n_rows)


@leaf_days.register
def _not(requirement: Not, context: Context) -> Days:
    return negated(days_of(requirement.of, context))


@leaf_days.register
def _conflict(requirement: Conflict, context: Context) -> Days:
    readings = [days_of(part, context) for part in requirement.of]
    both = every(readings, context.n_rows)
    one = some(1, readings, context.n_rows)
    return Days(both.yes, one.ok, both.na)


@leaf_days.register
def _refer(_requirement: Refer, context: Context) -> Days:
    return Days(DaySet.empty(context.n_rows), DaySet.full(context.n_rows))


@leaf_days.register
def _same_as(requirement: SameAs, context: Context) -> Days:
    if context.same_as is None:
        msg = f"no other requirement to look up: {requirement.requirement!r}"
        raise LookupError(msg)
    return context.same_as(requirement.requirement)


@leaf_days.register
def _by_hand(requirement: ByHand, context: Context) -> Days:
    """Take the last review of the passage; without one it is unknown."""
    table = context.columns.table("reviews")
    full_id = f"{context.prefix}/{requirement.id}"
    mine = np.flatnonzero(table.where("requirement", lambda value: value == full_id))
    codes, values = table.codes("verdict")
    days, day_values = table.codes("on")
    on = np.array([*day_values, -1], np.int64)[days[mine]]
    order = mine[np.lexsort([on, table.rows[mine]])]
    last = order[np.append(table.rows[order][1:] != table.rows[order][:-1], True)[: order.size]]
    met = np.array([value == "met" for value in values] + [False])[codes[last]]
    refused = np.array([value == "not met" for value in values] + [False])[codes[last]]
    yes = context.columns.possible.copy()
    ok = context.columns.possible.copy()
    yes[table.rows[last]] = met
    ok[table.rows[last]] = ~refused
    return Days(DaySet.where(yes), DaySet.where(ok))


@leaf_days.register
def _bands(requirement: Bands, context: Context) -> Days:
    choices = []
    for inside, band in bands_with_days(requirement, context):
        owed = every([days_of(part, context) for part in band.requires], context.n_rows)
        choices.append(Days(inside & owed.yes, inside & owed.ok))
    return some(1, choices, context.n_rows)


def bands_with_days(requirement: Bands, context: Context) -> Iterator[tuple[DaySet, Band]]:
    """Yield each band with the days on which the gap since the last day of contact lies in it."""
    contact = _all_contacts(requirement, context)
    for band in requirement.bands:
        inside = DaySet.full(context.n_rows)
        for period, or_equal in ((band.below, False), (band.up_to, True)):
            if period is not None:
                inside = inside & _gap_shorter(contact, period, requirement, or_equal=or_equal)
        for period, or_equal in ((band.from_, False), (band.more_than, True)):
            if period is not None:
                shorter = _gap_shorter(contact, period, requirement, or_equal=or_equal)
                inside = inside & complemented(shorter)
        yield inside, band


@dataclass(frozen=True, slots=True)
class _AllContacts:
    spells: Contacts
    n_rows: int


def _all_contacts(requirement: Bands, context: Context) -> _AllContacts:
    """Return all spells that end a gap; where nobody has said, all days may be of contact."""
    found = [contacts(counted, requirement, context) for counted in requirement.counts]
    for counted in requirement.counts:
        rows = np.flatnonzero(context.columns.absent(SECTION_OF[counted]))
        found.append(Contacts(rows, np.zeros_like(rows), np.full_like(rows, FOREVER - 1)))
    spells = Contacts(
        np.concatenate([each.rows for each in found]),
        np.concatenate([each.starts for each in found]),
        np.concatenate([each.lasts for each in found]),
    )
    return _AllContacts(spells, context.n_rows)


def _gap_shorter(contact: _AllContacts, period: Period, bands: Bands, *, or_equal: bool) -> DaySet:
    """Return the days on which the gap is below a period, or up to it; contact itself is no gap."""
    spells = contact.spells
    reached = last_allowed(spells.lasts, period, bands.anchor)
    if bands.anchor == "beginning first idle day":
        reached = reached + 1
    ends = np.maximum(reached + or_equal, spells.lasts + 1)
    return DaySet.from_runs(contact.n_rows, spells.rows, starts=spells.starts, ends=ends)


@leaf_days.register
def _for_each(requirement: ForEach, context: Context) -> Days:
    parts = []
    for value, exempt in exempt_by_key(requirement, context).items():
        if value is None:
            parts.append(Days.of(exempt | DaySet.where(context.columns.possible)))
            continue
        name = OVER[requirement.over][1]
        inside = days_of(requirement.of, context.bound_to(name, value))
        parts.append(Days(inside.yes | exempt, inside.ok | exempt))
    days = every(parts, context.n_rows)
    known = _known_rows(context, OVER[requirement.over][0])
    return Days(days.yes & known, days.ok & known)


@remembered
def exempt_by_key(requirement: ForEach, context: Context) -> dict[str | None, DaySet]:
    """Return the days on which each country or authority named by the facts does not matter.

    What is not known stands under None.
    """
    return {
        value: _exempt(requirement, context, mine)
        for value, mine in _entries_by_key(requirement, context)
    }


def _entries_by_key(requirement: ForEach, context: Context) -> Iterator[tuple[str | None, Bools]]:
    """Yield each country or authority gone through, None for an unknown one, with its entries."""
    section, name = OVER[requirement.over]
    table = context.columns.table(section)
    codes, values = table.codes(name)
    held = codes >= -1
    if section == "registrations":
        held = table.where("state", lambda state: state == "held")
    excluded = {folded(value) for value in requirement.excluded or ()}
    for code, value in (*enumerate(values), (-1, None)):
        # What matters is complemented, which swaps the rows: possible rows hold every spell.
        mine = held & (codes == code)
        if mine.any() and (value is None or folded(value) not in excluded):
            yield value, mine


def _exempt(requirement: ForEach, context: Context, mine: Bools) -> DaySet:
    """Return the days on which the spells of one country or authority do not matter."""
    table = context.columns.table(OVER[requirement.over][0])
    starts = table.since("start")
    if requirement.from_age is not None:
        starts = np.maximum(starts, _age_reached(requirement.from_age, context)[table.rows])
    spells = DaySet.from_runs(
        context.n_rows, table.rows[mine], starts=starts[mine], ends=table.until("end")[mine] + 1
    )
    return complemented(_mattering(spells, requirement))


def _age_reached(age: Period, context: Context) -> Ints:
    """Return for every row the day on which an age is reached, as late or soon as it may be."""
    person = context.columns.table("person")
    reached = np.full(context.n_rows, FOREVER, np.int64)
    reached[person.rows] = age.after(person.since("born"))
    return reached


def _known_rows(context: Context, section: str) -> DaySet:
    """Return every day, but none in certain rows of whom the section is not known."""
    return DaySet.where(~np.roll(context.columns.absent(section), context.n_rows // 2))


def _mattering(spells: DaySet, requirement: ForEach) -> DaySet:
    """Return the days on which a country or authority matters."""
    window = requirement.look_back
    found = []
    if requirement.least_stay is not None:
        found.append(days_with_run(spells, length=requirement.least_stay, window=window))
    if requirement.least_in_all is not None:
        found.append(days_with_total(spells, least=requirement.least_in_all, window=window))
    if found:
        return at_least(len(found), found)
    ends = np.full(spells.rows.size, FOREVER, np.int64)
    if window is not None:
        ends = trailing_end(spells.ends - 1, window)
    return DaySet.from_runs(spells.n_rows, spells.rows, starts=spells.starts, ends=ends)
