"""Many rows in blocks small enough for the processor's cache."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.dayset import DaySet
from comity.core.days.keys import ROW_SHIFT

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from comity.core.days.calendar import Ints

BLOCK_ROWS: Final = 8_192


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
        return np.repeat(np.arange(self.n_rows), np.diff(self.offsets))

    def block(self, first: int, stop: int) -> Ragged:
        """Return some rows, counted from 0 again; columns are views."""
        begin, end = int(self.offsets[first]), int(self.offsets[stop])
        offsets = self.offsets[first : stop + 1] - begin
        return Ragged(offsets, tuple(column[begin:end] for column in self.columns))


def row_blocks(n_rows: int, size: int = BLOCK_ROWS) -> Iterator[tuple[int, int]]:
    """Yield first row and stop of each block, all of `size` rows but the last."""
    for first in range(0, n_rows, size):
        yield first, min(first + size, n_rows)


def stacked(sets: Sequence[DaySet]) -> DaySet:
    """Return the rows of all sets, one set below another."""
    keys = np.empty(sum(each.keys.size for each in sets), np.int64)
    n_rows = n_keys = 0
    for each in sets:
        part = keys[n_keys : n_keys + each.keys.size]
        np.add(each.keys, n_rows << ROW_SHIFT, out=part)
        n_rows, n_keys = n_rows + each.n_rows, n_keys + each.keys.size
    return DaySet(n_rows, keys)


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
    return stacked([days_of(first, stop) for first, stop in row_blocks(n_rows, size)])
