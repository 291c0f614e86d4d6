"""Many rows in blocks small enough for the processor's cache."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.dayset import DaySet
from comity.core.days.keys import NO_KEYS, ROW_SHIFT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from comity.core.days.calendar import Ints

BLOCK_ROWS: Final = 2_048


@dataclass(frozen=True, slots=True)
class Ragged:
    """Columns of entries that belong to rows, the entries of each row together.

    Parameters
    ----------
    offsets : ndarray of shape (n_rows + 1,)
        Where each row's entries begin, and the number of entries at the end.
    columns : tuple of ndarray, each of shape (n_entries,)
        As many as the entries have fields.
    """

    offsets: Ints
    columns: tuple[Ints, ...]

    @property
    def n_rows(self) -> int:
        """The number of rows."""
        return self.offsets.size - 1

    @property
    def rows(self) -> Ints:
        """The row of each entry."""
        return np.arange(self.n_rows).repeat(self.offsets[1:] - self.offsets[:-1])

    def block(self, first: int, stop: int) -> Ragged:
        """Return some rows, counted from 0 again; columns are views."""
        begin, end = int(self.offsets[first]), int(self.offsets[stop])
        offsets = self.offsets[first : stop + 1] - begin
        return Ragged(offsets, tuple(column[begin:end] for column in self.columns))


def row_blocks(n_rows: int, size: int = BLOCK_ROWS) -> Iterator[tuple[int, int]]:
    """Yield first row and stop of each block, all of `size` rows but the last."""
    for first in range(0, n_rows, size):
        yield first, min(first + size, n_rows)


class Stack:
    """Day-sets put one below another as they come, without keeping them.

    Parameters
    ----------
    n_rows : int
        How many rows are to come in all.
    """

    def __init__(self, n_rows: int) -> None:
        self._n_to_come = n_rows
        self._n_rows = self._n_keys = 0
        self._keys = NO_KEYS

    def add(self, days: DaySet) -> None:
        """Put a set's rows below those already there."""
        first, stop = self._n_keys, self._n_keys + days.keys.size
        self._n_to_come -= days.n_rows
        if stop > self._keys.size:
            self._grow(stop, rows_seen=self._n_rows + days.n_rows)
        np.add(days.keys, self._n_rows << ROW_SHIFT, out=self._keys[first:stop])
        self._n_rows, self._n_keys = self._n_rows + days.n_rows, stop

    def _grow(self, least: int, *, rows_seen: int) -> None:
        """Make room for the rows to come, an eighth above what those seen so far need."""
        # Memory takes no place until it is written, so too much room costs nothing.
        to_come = least * self._n_to_come // max(rows_seen, 1)
        grown = np.empty(least + to_come + (least + to_come) // 8, np.int64)
        grown[: self._n_keys] = self._keys[: self._n_keys]
        self._keys = grown

    def days(self) -> DaySet:
        """Return all rows put down so far."""
        return DaySet(self._n_rows, self._keys[: self._n_keys])


def stacked(sets: Sequence[DaySet]) -> DaySet:
    """Return the rows of all sets, one set below another."""
    stack = Stack(sum(each.n_rows for each in sets))
    for each in sets:
        stack.add(each)
    return stack.days()


def in_blocks(
    n_rows: int, days_of: Callable[[int, int], DaySet], *, size: int = BLOCK_ROWS
) -> DaySet:
    """Return the day-sets of all rows, worked out block by block.

    Parameters
    ----------
    n_rows : int
        >= 0.
    days_of : callable
        Takes a block's first row and stop; returns its day-set, rows counted from 0.
    size : int
        Rows in a block. Some thousands are fastest: temporaries then stay in the cache.
    """
    stack = Stack(n_rows)
    for first, stop in row_blocks(n_rows, size):
        stack.add(days_of(first, stop))
    return stack.days()
