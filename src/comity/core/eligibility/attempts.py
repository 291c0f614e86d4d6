"""The attempts at an examination: their order, their number, and which of them count."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.eligibility.context import (
    Context,
    remembered,
)
from comity.core.eligibility.pairs import ordered_pairs
from comity.core.eligibility.reading import EVENTS
from comity.core.eligibility.scopes import registrations_in_scope
from comity.core.rulebook.kinds.testing import (
    ExaminationPassed,
)


class Attempts:
    """The attempts at one examination or stage, in order, and which of them count."""

    def __init__(
        self, requirement: ExaminationPassed, context: Context, *, stage: str | None = None
    ) -> None:
        """Take the attempts at the examination, or at one stage of it."""
        self.requirement = requirement
        self.table = context.columns.whole_table("examinations")
        self.n_rows = context.n_rows
        name = requirement.examination
        mine = self.table.where("examination", lambda value: value == name)
        if stage is not None:
            mine = mine & self.table.where("stage", lambda value: value == stage)
        if requirement.after is not None:
            since = self.table.since("taken")
            mine = mine & (since > latest_event(requirement, context)[self.table.rows])
        self.mine = mine
        self.since = self.table.since("taken")
        sat = np.flatnonzero(mine & ~self.table.surely("outcome", "booked".__eq__))
        self.order, self.number = self._ordered(sat)
        booked = mine & self._is("booked") & self.table.counts
        self.booked = self._booked_within_attempts(booked)

    def _is(self, outcome: str) -> Bools:
        return self.table.where("outcome", lambda value: value == outcome)

    def _ordered(self, sat: Ints) -> tuple[Ints, Ints]:
        """Return the attempts by row and day, and each one's number, counted from 1.

        An attempt stands before another if its day is earlier: in a certain row already if it may
        be (it counts against), in a possible row only if it surely is. On one day the file decides.
        """
        order = sat[np.lexsort([self.since[sat], self.table.rows[sat]])]
        until = self.table.until("taken")
        first, second = ordered_pairs(self.table.rows, sat)
        earlier = until[first] < self.since[second]
        earlier |= (until[first] == self.since[second]) & (first < second)
        earlier &= self.table.against[first]
        if self.requirement.attempts_count == "application":
            earlier &= self._of_one_application(first, second)
        self.before, self.behind = first[earlier], second[earlier]
        number = np.ones(self.table.rows.size, np.int64)
        np.add.at(number, self.behind, 1)
        return order, number[order]

    def _of_one_application(self, first: Ints, second: Ints) -> Bools:
        """Return which pairs are of one application; in a certain row those that may be, too."""
        codes = self.table.codes("application")[0]
        may_be = ((codes[first] < 0) | (codes[second] < 0)) & ~self.table.is_possible[first]
        of_one: Bools = (codes[first] == codes[second]) | may_be
        return of_one

    def _booked_within_attempts(self, booked: Bools) -> Bools:
        """Return the places booked which the attempts allowed leave room for."""
        allowed = self.requirement.attempts
        if allowed is None or self.requirement.attempts_count == "application":
            return booked
        sat = self.order[self.table.against[self.order]]
        n_sat = np.bincount(self.table.rows[sat], minlength=self.n_rows)
        room = n_sat[self.table.rows] < allowed
        if self.requirement.bar is not None:
            last = np.zeros(self.n_rows, np.int64)
            np.maximum.at(last, self.table.rows[sat], self.since[sat])
            reopened = self.requirement.bar.after(last)[self.table.rows]
            is_full = n_sat[self.table.rows] % allowed == 0
            room = room | ~is_full | (self.since >= reopened)
        return booked & room

    def counting(self) -> Ints:
        """Return the attempts that count: those within the number allowed, and no bar running."""
        counts = self.table.counts[self.order]
        allowed = self.requirement.attempts
        if allowed is None:
            return self.order[counts]
        within = self.number <= allowed
        bar = self.requirement.bar
        if bar is not None and self.order.size:
            if self.requirement.attempts_count == "application":
                within &= ~self._is_barred(bar, allowed)
            else:
                within |= self._is_reopened(bar, allowed)
        return self.order[counts & within]

    def _is_reopened(self, bar: Period, allowed: int) -> Bools:
        """Return the attempts of a later block that lie after the bar on the block before."""
        number = np.zeros(self.table.rows.size, np.int64)
        number[self.order] = self.number
        in_earlier_block = number[self.before] <= (number[self.behind] - 1) // allowed * allowed
        last = np.zeros(number.size, np.int64)
        np.maximum.at(
            last, self.behind[in_earlier_block], self.since[self.before[in_earlier_block]]
        )
        reopened = bar.after(last[self.order])
        after_bar: Bools = (self.number > allowed) & (self.since[self.order] >= reopened)
        return after_bar

    def _is_barred(self, bar: Period, allowed: int) -> Bools:
        """Return the attempts that lie within the bar after another application's last one."""
        ends = (self.number == allowed) & ~self._is("passed")[self.order]
        ends_block = self.order[ends & self.table.against[self.order]]
        barred = DaySet.from_runs(
            self.n_rows,
            self.table.rows[ends_block],
            starts=self.table.until("taken")[ends_block] + 1,
            ends=bar.after(self.since[ends_block]),
        )
        return barred.take(self.table.rows[self.order]).contains(self.since[self.order])

    def passes(self, least_score: Fraction | None) -> Ints:
        """Return the counting attempts that pass."""
        counting = self.counting()
        return counting[self.passed(least_score)[counting]]

    def passed(self, least_score: Fraction | None) -> Bools:
        """Return which entries pass, by score where one is asked and known, else by outcome."""
        by_outcome = self._is("passed")
        if least_score is None:
            return by_outcome
        codes, _scores = self.table.codes("score")
        by_score = self.table.where("score", lambda score: score >= least_score)
        return np.where(codes >= 0, by_score, by_outcome)

    def failures(self, least_score: Fraction | None) -> Ints:
        """Return the failures in order; unknown results are failures in possible rows."""
        return self._failures(least_score, unknown_where=self.table.is_possible)

    def failed_days(self, least_score: Fraction | None) -> tuple[Ints, Ints]:
        """Return rows and days of the failures in order, as they count against the applicant.

        In a certain row an unknown result is a failure, on the earliest day that it can be.
        """
        against = self._failures(least_score, unknown_where=~self.table.is_possible)
        against = against[self.table.against[against]]
        rows, days = self.table.rows[against], self.table.until("taken")[against]
        in_order = np.lexsort([days, rows])
        return rows[in_order], days[in_order]

    def _failures(self, least_score: Fraction | None, *, unknown_where: Bools) -> Ints:
        unknown = (self.table.codes("outcome")[0] < 0) & unknown_where
        failed = self.table.surely("outcome", "failed".__eq__) | unknown
        if least_score is not None:
            known = self.table.codes("score")[0] >= 0
            below = self.table.surely("score", lambda score: score < least_score)
            failed = np.where(known, below, failed)
        return self.order[failed[self.order]]

    def awaiting(self) -> Ints:
        """Return the counting attempts whose result is awaited."""
        counting = self.counting()
        return counting[self._is("awaiting")[counting]]


def latest_event(requirement: ExaminationPassed, context: Context) -> Ints:
    """Return for every row the latest day of the event asked; FOREVER where it has not come.

    In a certain row the day is the latest it can be, in a possible one the earliest. What is
    still held has not ended.
    """
    section, name = EVENTS[requirement.after or "qualification"]
    table = context.columns.table(section)
    kept = table.rows >= 0
    if section == "registrations":
        still_held = table.where(name, lambda end: end.is_open)
        kept = registrations_in_scope(table, requirement.registrations) & ~still_held
    latest = np.full(context.n_rows, -1, np.int64)
    np.maximum.at(latest, table.rows[kept], table.since(name)[kept])
    latest[context.columns.absent(section)] = 0
    return np.where(latest < 0, FOREVER, latest)


@remembered
def attempts_at(requirement: ExaminationPassed, context: Context) -> Attempts:
    """Return the attempts at the whole examination."""
    return Attempts(requirement, context)
