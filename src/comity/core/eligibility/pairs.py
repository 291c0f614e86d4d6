"""Pairs of entries of one row, as sittings and attempts are compared."""

from __future__ import annotations

import numpy as np

from comity.core.days.calendar import Ints


def ordered_pairs(rows: Ints, kept: Ints) -> tuple[Ints, Ints]:
    """Return all ordered pairs of different entries of one row, as two arrays of indices."""
    own = rows[kept]
    starts, stops = np.searchsorted(own, own, "left"), np.searchsorted(own, own, "right")
    counts = stops - starts
    first = np.repeat(np.arange(kept.size), counts)
    offset = np.arange(first.size) - np.repeat(counts.cumsum() - counts, counts)
    second = np.repeat(starts, counts) + offset
    differ = first != second
    return kept[first[differ]], kept[second[differ]]
