"""Sets of days of many rows, and the one combinator that joins them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Day, Ints
from comity.core.days.keys import (
    DAY_MASK,
    NO_KEYS,
    ROW_SHIFT,
    interleaved,
    joined,
    keys_on,
    ragged,
    row_bases,
    row_bounds,
    saturated,
    selected,
    swept,
    tagged,
    united,
    without_empty,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.days.period import Period

Run = tuple[Day, Day]


@dataclass(frozen=True, slots=True, eq=False)
class DaySet:
    """One set of days for each of `n_rows` rows (applicants, or applicants in possible worlds).

    `keys` holds the boundaries of half-open runs, ``row << 17 | day``, strictly increasing: runs
    are not empty, disjoint and do not touch. So equal sets have equal arrays.

    Parameters
    ----------
    n_rows : int
        >= 0.
    keys : ndarray of int64
        In canonical form; not checked. Use the constructors below for anything else.
    """

    n_rows: int
    keys: Ints

    @classmethod
    def empty(cls, n_rows: int) -> DaySet:
        """Return no day in any row."""
        return cls(n_rows, NO_KEYS)

    @classmethod
    def full(cls, n_rows: int) -> DaySet:
        """Return every day in every row."""
        return cls(n_rows, row_bounds(n_rows))

    @classmethod
    def where(cls, mask: Bools) -> DaySet:
        """Return every day in the rows where the mask holds, no day in the others."""
        bounds = row_bounds(mask.size)
        return cls(mask.size, selected(bounds, mask.repeat(2)))

    @classmethod
    def same(cls, boundaries: Ints, n_rows: int) -> DaySet:
        """Return the same runs, given by their boundaries in canonical form, in every row."""
        return cls(n_rows, (row_bases(n_rows)[:, None] + boundaries).reshape(-1))

    @classmethod
    def between(cls, starts: Day | Ints, ends: Day | Ints, *, n_rows: int | None = None) -> DaySet:
        """Return one run a row, from each start to the day before each end; none if that is empty.

        Parameters
        ----------
        starts, ends : int or ndarray of shape (n_rows,)
            Saturate at 0 and FOREVER.
        n_rows : int, optional
            Needed when both are single days.
        """
        if n_rows is None:
            n_rows = max(np.size(starts), np.size(ends))
        first, end = keys_on(n_rows, starts), keys_on(n_rows, ends)
        return cls(n_rows, interleaved(first, end, keep=first < end))

    @classmethod
    def from_runs(cls, n_rows: int, rows: Ints, *, starts: Ints, ends: Ints) -> DaySet:
        """Return the union of runs in any order, overlapping or not.

        Parameters
        ----------
        rows, starts, ends : ndarray of shape (n_runs,)
            A run covers its row's days from start to the day before end; empty if start >= end.
        """
        if not rows.size:
            return cls.empty(n_rows)
        return cls(n_rows, united(rows, saturated(starts), saturated(ends)))

    @property
    def is_full(self) -> bool:
        """Whether it is known at a glance to hold every day; another way to full is not seen."""
        return self.keys is row_bounds(self.n_rows)

    @property
    def rows(self) -> Ints:
        """The row of each run."""
        return self.keys[0::2] >> ROW_SHIFT

    @property
    def starts(self) -> Ints:
        """The first day of each run."""
        return self.keys[0::2] & DAY_MASK

    @property
    def ends(self) -> Ints:
        """The day after each run's last; FOREVER when it has no end."""
        return self.keys[1::2] & DAY_MASK

    def runs_of(self, row: int) -> tuple[Run, ...]:
        """Return one row's runs as (start, end) pairs, half-open, in order."""
        first, last = self.keys.searchsorted([row << ROW_SHIFT, (row + 1) << ROW_SHIFT])
        days = (self.keys[first:last] & DAY_MASK).tolist()
        return tuple(zip(days[0::2], days[1::2], strict=True))

    def run_at(self, row: int, day: Day) -> Run | None:
        """Return the run that holds a day of a row, half-open; None when none does."""
        after = int(self.keys.searchsorted((row << ROW_SHIFT) + day, side="right"))
        if after % 2 == 0:
            return None
        return int(self.keys[after - 1]) & DAY_MASK, int(self.keys[after]) & DAY_MASK

    def holds(self, row: int, day: Day) -> bool:
        """Return whether a row holds a day."""
        return int(self.keys.searchsorted((row << ROW_SHIFT) + day, side="right")) % 2 == 1

    def first_day(self, row: int, since: Day) -> Day | None:
        """Return a row's first day in the set on or after a day; None when there is none."""
        since = max(since, 0)
        after = int(self.keys.searchsorted((row << ROW_SHIFT) + since, side="right"))
        if after % 2 == 1:
            return since
        if after == self.keys.size:
            return None
        following = int(self.keys[after])
        return following & DAY_MASK if following >> ROW_SHIFT == row else None

    def contains(self, days: Day | Ints) -> Bools:
        """Return for each row whether it holds its day.

        Parameters
        ----------
        days : int or ndarray of shape (n_rows,)
            Saturate at 0 and FOREVER, which no set holds.
        """
        after = self.keys.searchsorted(keys_on(self.n_rows, days), side="right")
        inside: Bools = (after & 1).astype(np.bool_)
        return inside

    def next_day(self, days: Day | Ints) -> Ints:
        """Return each row's first day in the set on or after its day; FOREVER when none is."""
        wanted = keys_on(self.n_rows, days)
        if not self.keys.size:
            return np.full(self.n_rows, FOREVER)
        after = self.keys.searchsorted(wanted, side="right")
        following = self.keys.take(after, mode="clip")
        in_row = (following > wanted) & (following >> ROW_SHIFT == wanted >> ROW_SHIFT)
        found = np.where((after & 1) == 1, wanted, following) & DAY_MASK
        return np.where(in_row, found, FOREVER)

    def last_day_of_run(self, days: Day | Ints) -> Ints:
        """Return the last day of the run that holds each row's day; -1 when none does."""
        if not self.keys.size:
            return np.full(self.n_rows, -1)
        after = self.keys.searchsorted(keys_on(self.n_rows, days), side="right")
        last = (self.keys.take(after, mode="clip") & DAY_MASK) - 1
        return np.where((after & 1) == 1, last, -1)

    def has_days(self) -> Bools:
        """Return for each row whether its set holds any day."""
        has = np.zeros(self.n_rows, bool)
        has[self.rows] = True
        return has

    def complement(self) -> DaySet:
        """Return the days which the set does not hold."""
        if not self.keys.size:
            return DaySet.full(self.n_rows)
        keys = np.concatenate((self.keys, row_bounds(self.n_rows)))
        keys.sort(kind="stable")
        return DaySet(self.n_rows, joined(keys))

    def __and__(self, other: DaySet) -> DaySet:
        """Return the days in both."""
        if not self.keys.size or other.is_full:
            return self
        if not other.keys.size or self.is_full:
            return other
        return at_least(2, (self, other))

    def __or__(self, other: DaySet) -> DaySet:
        """Return the days in either."""
        if not self.keys.size or other.is_full:
            return other
        if not other.keys.size or self.is_full:
            return self
        return at_least(1, (self, other))

    def __sub__(self, other: DaySet) -> DaySet:
        """Return the days in this set and not in the other."""
        if not self.keys.size or not other.keys.size:
            return self
        return at_least(2, (self, other.complement()))

    def __eq__(self, other: object) -> bool:
        """Return whether both hold the same days of as many rows."""
        if not isinstance(other, DaySet):
            return NotImplemented
        return self.n_rows == other.n_rows and np.array_equal(self.keys, other.keys)

    def __hash__(self) -> int:
        """Return a hash of the content."""
        return hash((self.n_rows, self.keys.tobytes()))

    def __repr__(self) -> str:
        """Return the number of rows and the runs, for small sets."""
        most_rows = 8
        runs = [self.runs_of(row) for row in range(min(self.n_rows, most_rows))]
        more = ", ..." if self.n_rows > most_rows else ""
        return f"DaySet({self.n_rows} rows: {', '.join(map(str, runs))}{more})"

    def clipped(self, first: Day, end: Day) -> DaySet:
        """Return the days from `first` to the day before `end`, the same in every row."""
        days = self.keys & DAY_MASK
        keys = self.keys - days + np.minimum(np.maximum(days, first), end)
        return DaySet(self.n_rows, without_empty(keys))

    def take(self, rows: Ints) -> DaySet:
        """Return the sets of the given rows, in that order; a row may occur more than once."""
        bounds = self.keys.searchsorted(np.arange(self.n_rows + 1) << ROW_SHIFT)
        counts = np.diff(bounds)[rows]
        days = self.keys[ragged(bounds[rows], counts)] & DAY_MASK
        return DaySet(rows.size, np.repeat(row_bases(rows.size), counts) + days)

    def swap_halves(self) -> DaySet:
        """Return the set with its first and its second half of rows exchanged."""
        shift = (self.n_rows // 2) << ROW_SHIFT
        split = int(self.keys.searchsorted(shift))
        keys = np.concatenate((self.keys[split:] - shift, self.keys[:split] + shift))
        return DaySet(self.n_rows, keys)

    def fold(self, groups: Ints, n_groups: int, *, every: bool) -> DaySet:
        """Return one set for each group of rows: the days of every row in it, or of any.

        Parameters
        ----------
        groups : ndarray of shape (n_rows,)
            The group of each row, 0 to `n_groups` - 1.
        n_groups : int
            A group without rows holds every day if `every`, else none.
        """
        if every:
            return self.complement().fold(groups, n_groups, every=False).complement()
        bases = np.repeat(groups[self.rows] << ROW_SHIFT, 2)
        events = tagged((self.keys & DAY_MASK) + bases, start_bit=0)
        return DaySet(n_groups, swept(events, at_least=1, start_bit=0))

    def shifted(
        self, period: Period, *, edge: Literal["after", "beginning", "before"] = "after"
    ) -> DaySet:
        """Return the runs with their first and last days moved by a period.

        Parameters
        ----------
        period : Period
            Moved by its clamp forward, its roll, or its clamp backward, as `edge` names.
        """
        move = getattr(period, edge)
        starts, lasts = move(self.starts), move(self.ends - 1)
        ends = np.where(self.ends == FOREVER, FOREVER, lasts + 1)
        return DaySet.from_runs(self.n_rows, self.rows, starts=starts, ends=ends)


def at_least(k: int, sets: Sequence[DaySet]) -> DaySet:
    """Return the days held by at least k of the sets, row by row.

    All of n sets is ``at_least(n, sets)``, any of them ``at_least(1, sets)``.

    Parameters
    ----------
    k : int
        0 or less holds every day, more than the number of sets none.
    sets : sequence of DaySet
        One or more, with as many rows each.

    Notes
    -----
    One sort of all boundaries, a running count, and the changes kept. When all sets must agree,
    ends are counted before starts on the same day, otherwise after; so runs that touch are joined.

    Examples
    --------
    >>> january, leap = DaySet.between(0, 31, n_rows=1), DaySet.between(20, 60, n_rows=1)
    >>> at_least(2, (january, leap)).runs_of(0)
    ((20, 31),)
    """
    n_sets, n_rows = len(sets), sets[0].n_rows
    if k <= 0:
        return DaySet.full(n_rows)
    if k > n_sets:
        return DaySet.empty(n_rows)
    if n_sets == 1:
        return sets[0]
    start_bit = 1 if k == n_sets else 0
    # Each set's keys are even in number, so that starts and ends alternate throughout.
    events = tagged(np.concatenate([each.keys for each in sets]), start_bit=start_bit)
    keys = swept(events, at_least=k, start_bit=start_bit)
    return DaySet(n_rows, keys if k in {1, n_sets} else without_empty(keys))
