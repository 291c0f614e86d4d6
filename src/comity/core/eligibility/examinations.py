"""Days of the kind about examinations: outcomes, stages and remedial work."""

from __future__ import annotations

import numpy as np

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.eligibility.attempts import Attempts, attempts_at
from comity.core.eligibility.context import (
    Context,
    days_of,
    leaf_days,
)
from comity.core.eligibility.triple import Days, every
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.testing import (
    ExaminationPassed,
)


@leaf_days.register
def _examination(requirement: ExaminationPassed, context: Context) -> Days:
    yes = passed_days(requirement, context) | _other_outcome_days(requirement, context)
    yes = context.known("examinations", yes)
    days = Days.of(yes)
    if requirement.remedial is None:
        return days
    return every([days, _remedial_days(requirement.remedial, requirement, context)], context.n_rows)


def _other_outcome_days(requirement: ExaminationPassed, context: Context) -> DaySet:
    """Return the days on which an attempt is booked, awaits its result or has failed, as asked."""
    whole = attempts_at(requirement, context)
    taken, last = whole.table.since("taken"), whole.table.until("taken")
    yes = DaySet.empty(context.n_rows)
    if "awaiting" in requirement.outcomes:
        waits = whole.awaiting()
        yes = yes | _from_then_on(context.n_rows, whole.table.rows[waits], taken[waits])
    if "failed" in requirement.outcomes:
        failed = whole.failures(requirement.least_score)
        yes = yes | _from_then_on(context.n_rows, whole.table.rows[failed], taken[failed])
    if "booked" in requirement.outcomes:
        rows = whole.table.rows[whole.booked]
        starts, ends = np.zeros(rows.size, np.int64), last[whole.booked] + 1
        yes = yes | DaySet.from_runs(context.n_rows, rows, starts=starts, ends=ends)
    return yes


def _from_then_on(n_rows: int, rows: Ints, starts: Ints) -> DaySet:
    ends = np.full(rows.size, FOREVER, np.int64)
    return DaySet.from_runs(n_rows, rows, starts=starts, ends=ends)


def passed_days(requirement: ExaminationPassed, context: Context) -> DaySet:
    """Return the days on which the examination is passed, remedial work left aside."""
    if "passed" not in requirement.outcomes:
        return DaySet.empty(context.n_rows)
    if not requirement.stages:
        attempts = attempts_at(requirement, context)
        return _valid_passes(attempts, requirement, attempts.passes(requirement.least_score))
    stages: list[DaySet] = []
    near: list[DaySet] = []
    firsts: list[Ints] = []
    for stage in requirement.stages:
        attempts = Attempts(requirement, context, stage=stage.id)
        passed = attempts.passes(stage.least_score)
        if requirement.stages_in_order and firsts:
            passed = passed[attempts.since[passed] >= firsts[-1][attempts.table.rows[passed]]]
        stages.append(_valid_passes(attempts, requirement, passed))
        near.append(_passed_within(attempts, requirement.stages_within, passed))
        firsts.append(stages[-1].next_day(0))
    yes = every([Days.of(days) for days in stages], context.n_rows).yes
    if requirement.stages_within is not None:
        together = every([Days.of(days) for days in near], context.n_rows).yes
        yes = yes & DaySet.between(together.next_day(0), FOREVER)
    return yes


def _passed_within(attempts: Attempts, time: Period | None, passes: Ints) -> DaySet:
    """Return the days on which a pass is not longer ago than a time."""
    if time is None:
        return DaySet.full(attempts.n_rows)
    return DaySet.from_runs(
        attempts.n_rows,
        attempts.table.rows[passes],
        starts=attempts.since[passes],
        ends=time.after(attempts.table.until("taken")[passes]) + 1,
    )


def _valid_passes(attempts: Attempts, requirement: ExaminationPassed, passes: Ints) -> DaySet:
    starts = attempts.table.since("taken")[passes]
    ends = np.full(passes.size, FOREVER, np.int64)
    if requirement.validity is not None:
        ends = requirement.validity.after(attempts.table.until("taken")[passes]) + 1
    return DaySet.from_runs(attempts.n_rows, attempts.table.rows[passes], starts=starts, ends=ends)


def _remedial_days(remedial: Requirement, requirement: ExaminationPassed, context: Context) -> Days:
    """Return the days on which no remedial work is owed, or it is done."""
    attempts = attempts_at(requirement, context)
    rows, taken = attempts.failed_days(requirement.least_score)
    nth = np.searchsorted(rows, rows, "left") + (requirement.remedial_after or 1) - 1
    index = np.arange(rows.size)
    starts = np.full(context.n_rows, FOREVER, np.int64)
    starts[rows[index == nth]] = taken[index == nth]
    done = days_of(remedial, context)
    before = DaySet.between(0, starts)
    return Days(done.yes | before, done.ok | before)
