"""Whole-number step functions of the day, for many rows: how much practice each day carries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from comity.core.days.dayset import DaySet
from comity.core.days.keys import NO_KEYS, ROW_SHIFT, all_hold, keys_on, saturated, selected

if TYPE_CHECKING:
    from comity.core.days.calendar import Bools, Day, Ints


@dataclass(frozen=True, slots=True, eq=False)
class Steps:
    """One step function of the day for each row.

    `values[i]` holds from `keys[i]` to the next key of the same row; before a row's first key the
    function is 0, and a row's last value is 0. Canonical: keys increase strictly and each value
    differs from the one before.

    Parameters
    ----------
    n_rows : int
        >= 0.
    keys, values : ndarray of int64
        In canonical form; not checked.
    """

    n_rows: int
    keys: Ints
    values: Ints

    @classmethod
    def zero(cls, n_rows: int) -> Steps:
        """Return the function that is 0 everywhere."""
        return cls(n_rows, NO_KEYS, NO_KEYS)

    @classmethod
    def sum_of(
        cls, n_rows: int, rows: Ints, *, starts: Ints, ends: Ints, values: int | Ints
    ) -> Steps:
        """Return the daily sum of spells in any order, which may overlap.

        Parameters
        ----------
        rows, starts, ends : ndarray of shape (n_spells,)
            A spell covers its row's days from start to the day before end; none if start >= end.
        values : int or ndarray of shape (n_spells,)
            What a spell adds to each of its days.
        """
        bases = rows << ROW_SHIFT
        first, end = bases + saturated(starts), bases + saturated(ends)
        holds = first < end
        if not isinstance(values, np.ndarray):
            values = np.full(rows.size, values)
        if not all_hold(holds):
            first, end, values = (selected(each, holds) for each in (first, end, values))
        keys = np.concatenate((first, end))
        return _from_changes(n_rows, keys, np.concatenate((values, -values)))

    @classmethod
    def of_days(cls, days: DaySet, value: int) -> Steps:
        """Return the function that has a value on the days of a set and 0 elsewhere."""
        values = np.zeros(days.keys.size, np.int64)
        values[0::2] = value
        return cls(days.n_rows, days.keys, values)

    def capped(self, maximum: int | Ints) -> Steps:
        """Return the function cut off at a maximum, which may differ from row to row."""
        if isinstance(maximum, np.ndarray):
            maximum = maximum[self.keys >> ROW_SHIFT]
        return _canonical(self.n_rows, self.keys, np.minimum(self.values, maximum))

    def __add__(self, other: Steps) -> Steps:
        """Return the sum of two functions."""
        keys = np.concatenate((self.keys, other.keys))
        changes = np.concatenate((_changes(self.values), _changes(other.values)))
        return _from_changes(self.n_rows, keys, changes)

    def __eq__(self, other: object) -> bool:
        """Return whether both are the same function of as many rows."""
        if not isinstance(other, Steps):
            return NotImplemented
        same_rows = self.n_rows == other.n_rows and np.array_equal(self.keys, other.keys)
        return same_rows and np.array_equal(self.values, other.values)

    def __hash__(self) -> int:
        """Return a hash of the content."""
        return hash((self.n_rows, self.keys.tobytes(), self.values.tobytes()))

    def at_least(self, threshold: int | Ints) -> DaySet:
        """Return the days on which the function reaches a threshold, which may differ by row.

        The function must not be negative anywhere; so a threshold of 0 or less holds always.
        """
        if isinstance(threshold, np.ndarray):
            always = DaySet.where(threshold <= 0)
            reached = self.values >= np.maximum(threshold, 1)[self.keys >> ROW_SHIFT]
            return self._days_where(reached) | always
        if threshold <= 0:
            return DaySet.full(self.n_rows)
        return self._days_where(self.values >= threshold)

    def value_at(self, days: Day | Ints) -> Ints:
        """Return each row's value on its day."""
        if not self.keys.size:
            return np.zeros(self.n_rows, np.int64)
        at = self.keys.searchsorted(keys_on(self.n_rows, days), side="right") - 1
        # A row's last value is 0, so a day before a row's first key may read the row above it.
        return np.where(at < 0, 0, self.values[at])

    def restricted(self, days: DaySet) -> Steps:
        """Return the function on the days of a set, 0 elsewhere; it must not be negative."""
        if not self.values.size:
            return self
        most = int(self.values.max())
        raised = self + Steps.of_days(days, most)
        lowered = np.maximum(raised.values - most, 0)
        return _canonical(self.n_rows, raised.keys, lowered)

    def _days_where(self, reached: Bools) -> DaySet:
        """Return the days of the steps marked; a row's last step never is."""
        changes = reached.copy()
        changes[1:] ^= reached[:-1]
        return DaySet(self.n_rows, selected(self.keys, changes))


def _from_changes(n_rows: int, keys: Ints, changes: Ints) -> Steps:
    """Return the function which changes by an amount at each key, keys in any order."""
    order = keys.argsort(kind="stable")
    keys = keys.take(order)
    values = changes.take(order).cumsum()
    if keys.size:
        last_of_day = np.empty(keys.size, bool)
        np.not_equal(keys[1:], keys[:-1], out=last_of_day[:-1])
        last_of_day[-1] = True
        at = last_of_day.nonzero()[0]
        keys, values = keys.take(at), values.take(at)
    return _canonical(n_rows, keys, values)


def _canonical(n_rows: int, keys: Ints, values: Ints) -> Steps:
    """Return the function without the keys at which nothing changes."""
    changed = _changes(values) != 0
    if all_hold(changed):
        return Steps(n_rows, keys, values)
    at = changed.nonzero()[0]
    return Steps(n_rows, keys.take(at), values.take(at))


def _changes(values: Ints) -> Ints:
    """Return by how much each value differs from the one before; rows end in 0."""
    changes = values.copy()
    changes[1:] -= values[:-1]
    return changes
