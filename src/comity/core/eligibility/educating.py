"""Days of the kind about continuing education."""

from __future__ import annotations

from dataclasses import replace
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
    yes = DaySet.full(context.n_rows)
    for ledger in ledgers_of(requirement, context):
        yes = yes & ledger.enough()
    if requirement.cycle is not None:
        event = cycle_event(requirement, requirement.cycle, context)
        yes = yes & DaySet.between(_cycles_have_ended(requirement.cycle, event), FOREVER)
        yes = _where_cycles_are_known(yes, requirement.cycle, event=event, context=context)
    return Days.of(context.known("education", yes))


def _cycles_have_ended(cycle: Cycle, event: Ints) -> Ints:
    """Return for every row the first day on which as many cycles have ended as are looked at."""
    day = event
    for _ended in range(max(lags_of(cycle))):
        day = cycle_end(cycle, event, day)
    return day


def lags_of(cycle: Cycle | None) -> range:
    """Return how many cycles back from the running one each cycle lies that is looked at."""
    if cycle is None or cycle.which == "running":
        return range(1)
    return range(1, cycle.how_many + 1)


def _where_cycles_are_known(yes: DaySet, cycle: Cycle, *, event: Ints, context: Context) -> DaySet:
    """Return the days, but nothing certain and anything possible where cycles cannot be told.

    The first event, partly known, may move the ends of all cycles; then neither bound is sound.
    """
    first = cycle_anchor(cycle, event)
    differs = first != np.roll(first, context.n_rows // 2)
    return (yes | DaySet.where(differs & context.columns.possible)) - DaySet.where(
        differs & ~context.columns.possible
    )


def scaled(units: Fraction) -> int:
    """Return units in thousandths, rounded up."""
    return ceil(units * SCALE)


class UnitsLedger:
    """The units of all applicants, with the days on which each counts.

    With a lag these are the days on which the unit's cycle lies so many cycles back.
    """

    def __init__(self, requirement: ContinuingEducation, context: Context, lag: int = 0) -> None:
        """Take the entries and the time for which each counts."""
        table = context.columns.table("education")
        self.requirement = requirement
        self.table: Table = table
        self.n_rows = context.n_rows
        self.starts, self.ends = self._bounds(context, lag)
        self.before = self._one_before(context, lag)
        thresholds = [requirement.units, *(each.least for each in requirement.minima)]
        most = scaled(max(thresholds) + self._carried)
        self.units = table.numbers("units", lambda units: int(units * SCALE), least=0, most=most)

    @property
    def _carried(self) -> Fraction:
        cycle = self.requirement.cycle
        return (cycle.carried_over if cycle else None) or Fraction(0)

    def _one_before(self, context: Context, lag: int) -> UnitsLedger | None:
        """Return the ledger of the cycle before, where something is carried over from it."""
        cycle = self.requirement.cycle
        if cycle is None or not cycle.carried_over:
            return None
        plain = replace(self.requirement, cycle=replace(cycle, carried_over=None))
        ledger = UnitsLedger(plain, context, lag + 1)
        most = scaled(self.requirement.units + cycle.carried_over)
        ledger.units = self.table.numbers(
            "units", lambda units: int(units * SCALE), least=0, most=most
        )
        return ledger

    def _bounds(self, context: Context, lag: int) -> tuple[Ints, Ints]:
        starts, earned = self.table.since("earned"), self.table.until("earned")
        requirement = self.requirement
        cycle = requirement.cycle
        if cycle is None:
            window = requirement.look_back
            return starts, earned if window is None else trailing_end(earned, window)
        event = cycle_event(requirement, cycle, context)[self.table.rows]
        ends = cycle_end(cycle, event, np.maximum(earned, event))
        starts = np.maximum(starts, event)
        for _cycle_back in range(lag):
            starts, ends = cycle_end(cycle, event, starts), cycle_end(cycle, event, ends)
        return starts, np.where((earned >= event) & (event < FOREVER), ends, 0)

    def enough(self) -> DaySet:
        """Return the days on which the sum and every minimum are reached."""
        yes = self.counted().at_least(scaled(self.requirement.units))
        for minimum in self.requirement.minima:
            yes = yes & self.sum_in(minimum.categories).at_least(scaled(minimum.least))
        return yes

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
        """Return all units on each day, as far as caps let them count, and what is carried over."""
        if self.before is None:
            return self._of_the_cycle()
        earned = self.before._of_the_cycle()
        asked = earned.capped(scaled(self.requirement.units))
        surplus = earned + Steps(asked.n_rows, asked.keys, -asked.values)
        return self._of_the_cycle() + surplus.capped(scaled(self._carried))

    def _of_the_cycle(self) -> Steps:
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
def ledgers_of(requirement: ContinuingEducation, context: Context) -> tuple[UnitsLedger, ...]:
    """Return a ledger for each cycle that is looked at, or one for the look-back."""
    return tuple(UnitsLedger(requirement, context, lag) for lag in lags_of(requirement.cycle))


@remembered
def running_ledger(requirement: ContinuingEducation, context: Context) -> UnitsLedger:
    """Return the ledger of the running cycle, in which units can still be earned."""
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
