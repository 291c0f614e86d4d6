"""Durations drawn by their laws, in whole days."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    from comity.core.days.calendar import Ints
    from comity.core.plan.network import Duration

_WEIGHT: Final = 4.0
"""Of the likely value in the beta-PERT law."""


def drawn(duration: Duration, n_draws: int, rng: np.random.Generator) -> Ints:
    """Return durations drawn at random.

    Parameters
    ----------
    duration : Duration
        Fixed, a range (every whole day in it as likely as any other), or three points (beta-PERT).
    n_draws : int
        How many.
    rng : numpy.random.Generator
        Sole source of chance. Every law takes `n_draws` values from it, a fixed one none.

    Returns
    -------
    ndarray of int64, shape (n_draws,)
        Whole days from `least` to `most`.

    References
    ----------
    Malcolm, Roseboom, Clark and Fazar 1959, "Application of a technique for research and
    development program evaluation": mean (a + 4m + b)/6. The beta law with that mean has the
    parameters 1 + 4(m - a)/(b - a) and 1 + 4(b - m)/(b - a) (Vose 2008, "Risk analysis").
    """
    least, most = duration.least, duration.most
    if duration.law == "fixed":
        return np.full(n_draws, least, np.int64)
    if duration.likely is None:
        return rng.integers(least, most, size=n_draws, endpoint=True)
    spread = most - least
    alpha = 1 + _WEIGHT * (duration.likely - least) / spread
    beta = 1 + _WEIGHT * (most - duration.likely) / spread
    return np.rint(least + spread * rng.beta(alpha, beta, n_draws)).astype(np.int64)


def mean_of(duration: Duration) -> float:
    """Return the mean of a duration's law, in days."""
    if duration.likely is None:
        return (duration.least + duration.most) / 2
    return (duration.least + _WEIGHT * duration.likely + duration.most) / (_WEIGHT + 2)


def variance_of(duration: Duration) -> float:
    """Return the variance that the textbook gives a three-point duration: ((b - a)/6) squared.

    It is an approximation of the beta-PERT law's own, kept for comparison with textbooks.
    """
    return ((duration.most - duration.least) / 6) ** 2
