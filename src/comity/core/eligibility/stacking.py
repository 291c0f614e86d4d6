"""Many requirements' days as the rows of one, so that all are merged in one sweep."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from comity.core.days.dayset import DaySet
from comity.core.days.keys import ROW_SHIFT
from comity.core.eligibility.triple import Days


def stacked(parts: Sequence[Days]) -> Days:
    """Return the rows of several requirements one after the other, as those of one."""
    yes = _stacked([part.yes for part in parts])
    ok = yes
    if any(part.ok is not part.yes for part in parts):
        ok = _stacked([part.ok for part in parts])
    na = None
    if any(part.na is not None for part in parts):
        empty = DaySet.empty(parts[0].yes.n_rows)
        na = _stacked([empty if part.na is None else part.na for part in parts])
    return Days(yes, ok, na)


def unstacked(days: Days, n_parts: int) -> list[Days]:
    """Return the requirements that were stacked; never not applicable is None again."""
    yes = _unstacked(days.yes, n_parts)
    ok = yes if days.ok is days.yes else _unstacked(days.ok, n_parts)
    na: Sequence[DaySet | None] = [None] * n_parts
    if days.na is not None:
        na = [each if each.keys.size else None for each in _unstacked(days.na, n_parts)]
    return [Days(*each) for each in zip(yes, ok, na, strict=True)]


def repeated(days: DaySet, times: int) -> DaySet:
    """Return the rows again and again, as many times as requirements are stacked."""
    return days.take(np.tile(np.arange(days.n_rows), times))


def _stacked(sets: Sequence[DaySet]) -> DaySet:
    n_rows = sets[0].n_rows
    offsets = np.arange(len(sets), dtype=np.int64) * (n_rows << ROW_SHIFT)
    keys = np.concatenate([days.keys for days in sets])
    return DaySet(n_rows * len(sets), keys + np.repeat(offsets, [d.keys.size for d in sets]))


def _unstacked(days: DaySet, n_parts: int) -> list[DaySet]:
    n_rows = days.n_rows // n_parts
    offsets = np.arange(n_parts + 1, dtype=np.int64) * (n_rows << ROW_SHIFT)
    bounds = days.keys.searchsorted(offsets)
    keys = days.keys - np.repeat(offsets[:-1], np.diff(bounds))
    return [DaySet(n_rows, keys[first:last]) for first, last in pairwise(bounds.tolist())]
