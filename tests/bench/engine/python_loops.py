"""The four requirements for one applicant after another, in plain Python over lists."""

from __future__ import annotations

import itertools
from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.days.dayset import DaySet, Run
from tests.bench.engine import tables
from tests.bench.engine.applicants import HORIZON, Applicants
from tests.bench.engine.ours import ENOUGH, FULL_TIME

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

FIRST_60: Final[list[int]] = tables.FIRST_60.tolist()
REACHES_60: Final[list[int]] = tables.REACHES_60.tolist()
AFTER_24: Final[list[int]] = tables.AFTER_24.tolist()
AFTER_6: Final[list[int]] = tables.AFTER_6.tolist()
LAST_6: Final[list[int]] = tables.LAST_6.tolist()
CHANGES_60: Final[list[int]] = tables.CHANGES_60.tolist()

Spells = list[tuple[int, int, int]]


def enough(spells: Spells, qualified: int) -> list[Run]:
    """Return the runs of R1 within the horizon, in order; they may touch."""
    days, levels, prefix = _profile(spells, qualified)
    kinks = sorted({*days, *(REACHES_60[day] for day in days)})
    runs = []
    for start, stop in itertools.pairwise(kinks):
        begin, end = max(start, HORIZON[0]), min(stop, HORIZON[1])
        if begin >= end:
            continue
        low, high = bisect_right(CHANGES_60, begin), bisect_left(CHANGES_60, end)
        cuts = [begin, *CHANGES_60[low:high], end]
        for first, last in itertools.pairwise(cuts):
            i = bisect_right(days, first) - 1
            j = bisect_right(days, FIRST_60[first]) - 1
            leaving = levels[j] if j >= 0 else 0
            gone = prefix[j] + leaving * (FIRST_60[first] - days[j]) if j >= 0 else 0
            excess = prefix[i] + levels[i] * (first + 1 - days[i]) - gone - ENOUGH
            runs.append(_straight(first, last, excess=excess, slope=levels[i] - leaving))
    return [run for run in runs if run[0] < run[1]]


def _profile(spells: Spells, qualified: int) -> tuple[list[int], list[int], list[int]]:
    """Return the days on which the capped daily sum changes, its values, the sums before."""
    changes: dict[int, int] = {}
    for start, stop, percent in spells:
        begin = max(start, qualified)
        if begin < stop:
            changes[begin] = changes.get(begin, 0) + percent
            changes[stop] = changes.get(stop, 0) - percent
    days = sorted(changes)
    levels, prefix, total, level = [], [], 0, 0
    for i, day in enumerate(days):
        total += min(level, FULL_TIME) * (day - days[i - 1]) if i else 0
        level += changes[day]
        prefix.append(total)
        levels.append(min(level, FULL_TIME))
    return days, levels, prefix


def _straight(start: int, stop: int, *, excess: int, slope: int) -> Run:
    """Return the run on which a straight line is not below 0."""
    if excess >= 0:
        return start, stop if slope >= 0 else min(stop, start + excess // -slope + 1)
    return (min(stop, start - excess // slope), stop) if slope > 0 else (stop, stop)


def unbroken_until(spells: Spells, qualified: int) -> int:
    """Return the first day on which a gap was too long; FOREVER if none was."""
    last = qualified
    for start, stop, _ in sorted(spells):
        begin = max(start, qualified)
        if begin >= stop:
            continue
        if AFTER_24[last] + 1 < begin:
            return AFTER_24[last] + 1
        last = max(last, stop - 1)
    return min(AFTER_24[last] + 1, FOREVER)


def clipped(start: int, stop: int) -> list[Run]:
    """Return the run within the horizon, if any is left."""
    begin, end = max(start, HORIZON[0]), min(stop, HORIZON[1])
    return [(begin, end)] if begin < end else []


def people(applicants: Applicants) -> Iterator[tuple[Spells, int, int, int]]:
    """Yield each applicant's spells, qualification, certificate and passport as Python numbers."""
    columns = [column.tolist() for column in applicants.spells.columns]
    entries = list(zip(*columns, strict=True))
    offsets = applicants.spells.offsets.tolist()
    facts = (applicants.qualified, applicants.issued, applicants.expiry)
    for row, (qualified, issued, expiry) in enumerate(
        zip(*(each.tolist() for each in facts), strict=True)
    ):
        yield entries[offsets[row] : offsets[row + 1]], qualified, issued, expiry


def sets_of(spells: Spells, qualified: int, issued: int, expiry: int) -> list[list[Run]]:
    """Return the runs of R1 to R4 and of all of them for one applicant."""
    r1 = _joined(enough(spells, qualified))
    r2 = clipped(qualified, unbroken_until(spells, qualified))
    r3 = clipped(issued, AFTER_6[issued] + 1)
    r4 = clipped(0, LAST_6[expiry] + 1)
    every = r1
    for other in (r2, r3, r4):
        every = [
            (max(a, c), min(b, d)) for a, b in every for c, d in other if max(a, c) < min(b, d)
        ]
    return [r1, r2, r3, r4, every]


def _joined(runs: Sequence[Run]) -> list[Run]:
    """Return runs in order with those that touch made one."""
    joined: list[Run] = []
    for start, stop in runs:
        if joined and joined[-1][1] == start:
            joined[-1] = (joined[-1][0], stop)
        else:
            joined.append((start, stop))
    return joined


def day_sets(entries: Sequence[tuple[Spells, int, int, int]]) -> list[list[list[Run]]]:
    """Return the sets of all applicants, one after another."""
    return [sets_of(*entry) for entry in entries]


def to_sets(found: list[list[list[Run]]]) -> tuple[DaySet, ...]:
    """Return the runs as day-sets, to compare."""
    sets = []
    for number in range(5):
        flat = [(row, *run) for row, each in enumerate(found) for run in each[number]]
        rows, starts, ends = np.array(flat, np.int64).reshape(-1, 3).T
        sets.append(DaySet.from_runs(len(found), rows, starts=starts, ends=ends))
    return tuple(sets)
