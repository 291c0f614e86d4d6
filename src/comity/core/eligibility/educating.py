"""Days of the kind about continuing education."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import ceil
from typing import Final

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Ints, add_months_roll
from comity.core.days.dayset import DaySet
from comity.core.days.steps import Steps
from comity.core.eligibility.context import Context, folded, leaf_days, remembered
from comity.core.eligibility.events import first_event, trailing_end
from comity.core.eligibility.qualifying import day_of_year
from comity.core.eligibility.triple import Days
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.educating import ContinuingEducation, Cycle

_YEARS: Final = range(1900, 2251)
SCALE: Final = 1000
"""Units are counted in thousandths, as whole numbers."""


@leaf_days.register
def _continuing_education(requirement: ContinuingEducation, context: Context) -> Days:
    ledger = ledger_of(requirement, context)
    yes = ledger.counted().at_least(scaled(requirement.units))
    for minimum in requirement.minima:
        reached = ledger.sum_in(minimum.categories).at_least(scaled(minimum.least))
        yes = yes & reached
    if requirement.cycle is not None:
        yes = yes & DaySet.between(cycle_event(requirement, requirement.cycle, context), FOREVER)
    if requirement.cycle is not None:
        yes = _where_cycles_are_known(yes, requirement, context)
    return Days.of(context.known("education", yes))


def _where_cycles_are_known(
    yes: DaySet, requirement: ContinuingEducation, context: Context
) -> DaySet:
    """Return the days, but nothing certain and anything possible where cycles cannot be told.

    The first event, partly known, may move the ends of all cycles; then neither bound is sound.
    """
    cycle = requirement.cycle
    if cycle is None:
        return yes
    first = cycle_anchor(cycle, cycle_event(requirement, cycle, context))
    differs = first != np.roll(first, context.n_rows // 2)
    return (yes | DaySet.where(differs & context.columns.possible)) - DaySet.where(
        differs & ~context.columns.possible
    )


def scaled(units: Fraction) -> int:
    """Return units in thousandths, rounded up."""
    return ceil(units * SCALE)


class UnitsLedger:
    """The units of all applicants, with the days on which each counts."""

    def __init__(self, requirement: ContinuingEducation, context: Context) -> None:
        """Take the entries and the time for which each counts."""
        table = context.columns.table("education")
        self.requirement = requirement
        self.table: Table = table
        self.n_rows = context.n_rows
        self.starts = table.since("earned")
        self.ends = self._ends(context)
        thresholds = [requirement.units, *(each.least for each in requirement.minima)]
        most = scaled(max(thresholds))
        self.units = table.numbers("units", lambda units: int(units * SCALE), least=0, most=most)

    def _ends(self, context: Context) -> Ints:
        earned = self.table.until("earned")
        requirement = self.requirement
        if requirement.look_back is not None:
            return trailing_end(earned, requirement.look_back)
        if requirement.cycle is None:
            return np.full(earned.size, FOREVER, np.int64)
        starts = cycle_event(requirement, requirement.cycle, context)[self.table.rows]
        ends = cycle_end(requirement.cycle, starts, earned)
        return np.where((earned >= starts) & (starts < FOREVER), ends, 0)

    def sum_in(self, categories: tuple[str, ...]) -> Steps:
        """Return the units of some categories on each day."""
        return self._sum(self._in(categories))

    def _surely_or_against(self, categories: tuple[str, ...]) -> Bools:
        """Return the entries that a cap holds back; what may be of its kind, in certain rows."""
        texts = {folded(category) for category in categories}
        unknown = (self.table.codes("category")[0] < 0) & ~self.table.is_possible
        return self.table.surely("category", lambda value: folded(value) in texts) | unknown

    def _in(self, categories: tuple[str, ...]) -> Bools:
        texts = {folded(category) for category in categories}
        return self.table.where("category", lambda value: folded(value) in texts)

    def counted(self) -> Steps:
        """Return all units on each day, as far as caps let them count."""
        rest = self.table.rows >= 0
        total = Steps.zero(self.n_rows)
        for cap in self.requirement.caps:
            capped = self._surely_or_against(cap.categories)
            total = total + self._sum(capped & rest).capped(scaled(cap.most))
            rest = rest & ~capped
        return total + self._sum(rest)

    def _sum(self, kept: Bools) -> Steps:
        return Steps.sum_of(
            self.n_rows,
            self.table.rows[kept],
            starts=self.starts[kept],
            ends=self.ends[kept],
            values=self.units[kept],
        )


@remembered
def ledger_of(requirement: ContinuingEducation, context: Context) -> UnitsLedger:
    """Return the ledger of a requirement."""
    return UnitsLedger(requirement, context)


def cycle_event(requirement: ContinuingEducation, cycle: Cycle, context: Context) -> Ints:
    """Return for every row the day from which its first cycle runs; FOREVER for none."""
    if cycle.first_starts != "examination":
        return first_event(context, cycle.first_starts)
    table = context.columns.table("examinations")
    passed = table.where("outcome", lambda outcome: outcome == "passed")
    if requirement.examination is not None:
        passed = passed & table.where("examination", lambda name: name == requirement.examination)
    first = np.full(context.n_rows, FOREVER, np.int64)
    np.minimum.at(first, table.rows[passed], table.since("taken")[passed])
    return first


def cycle_anchor(cycle: Cycle, events: Ints) -> Ints:
    """Return the first day after an end day of the calendar, on or after each event."""
    boundaries = _cycle_starts(cycle.ends_on)
    index = np.minimum(np.searchsorted(boundaries, events), boundaries.size - 1)
    return np.where(events < FOREVER, boundaries[index], FOREVER)


@lru_cache(maxsize=16)
def _cycle_starts(ends_on: str) -> Ints:
    """Return the days after an end day of the calendar, year by year."""
    return np.array([day_of_year(year, ends_on) + 1 for year in _YEARS], np.int64)


def cycle_end(cycle: Cycle, events: Ints, days: Ints) -> Ints:
    """Return the exclusive end of the cycle in which each day lies, cycles running from events."""
    length = cycle.length.months
    anchors = cycle_anchor(cycle, events)
    ends = add_months_roll(anchors, length)
    if not cycle.first_is_long:
        ends = np.where(events == anchors, ends, add_months_roll(anchors, length - 12))
    running = (ends <= days) & (ends < FOREVER)
    while running.any():
        ends = np.where(running, add_months_roll(ends, length), ends)
        running = (ends <= days) & (ends < FOREVER)
    return ends
