"""What many futures say in a few days: percentiles, and the chance that it never happens."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER

if TYPE_CHECKING:
    from comity.core.days.calendar import Day, Ints

PERCENTS: Final = (10, 50, 80, 95)


@dataclass(frozen=True, slots=True)
class Spread:
    """When something happens, over all draws.

    Parameters
    ----------
    p10, p50, p80, p95 : Day or None
        The first day by which it has happened in that share of the draws; None where it does not
        happen in so many.
    never : float
        Share of the draws in which it never happens.
    """

    p10: Day | None
    p50: Day | None
    p80: Day | None
    p95: Day | None
    never: float


def spread_of(days: Ints) -> Spread:
    """Return the spread of days over draws, FOREVER where it never happens.

    Percentiles are days that were drawn, never values between two of them.
    """
    ordered = np.sort(days)
    ranks = [max(-(-percent * ordered.size // 100) - 1, 0) for percent in PERCENTS]
    found = [int(ordered[rank]) for rank in ranks]
    p10, p50, p80, p95 = (None if day >= FOREVER else day for day in found)
    return Spread(p10, p50, p80, p95, never=float(np.mean(ordered >= FOREVER)))
