"""Sets of days as runs: disjoint, half-open, in order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.core.days.calendar import FOREVER

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from comity.core.days.dayset import Run

EVER: tuple[Run, ...] = ((0, FOREVER),)


def overlap(some: Sequence[Run], others: Sequence[Run]) -> tuple[Run, ...]:
    """Return the days in both of two sets."""
    return tuple(
        (max(a, c), min(b, d)) for a, b in some for c, d in others if max(a, c) < min(b, d)
    )


def common(several: Iterable[Sequence[Run]]) -> tuple[Run, ...] | None:
    """Return the days in all of several sets; None where they are all days."""
    found = EVER
    for runs in several:
        found = overlap(found, runs)
    return None if found == EVER else found


def outside(runs: Iterable[Run]) -> tuple[Run, ...]:
    """Return the days in none of some runs, which may overlap and stand in any order."""
    found, first = [], 0
    for start, end in sorted(runs):
        if start > first:
            found.append((first, start))
        first = max(first, end)
    if first < FOREVER:
        found.append((first, FOREVER))
    return tuple(found)


def days_in(runs: Iterable[Run]) -> tuple[int, ...]:
    """Return each day of some runs."""
    return tuple(day for start, end in runs for day in range(start, end))
