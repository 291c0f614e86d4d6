"""Days of the kinds about training, registration and facts of the person."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from typing import Any, Final

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Day, Ints, day_from_date
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.eligibility.context import (
    Context,
    all_masks,
    bound,
    folded,
    is_none_of,
    is_one_of,
    leaf_days,
    remembered,
)
from comity.core.eligibility.pairs import ordered_pairs
from comity.core.eligibility.totals import days_with_total
from comity.core.eligibility.triple import Days
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.qualifying import (
    AgeReached,
    DatesOpen,
    Declared,
    Elapsed,
    LeastShare,
    NationalityHeld,
    QualificationHeld,
    RegistrationHeld,
    ResidenceHeld,
)

_MONTH_DAYS: Final = Fraction(146_097, 4_800)
"""Days of an average month of the Gregorian calendar: 146 097 days in 400 years."""
_FIRST_YEAR: Final = 1950
_LAST_YEAR: Final = 2100


@remembered
def qualifications_passing(requirement: QualificationHeld, context: Context) -> dict[str, Bools]:
    """Return for each parameter which qualifications pass it."""
    table = context.columns.table("qualifications")
    filters: dict[str, Bools | None] = {
        "title": is_one_of(table, "title", requirement.titles),
        "level": _level(table, requirement.least_level),
        "field": _field(table, requirement.fields, listed=True),
        "excluded field": _field(table, requirement.excluded_fields, listed=False),
        "length": _length(table, requirement.least_length),
        "country": is_one_of(table, "country", requirement.countries),
        "excluded country": is_none_of(table, "country", requirement.excluded_countries),
        "accredited_by": _listed(table, "accredited_by", requirement.accredited_by),
        "equivalent_to": _listed(table, "equivalent_to", requirement.equivalent_to),
        "hours": _hours(table, requirement),
        "following": _following(table, requirement),
        "completed": _completed_between(
            table, requirement.completed_from, requirement.completed_until
        ),
    }
    return {name: passes for name, passes in filters.items() if passes is not None}


@leaf_days.register
def _qualification(requirement: QualificationHeld, context: Context) -> Days:
    table = context.columns.table("qualifications")
    kept = all_masks(
        table,
        *qualifications_passing(requirement, context).values(),
        bound(table, context, "country"),
    )
    starts, ends = table.since("completed")[kept], np.full(int(kept.sum()), FOREVER, np.int64)
    if requirement.at_least_ago is not None:
        starts = requirement.at_least_ago.after(starts)
    if requirement.within is not None:
        ends = requirement.within.after(table.until("completed")[kept]) + 1
    yes = DaySet.from_runs(context.n_rows, table.rows[kept], starts=starts, ends=ends)
    return Days.of(context.known("qualifications", yes))


def _following(table: Table, requirement: QualificationHeld) -> Bools | None:
    """Return the qualifications completed after another one, and soon enough."""
    if requirement.following is None:
        return None
    titles = {folded(title) for title in requirement.following}
    comes_first = table.where("title", lambda title: folded(title) in titles)
    first, second = ordered_pairs(table.rows, np.arange(table.rows.size))
    since, until = table.since("completed"), table.until("completed")
    fits = comes_first[first] & (until[second] >= since[first])
    if requirement.following_within is not None:
        fits = fits & (requirement.following_within.after(until[first]) >= since[second])
    passes = np.zeros(table.rows.size, bool)
    passes[second[fits]] = True
    return passes


def _level(table: Table, least: int | None) -> Bools | None:
    return None if least is None else table.where("level", lambda level: level >= least)


def _field(table: Table, fields: tuple[str, ...] | None, *, listed: bool) -> Bools | None:
    if fields is None:
        return None
    prefixes = tuple(folded(text) for text in fields)
    return table.where("field", lambda value: folded(value).startswith(prefixes) is listed)


def _length(table: Table, least: Period | None) -> Bools | None:
    if least is None:
        return None
    return table.where("length", lambda length: is_as_long(length, least))


def is_as_long(length: Period, least: Period) -> bool:
    """Tell whether a length is at least another; months and days are compared as average months."""
    if length.days == least.days:
        return length.months >= least.months
    if length.months == least.months:
        return length.days >= least.days
    return _average_days(length) >= _average_days(least)


def _average_days(length: Period) -> Fraction:
    return length.months * _MONTH_DAYS + length.days


def _listed(table: Table, name: str, wanted: tuple[str, ...] | None) -> Bools | None:
    if wanted is None:
        return None
    texts = {folded(text) for text in wanted}
    return table.where(name, lambda bodies: any(folded(body) in texts for body in bodies))


def _hours(table: Table, requirement: QualificationHeld) -> Bools | None:
    if not (requirement.least_hours or requirement.total_hours or requirement.shares):
        return None
    return table.where("hours", lambda hours: not hours_lacking(requirement, hours))


def hours_lacking(requirement: QualificationHeld, hours: Mapping[str, int]) -> dict[str, int]:
    """Return the minutes that a curriculum lacks, by category; ``in all`` for the total."""
    given = {folded(category): minutes for category, minutes in hours.items()}
    total = sum(given.values())
    needed = {folded(name): minutes for name, minutes in (requirement.least_hours or {}).items()}
    for share in requirement.shares:
        least = _share_needed(share, requirement.total_hours or 0, total)
        name = folded(share.category)
        needed[name] = max(needed.get(name, 0), least)
    lacking = {name: least - given.get(name, 0) for name, least in needed.items()}
    if requirement.total_hours is not None:
        lacking["in all"] = requirement.total_hours - total
    return {name: minutes for name, minutes in lacking.items() if minutes > 0}


def _share_needed(share: LeastShare, required: int, actual: int) -> int:
    bases = {"required total": required, "actual total": actual, "stated hours": share.hours or 0}
    base = bases[share.of]
    return -int(-Fraction(share.share) * base // 1)


def _completed_between(table: Table, first: Day | None, last: Day | None) -> Bools | None:
    if first is None and last is None:
        return None
    early = 0 if first is None else first
    late = FOREVER if last is None else last
    return (table.until("completed") >= early) & (table.since("completed") <= late)


@remembered
def registrations_passing(requirement: RegistrationHeld, context: Context) -> Bools:
    """Return the registrations which pass the filters."""
    table = context.columns.table("registrations")
    states = {"held", "eligible"} if requirement.or_eligible else {"held"}
    return all_masks(
        table,
        is_one_of(table, "authority", requirement.authorities),
        is_one_of(table, "country", requirement.countries),
        is_one_of(table, "title", requirement.titles),
        is_one_of(table, "category", requirement.categories),
        is_none_of(table, "category", requirement.excluded_categories),
        table.where("state", lambda state: state in states),
        bound(table, context, "country", "authority"),
    )


@leaf_days.register
def _registration(requirement: RegistrationHeld, context: Context) -> Days:
    held = days_registered(requirement, context)
    yes = held
    if requirement.held == "ever":
        yes = _held_ever(requirement, held)
    elif requirement.for_at_least is not None:
        begins = requirement.for_at_least.after(held.starts)
        yes = DaySet.from_runs(context.n_rows, held.rows, starts=begins, ends=held.ends)
    if requirement.in_all is not None:
        yes &= days_with_total(held, least=requirement.in_all, window=requirement.look_back)
    return Days.of(context.known("registrations", yes))


@remembered
def days_registered(requirement: RegistrationHeld, context: Context) -> DaySet:
    """Return the days on which a registration that passes the filters is held."""
    table = context.columns.table("registrations")
    kept = registrations_passing(requirement, context)
    starts, ends = table.since("start")[kept], table.until("end")[kept] + 1
    return DaySet.from_runs(context.n_rows, table.rows[kept], starts=starts, ends=ends)


def _held_ever(requirement: RegistrationHeld, held: DaySet) -> DaySet:
    """Return the days from which on a run of registration was long enough, and not long ago."""
    begins, ends = held.starts, np.full(held.ends.size, FOREVER, np.int64)
    if requirement.for_at_least is not None:
        begins = requirement.for_at_least.after(begins)
    if requirement.within is not None:
        ends = requirement.within.after(held.ends - 1) + 1
    ends[begins >= held.ends] = 0
    return DaySet.from_runs(held.n_rows, held.rows, starts=begins, ends=ends)


def _rows_where(context: Context, table: Table, passes: Bools) -> DaySet:
    """Return every day in the rows of which an entry passes."""
    held = np.zeros(context.n_rows, bool)
    held[table.rows[passes]] = True
    return DaySet.where(held)


@leaf_days.register
def _nationality(requirement: NationalityHeld, context: Context) -> Days:
    table = context.columns.table("person")
    passes = table.where(
        "nationality", lambda held: any(country in requirement.countries for country in held)
    )
    return Days.of(_rows_where(context, table, passes))


@leaf_days.register
def _residence(requirement: ResidenceHeld, context: Context) -> Days:
    table = context.columns.table("person")
    passes = table.where("residence", lambda country: country in requirement.countries)
    return Days.of(_rows_where(context, table, passes))


@leaf_days.register
def _age(requirement: AgeReached, context: Context) -> Days:
    table = context.columns.table("person")
    starts: Ints = np.zeros(table.rows.size, np.int64)
    ends = np.full(table.rows.size, FOREVER, np.int64)
    if requirement.at_least is not None:
        starts = requirement.at_least.after(table.since("born"))
    if requirement.below is not None:
        ends = requirement.below.after(table.until("born"))
    return Days.of(DaySet.from_runs(context.n_rows, table.rows, starts=starts, ends=ends))


@leaf_days.register
def _declared(requirement: Declared, context: Context) -> Days:
    table = context.columns.table("declarations")
    is_asked = table.where("id", lambda name: name == requirement.declaration)
    answered = table.where("answer", lambda answer: answer is requirement.answer)
    passing = _rows_where(context, table, is_asked & answered)
    asked = np.zeros(context.n_rows, bool)
    asked[table.rows[is_asked]] = True
    return Days.of(passing | DaySet.where(context.columns.possible & ~asked))


@leaf_days.register
def _dates(requirement: DatesOpen, context: Context) -> Days:
    starts = 0 if requirement.from_ is None else requirement.from_
    ends = FOREVER if requirement.until is None else requirement.until + 1
    yes = DaySet.between(starts, ends, n_rows=context.n_rows)
    if requirement.every_year_from is None and requirement.every_year_until is None:
        return Days.of(yes)
    return Days.of(yes & _yearly(requirement, context.n_rows))


def _yearly(requirement: DatesOpen, n_rows: int) -> DaySet:
    """Return the days between two days of every year, both included."""
    first, last = requirement.every_year_from or "01-01", requirement.every_year_until or "12-31"
    years = range(_FIRST_YEAR, _LAST_YEAR + 1)
    starts = np.array([day_of_year(year, first, rolls=True) for year in years], np.int64)
    ends = np.array([day_of_year(year + (last < first), last) + 1 for year in years], np.int64)
    rows = np.repeat(np.arange(n_rows, dtype=np.int64), starts.size)
    return DaySet.from_runs(
        n_rows, rows, starts=np.tile(starts, n_rows), ends=np.tile(ends, n_rows)
    )


def day_of_year(year: int, month_day: str, *, rolls: bool = False) -> Day:
    """Return the day of ``month-day`` in a year.

    In a common year 29 February is the 28th as an end, 1 March where something begins (`rolls`).
    """
    month, day = (int(part) for part in month_day.split("-"))
    try:
        return day_from_date(date(year, month, day))
    except ValueError:
        return day_from_date(date(year, month, day - 1)) + rolls


@leaf_days.register
def _elapsed(requirement: Elapsed, context: Context) -> Days:
    table = context.columns.table("progress")
    kept = table.where("milestone", _is_milestone(requirement.since, context.prefix))
    starts = table.since("on")[kept]
    ends = np.full(starts.size, FOREVER, np.int64)
    if requirement.at_least is not None:
        starts = requirement.at_least.after(starts)
    if requirement.within is not None:
        ends = requirement.within.after(table.until("on")[kept]) + 1
    yes = DaySet.from_runs(context.n_rows, table.rows[kept], starts=starts, ends=ends)
    if not requirement.happened:
        every_entry = context.columns.whole_table("progress")
        happened = every_entry.where("milestone", _is_milestone(requirement.since, context.prefix))
        happened = happened & every_entry.against
        has = np.zeros(context.n_rows, bool)
        has[every_entry.rows[happened]] = True
        yes = yes | DaySet.where(~has)
    return Days.of(yes)


def _is_milestone(milestone: str, prefix: str) -> Callable[[Any], bool]:
    names = {milestone, f"{prefix}/{milestone}"}
    return lambda value: value in names
