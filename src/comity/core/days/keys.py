"""Days of many rows in one sorted array: packing, and the sweeps every set operation shares."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Day, Ints

ROW_SHIFT: Final = 17
DAY_MASK: Final = FOREVER

NO_KEYS: Final[Ints] = np.empty(0, np.int64)
NO_KEYS.setflags(write=False)


@lru_cache(maxsize=32)
def row_bases(n_rows: int) -> Ints:
    """Return the key of day 0 in each row."""
    bases = np.arange(n_rows, dtype=np.int64) << ROW_SHIFT
    bases.setflags(write=False)
    return bases


@lru_cache(maxsize=32)
def row_bounds(n_rows: int) -> Ints:
    """Return the keys of day 0 and FOREVER of each row, in order."""
    bounds = np.repeat(row_bases(n_rows), 2)
    bounds[1::2] += FOREVER
    bounds.setflags(write=False)
    return bounds


def saturated(days: Ints) -> Ints:
    """Return days within 0 and FOREVER."""
    return np.minimum(np.maximum(days, 0), FOREVER)


def keys_on(n_rows: int, days: Day | Ints) -> Ints:
    """Return the key of one day for each row."""
    if isinstance(days, np.ndarray):
        return row_bases(n_rows) + saturated(days)
    return row_bases(n_rows) + min(max(days, 0), FOREVER)


def tagged(keys: Ints, *, start_bit: int) -> Ints:
    """Return alternating start and end keys doubled, with a bit that orders them at ties."""
    doubled = keys << 1
    doubled[1 - start_bit :: 2] += 1
    return doubled


def swept(events: Ints, *, at_least: int, start_bit: int) -> Ints:
    """Return the boundaries of where at least so many runs cover.

    Parameters
    ----------
    events : ndarray of int64
        Tagged keys in any order. With `start_bit` 0 starts come before ends on the same day, so
        that runs which touch are one; with 1 ends come first.
    at_least : int
        >= 1.
    """
    events.sort(kind="stable")  # a merge of sorted stretches
    is_end = (events & 1) != start_bit
    n_covering = (1 - 2 * is_end).cumsum()
    n_covering += is_end  # the greater count beside the boundary
    kept = selected(events, n_covering == at_least)
    kept >>= 1
    return kept


def united(rows: Ints, starts: Ints, ends: Ints) -> Ints:
    """Return the boundaries of the union of runs in any order, overlapping or not.

    Parameters
    ----------
    rows, starts, ends : ndarray of shape (n_runs,)
        Days within 0 and FOREVER; a run is empty if start >= end.
    """
    bases = rows << ROW_SHIFT
    holds = starts < ends
    packed = ((bases + starts) << ROW_SHIFT) + ends
    if not all_hold(holds):
        packed = selected(packed, holds)
        if not packed.size:
            return NO_KEYS
    # Key of the start, then day of the end: mostly in order already, and sorted without an index.
    packed.sort(kind="stable")
    first = packed >> ROW_SHIFT
    reach = np.maximum.accumulate((first & ~DAY_MASK) + (packed & DAY_MASK))
    # A run that starts beyond all before it opens a new one; every row does.
    opens = (first[1:] > reach[:-1]).nonzero()[0]
    keys = np.empty(2 * opens.size + 2, np.int64)
    keys[0], keys[-1] = first[0], reach[-1]
    keys[2::2] = first.take(opens + 1)
    keys[1:-1:2] = reach.take(opens)
    return keys


def all_hold(mask: Bools) -> bool:
    """Return whether a mask holds everywhere: counting takes a fifth of reducing by ``all``."""
    return bool(np.count_nonzero(mask) == mask.size)


def selected(values: Ints, mask: Bools) -> Ints:
    """Return the values where the mask holds: indexing by a mask takes five times as long."""
    found: Ints = values.compress(mask)
    return found


def without_empty(keys: Ints) -> Ints:
    """Return the boundaries of runs that hold a day."""
    starts, ends = keys[0::2], keys[1::2]
    holds = starts < ends
    if all_hold(holds):
        return keys
    return selected(keys, holds.repeat(2))


def joined(keys: Ints) -> Ints:
    """Return sorted boundaries without those at which one run ends and the next starts."""
    same = keys[1:] == keys[:-1]
    if not np.count_nonzero(same):
        return keys
    keep = np.ones(keys.size, bool)
    keep[1:] &= ~same
    keep[:-1] &= ~same
    return selected(keys, keep)


def interleaved(starts: Ints, ends: Ints, *, keep: Bools) -> Ints:
    """Return the boundaries of kept runs, which are in order and apart."""
    boundaries = np.empty((starts.size, 2), np.int64)
    boundaries[:, 0] = starts
    boundaries[:, 1] = ends
    if all_hold(keep):
        return boundaries.reshape(-1)
    return selected(boundaries.reshape(-1), keep.repeat(2))


def ragged(starts: Ints, counts: Ints) -> Ints:
    """Return the indices start, start + 1, ... of each count, one after another."""
    ends = counts.cumsum()
    total = int(ends[-1]) if ends.size else 0
    return np.arange(total) + np.repeat(starts - (ends - counts), counts)


def true_runs(holds: Bools) -> Ints:
    """Return the boundaries of the days on which a mask over all days holds."""
    edges = np.zeros(FOREVER + 2, np.int8)
    edges[1:-1] = holds[:FOREVER]
    return np.flatnonzero(np.diff(edges))
