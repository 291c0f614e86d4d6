"""Days of the kinds about practice."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Final

import numpy as np

from comity.core.days.accumulate import days_with_amount, days_with_run
from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.days.steps import Steps
from comity.core.eligibility.context import (
    Context,
    all_masks,
    bound,
    is_none_of,
    is_one_of,
    leaf_days,
    remembered,
)
from comity.core.eligibility.triple import Days
from comity.core.facts.columns import Table
from comity.core.facts.model import Supervisor
from comity.core.rulebook.kinds.combining import Bands
from comity.core.rulebook.kinds.practising import (
    Anchor,
    Interruption,
    Practice,
    Recency,
    RegistrationScope,
    Scope,
    SupervisorConditions,
    UpdatingOwed,
)

WEEK_MINUTES: Final = 168 * 60
AFTER: Final[Anchor] = "after last practice day"
_MEASURES: Final = {"365/12": Fraction(365, 12), "30.4375": Fraction(487, 16)}
NO_SCOPE: Final = Scope()


def in_scope(table: Table, scope: Scope | None, context: Context) -> Bools:
    """Return which spells of practice count."""
    wanted = scope or NO_SCOPE
    hours = None
    if wanted.least_hours_a_week is not None:
        least = wanted.least_hours_a_week
        hours = table.where("hours_a_week", lambda minutes: minutes >= least)
    return all_masks(
        table,
        is_one_of(table, "setting", wanted.settings),
        is_none_of(table, "setting", wanted.excluded_settings),
        is_one_of(table, "title", wanted.titles),
        is_one_of(table, "country", wanted.countries),
        is_none_of(table, "country", wanted.excluded_countries),
        _flag(table, "registered", wanted=wanted.registered),
        _flag(table, "supervised", wanted=wanted.supervised),
        hours,
        bound(table, context, "country"),
    )


def _flag(table: Table, name: str, *, wanted: bool | None) -> Bools | None:
    return None if wanted is None else table.where(name, lambda value: value is wanted)


def first_event(context: Context, event: str) -> Ints:
    """Return for every row the first day of a qualification or registration; FOREVER for none.

    In a certain row the event has surely come, in a possible row it may have.
    """
    return _first(context, event, until=False)


def first_event_at_latest(context: Context, event: str) -> Ints:
    """Return the same day as the earliest (certain) or latest (possible) one it can be."""
    return _first(context, event, until=True)


def _first(context: Context, event: str, *, until: bool) -> Ints:
    """Return the first day of an event; the earliest it can be rests on every entry."""
    section, name = {
        "qualification": ("qualifications", "completed"),
        "registration": ("registrations", "start"),
    }[event]
    table = context.columns.whole_table(section) if until else context.columns.table(section)
    days = table.until(name) if until else table.since(name)
    held = table.against if until else table.rows >= 0
    if event == "registration":
        held = held & table.where("state", lambda state: state == "held")
    return _earliest(table.rows[held], days[held], context.n_rows)


def _earliest(rows: Ints, days: Ints, n_rows: int) -> Ints:
    """Return the earliest day of each row; FOREVER for none."""
    first = np.full(n_rows, FOREVER, np.int64)
    np.minimum.at(first, rows, days)
    return first


def practice_days(context: Context, scope: Scope | None) -> DaySet:
    """Return the days of practice that count."""
    table = context.columns.table("practice")
    kept = in_scope(table, scope, context)
    return DaySet.from_runs(
        context.n_rows,
        table.rows[kept],
        starts=table.since("start")[kept],
        ends=table.until("end")[kept] + 1,
    )


@remembered
def weekly_minutes(practice: Practice, context: Context) -> Steps:
    """Return the minutes a week worked on each day, as far as they count."""
    table = context.columns.table("practice")
    kept = in_scope(table, practice.scope, context)
    starts = table.since("start")[kept]
    if practice.after is not None:
        first = first_event(context, practice.after)
        starts = np.maximum(starts, first[table.rows[kept]])
    cap = daily_cap(practice)
    minutes = table.numbers("hours_a_week", least=0, most=cap)[kept]
    profile = Steps.sum_of(
        context.n_rows,
        table.rows[kept],
        starts=starts,
        ends=table.until("end")[kept] + 1,
        values=minutes,
    )
    return profile.capped(cap)


def daily_cap(practice: Practice) -> int:
    """Return the minutes a week that count at most on one day."""
    if practice.full_time is None:
        return WEEK_MINUTES
    return int(practice.full_time * practice.overlap_cap)


def practice_needed(practice: Practice) -> int:
    """Return the amount asked, in minutes a week summed over days."""
    number, unit = practice.amount.number, practice.amount.unit
    if unit == "hours":
        return ceil(number * 60 * 7)
    full_time = practice.full_time or 0
    if unit in {"months", "years"}:
        months = number * (12 if unit == "years" else 1)
        if practice.hours_a_month is not None:
            return ceil(months * practice.hours_a_month * 7)
        return ceil(months * _MEASURES[practice.measure] * full_time)
    days = number * (7 if unit == "weeks" else 1)
    if practice.hours_a_day is not None and unit == "days":
        return ceil(days * practice.hours_a_day * 7)
    return ceil(days * full_time)


def run_length(practice: Practice) -> Period:
    """Return the length of a consecutive run that is asked for."""
    number, unit = int(practice.amount.number), practice.amount.unit
    factor = {"years": 12, "months": 1, "weeks": 7, "days": 1}[unit]
    if unit in {"years", "months"}:
        return Period(months=number * factor)
    return Period(days=number * factor)


@leaf_days.register
def _practice(requirement: Practice, context: Context) -> Days:
    if requirement.run == "consecutive":
        spells = clipped_practice(requirement, context)
        yes = days_with_run(spells, length=run_length(requirement), window=requirement.look_back)
    else:
        yes = days_with_amount(
            weekly_minutes(requirement, context),
            threshold=practice_needed(requirement),
            window=requirement.look_back,
        )
    yes = context.known("practice", yes)
    if requirement.after is not None:
        yes = _when_event_known(yes, requirement.after, context)
    return Days.of(yes)


def _when_event_known(yes: DaySet, event: str, context: Context) -> DaySet:
    section = "qualifications" if event == "qualification" else "registrations"
    return context.known(section, yes)


def clipped_practice(requirement: Practice, context: Context) -> DaySet:
    """Return the days of practice for a consecutive run, short pauses filled."""
    spells = practice_days(context, requirement.scope)
    if requirement.after is not None:
        first = first_event(context, requirement.after)
        spells = spells & DaySet.between(first, FOREVER)
    return (
        spells
        if requirement.greatest_pause is None
        else _bridged(spells, requirement.greatest_pause)
    )


def _bridged(spells: DaySet, pause: Period) -> DaySet:
    """Return the runs with gaps of at most a pause between them filled."""
    rows, starts, ends = spells.rows, spells.starts, spells.ends
    short = (rows[1:] == rows[:-1]) & (starts[1:] <= pause.beginning(ends[:-1]))
    pauses = DaySet.from_runs(
        spells.n_rows, rows[1:][short], starts=ends[:-1][short], ends=starts[1:][short]
    )
    return spells | pauses


def last_allowed(lasts: Ints, period: Period, anchor: Anchor) -> Ints:
    """Return the last day on which a gap after a last day of practice is not too long."""
    if anchor == "after last practice day":
        return period.after(lasts)
    return period.beginning(lasts + 1) - 1


@leaf_days.register
def _interruption(requirement: Interruption, context: Context) -> Days:
    since, latest = gaps_count_since(requirement, context)
    spells = practice_days(context, requirement.scope)
    counted = (spells & DaySet.between(latest, FOREVER)) | DaySet.between(latest, latest + 1)
    bad = _exceeded(counted, requirement)
    yes = DaySet.between(since, FOREVER) - bad
    yes = context.known("practice", yes)
    return Days.of(_when_event_known(yes, "qualification", context))


def gaps_count_since(requirement: Interruption, context: Context) -> tuple[Ints, Ints]:
    """Return for every row the day from which gaps matter: as surely come, as surely not passed.

    The first practice is the first that counts.
    """
    if requirement.since == "qualification":
        return first_event(context, "qualification"), first_event_at_latest(
            context, "qualification"
        )
    table = context.columns.table("practice")
    kept = in_scope(table, requirement.scope, context)
    rows = table.rows[kept]
    return (
        _earliest(rows, table.since("start")[kept], context.n_rows),
        _earliest(rows, table.until("start")[kept], context.n_rows),
    )


def _exceeded(contact: DaySet, requirement: Interruption) -> DaySet:
    """Return the days on which a gap between days of contact has been too long."""
    rows, lasts = contact.rows, contact.ends - 1
    following = np.full(rows.size, FOREVER, np.int64)
    follows = rows[1:] == rows[:-1]
    following[:-1][follows] = contact.starts[1:][follows]
    first_bad = last_allowed(lasts, requirement.greatest, requirement.anchor) + 1
    is_bad = first_bad < following
    ends = np.full(rows.size, FOREVER, np.int64)
    if requirement.look_back is not None:
        ends = trailing_end(following - 1, requirement.look_back)
        ends[following == FOREVER] = FOREVER
    return DaySet.from_runs(
        contact.n_rows, rows[is_bad], starts=first_bad[is_bad], ends=ends[is_bad]
    )


def trailing_end(last_days: Ints, window: Period) -> Ints:
    """Return the first day whose trailing window no longer holds each last day."""
    return window.window_reaches(last_days + 1)


@leaf_days.register
def _recency(requirement: Recency, context: Context) -> Days:
    yes = DaySet.empty(context.n_rows)
    for counted in requirement.counts:
        yes = yes | _recent(counted, requirement, context)
    return Days.of(yes)


def _recent(counted: str, requirement: Recency, context: Context) -> DaySet:
    contact = contacts(counted, requirement, context)
    # An award is an event, after which months are counted; only spells have a first idle day.
    anchor = AFTER if counted == "qualification" else requirement.anchor
    ends = last_allowed(contact.lasts, requirement.within, anchor) + 1
    recent = DaySet.from_runs(context.n_rows, contact.rows, starts=contact.starts, ends=ends)
    return context.known(SECTION_OF[counted], recent)


SECTION_OF: Final = {
    "practice": "practice",
    "qualification": "qualifications",
    "registration": "registrations",
}


@dataclass(frozen=True, slots=True)
class Contacts:
    """Spells of contact with the profession, one by one.

    A spell of which start and end are known to the month may begin, at the latest, after it ends,
    at the earliest: it holds no certain day, and yet there surely was one by its start.
    """

    rows: Ints
    starts: Ints
    lasts: Ints

    def days(self, n_rows: int) -> DaySet:
        """Return the days that are certain, or possible, in any of the spells."""
        return DaySet.from_runs(n_rows, self.rows, starts=self.starts, ends=self.lasts + 1)


def contacts(counted: str, requirement: Recency | Bands, context: Context) -> Contacts:
    """Return the spells of practice, of qualifying, or of being registered."""
    section, start, end = {
        "practice": ("practice", "start", "end"),
        "qualification": ("qualifications", "completed", "completed"),
        "registration": ("registrations", "start", "end"),
    }[counted]
    table = context.columns.table(section)
    if counted == "practice":
        kept = in_scope(table, requirement.scope, context)
    else:
        kept = all_masks(table, bound(table, context, "country", "authority"))
    if counted == "registration":
        kept = kept & registrations_in_scope(table, requirement.registrations)
    return Contacts(table.rows[kept], table.since(start)[kept], table.until(end)[kept])


def contact_days(counted: str, requirement: Recency | Bands, context: Context) -> DaySet:
    """Return the days of practice, of qualifying, or of being registered."""
    return contacts(counted, requirement, context).days(context.n_rows)


def registrations_in_scope(table: Table, scope: RegistrationScope | None) -> Bools:
    """Return which registrations held count."""
    wanted = scope or RegistrationScope()
    return all_masks(
        table,
        table.where("state", lambda state: state == "held"),
        is_one_of(table, "authority", wanted.authorities),
        is_one_of(table, "country", wanted.countries),
        is_one_of(table, "title", wanted.titles),
        is_one_of(table, "category", wanted.categories),
        is_none_of(table, "category", wanted.excluded_categories),
    )


@leaf_days.register
def _updating(requirement: UpdatingOwed, context: Context) -> Days:
    done = sum(
        (profile for _how, profile in updating_done(requirement, context)),
        start=Steps.zero(context.n_rows),
    )
    return Days.of(context.known("updating", done.at_least(updating_needed(requirement))))


def updating_needed(requirement: UpdatingOwed) -> int:
    """Return the minutes of updating owed."""
    if requirement.amount.unit == "hours":
        return ceil(requirement.amount.number * 60)
    return ceil(requirement.amount.number * (requirement.hours_a_day or 0))


@remembered
def updating_done(requirement: UpdatingOwed, context: Context) -> list[tuple[str, Steps]]:
    """Return for each kind of updating the minutes that count on each day."""
    table = context.columns.table("updating")
    ends = np.full(table.rows.size, FOREVER, np.int64)
    if requirement.within is not None:
        ends = trailing_end(table.until("start"), requirement.within)
    minutes = table.numbers("hours", least=0, most=updating_needed(requirement))
    caps = {cap.how: cap.share for cap in requirement.caps}
    done: list[tuple[str, Steps]] = []
    for how in requirement.allowed or ("supervised practice", "formal study", "private study"):
        kept = table.where("how", how.__eq__)
        if how == "supervised practice" and requirement.supervisor is not None:
            kept = kept & _well_supervised(table, requirement.supervisor)
        profile = Steps.sum_of(
            context.n_rows,
            table.rows[kept],
            starts=table.since("end")[kept],
            ends=ends[kept],
            values=minutes[kept],
        )
        if how in caps:
            profile = profile.capped(int(caps[how] * updating_needed(requirement)))
        done.append((how, profile))
    return done


def _well_supervised(table: Table, wanted: SupervisorConditions) -> Bools:
    """Return the entries whose supervisor fulfils the conditions."""
    kept = all_masks(
        table,
        _supervisor_flag(table, "same_profession", wanted=wanted.same_profession),
        _supervisor_flag(table, "sanctioned", wanted=False if wanted.not_sanctioned else None),
    )
    if wanted.registered_for is None:
        return kept
    codes, supervisors = table.codes("supervisor")
    bounds = [_since_bounds(supervisor) for supervisor in supervisors]
    bounds.append((0, FOREVER))
    earliest, latest = np.array(bounds, np.int64)[codes].T
    since: Ints = np.where(table.is_possible, earliest, latest)
    long_enough: Bools = wanted.registered_for.after(since) <= table.until("start")
    return kept & long_enough


def _supervisor_flag(table: Table, name: str, *, wanted: bool | None) -> Bools | None:
    if wanted is None:
        return None
    codes, supervisors = table.codes("supervisor")
    answers = [getattr(supervisor, name) for supervisor in supervisors] + [None]
    certain = np.array([answer is wanted for answer in answers])
    possible = np.array([answer is None or answer is wanted for answer in answers])
    return np.where(table.is_possible, possible[codes], certain[codes])


def _since_bounds(supervisor: Supervisor) -> tuple[int, int]:
    since = supervisor.registered_since
    return (0, FOREVER) if since is None else (since.earliest, since.latest)
