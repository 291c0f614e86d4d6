"""Days of the kinds about practice."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import Final

import numpy as np

from comity.core.days.accumulate import days_with_amount, days_with_run
from comity.core.days.calendar import FOREVER
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.days.steps import Steps
from comity.core.eligibility.context import (
    Context,
    leaf_days,
)
from comity.core.eligibility.events import first_event, where_event_is_known
from comity.core.eligibility.reading import by_identity
from comity.core.eligibility.scopes import in_scope, practice_days
from comity.core.eligibility.triple import Days
from comity.core.rulebook.kinds.practising import (
    Practice,
)

WEEK_MINUTES: Final = 168 * 60
_MEASURES: Final = {"365/12": Fraction(365, 12), "30.4375": Fraction(487, 16)}


def weekly_minutes(practice: Practice, context: Context) -> Steps:
    """Return the minutes a week worked on each day, as far as they count.

    Requirements that count the same practice, and differ in how much, share them.
    """
    counted = practice.scope, practice.after, daily_cap(practice)
    key = ("weekly_minutes", counted, context.each)
    if key not in context.scratch:
        context.scratch[key] = _weekly_minutes(practice, context)
    found: Steps = context.scratch[key]
    return found


def _weekly_minutes(practice: Practice, context: Context) -> Steps:
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


@by_identity
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
        yes = where_event_is_known(yes, requirement.after, context)
    return Days.of(yes)


def clipped_practice(requirement: Practice, context: Context) -> DaySet:
    """Return the days of practice for a consecutive run, short pauses filled."""
    if requirement.full_time is not None:
        # "Full-time practice without a break": a day of less than full time is a break.
        full = min(requirement.full_time, daily_cap(requirement))
        spells = weekly_minutes(requirement, context).at_least(full)
    else:
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
