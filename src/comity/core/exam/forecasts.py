"""How good forecasts were: Brier score, reliability diagram, and what real results correct."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import optimize, special

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats

USUAL_BINS: Final = 10
EIGHT_IN_TEN: Final = float(special.ndtri(0.9))
RESULTS_AT_LEAST: Final = 30
"""Real results before a forecast is corrected by them."""
_INTERCEPT: Final = (0.0, 0.5)
_SLOPE: Final = (1.0, 0.25)
_SURE: Final = 1e-6
SUREST: Final = 0.99
"""No chance is told nearer to 0 or 1: no model is that sure of itself."""


def as_told(chance: float) -> float:
    """Return a chance as it is told to people."""
    return min(max(chance, round(1 - SUREST, 9)), SUREST)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A forecast, and what came of it.

    Parameters
    ----------
    forecast : float
        The chance of passing before correction, `Readiness.uncorrected`, on the day of the exam.
    share_right : float
        Share of right answers in practice by then, `Benchmark.share_right`.
    passed : bool
        The result.
    """

    forecast: float
    share_right: float
    passed: bool


@dataclass(frozen=True, slots=True)
class ReliabilityBin:
    """Forecasts that were about the same, and how often it came about.

    Parameters
    ----------
    low, high : float
        Ends of the bin, from `low` on and below `high` (the last one holds 1).
    count : int
        Forecasts in it; bins with none are left out.
    forecast : float
        Their mean.
    share : float
        How often it happened.
    share_low, share_high : float
        Wilson interval of the share in which 8 of 10 such intervals hold the true one.
    """

    low: float
    high: float
    count: int
    forecast: float
    share: float
    share_low: float
    share_high: float


def brier_score(forecasts: npt.ArrayLike, happened: npt.ArrayLike) -> float:
    """Return the mean squared distance of forecasts from what happened: 0 is best.

    Examples
    --------
    >>> round(brier_score([0.9, 0.2], [1, 0]), 3)
    0.025

    References
    ----------
    Brier, G. W. (1950). Verification of forecasts expressed in terms of probability. Monthly
    Weather Review 78, 1-3.
    """
    p, y = _paired(forecasts, happened)
    return float(np.mean((p - y) ** 2))


def log_loss(forecasts: npt.ArrayLike, happened: npt.ArrayLike) -> float:
    """Return the mean of -ln of the chance that was given to what happened: 0 is best."""
    p, y = _paired(forecasts, happened)
    p = np.clip(p, _SURE, 1 - _SURE)
    return float(-np.mean(np.where(y > 0, np.log(p), np.log1p(-p))))


def reliability_diagram(
    forecasts: npt.ArrayLike, happened: npt.ArrayLike, n_bins: int = USUAL_BINS
) -> tuple[ReliabilityBin, ...]:
    """Return forecasts in equal bins with how often they came about, lowest first.

    Examples
    --------
    >>> (only,) = reliability_diagram([0.72, 0.78, 0.75, 0.71], [1, 1, 1, 0], n_bins=5)
    >>> only.count, only.forecast, only.share
    (4, 0.74, 0.75)
    """
    p, y = _paired(forecasts, happened)
    which = np.minimum((p * n_bins).astype(np.int64), n_bins - 1)
    found = []
    for number in np.unique(which):
        mean, happens = p[which == number], y[which == number]
        low, high = wilson_interval(float(happens.mean()), happens.size)
        found.append(
            ReliabilityBin(
                float(number / n_bins),
                float((number + 1) / n_bins),
                int(happens.size),
                round(float(mean.mean()), 12),
                float(happens.mean()),
                low,
                high,
            )
        )
    return tuple(found)


def wilson_interval(share: float, count: int, z: float = EIGHT_IN_TEN) -> tuple[float, float]:
    """Return the interval of a true share, given the share seen; never outside 0 to 1.

    References
    ----------
    Wilson, E. B. (1927). Probable inference, the law of succession, and statistical inference.
    Journal of the American Statistical Association 22, 209-212.
    """
    if count == 0:
        return 0.0, 1.0
    middle = (share + z**2 / (2 * count)) / (1 + z**2 / count)
    inside = share * (1 - share) / count + z**2 / (4 * count**2)
    half = z * float(np.sqrt(inside)) / (1 + z**2 / count)
    return max(middle - half, 0.0), min(middle + half, 1.0)


def _paired(forecasts: npt.ArrayLike, happened: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Return both as arrays, after looking whether they are what they should be."""
    p = np.asarray(forecasts, dtype=np.float64)
    y = np.asarray(happened, dtype=np.float64)
    if p.shape != y.shape or p.ndim != 1 or not p.size:
        message = f"as many forecasts as results, and at least one: got {p.shape} and {y.shape}"
        raise ValueError(message)
    if not ((p >= 0) & (p <= 1)).all():
        message = "a forecast must be a chance from 0 to 1"
        raise ValueError(message)
    return p, y


@dataclass(frozen=True, slots=True)
class Correction:
    """How forecasts are moved by real results: logit(p) becomes intercept + slope logit(p).

    Parameters
    ----------
    intercept, slope : float
        0 and 1 until there are enough results.
    n_results : int
        Results it rests on.
    """

    intercept: float = 0.0
    slope: float = 1.0
    n_results: int = 0

    @property
    def is_in_force(self) -> bool:
        """Whether there are enough results."""
        return self.n_results >= RESULTS_AT_LEAST

    def of(self, chance: float) -> float:
        """Return a corrected chance; as it was while there are too few results."""
        if not self.is_in_force:
            return chance
        logit = special.logit(min(max(chance, _SURE), 1 - _SURE))
        return float(special.expit(self.intercept + self.slope * logit))


def correction_by(outcomes: Sequence[Outcome]) -> Correction:
    """Return the correction by real results, from 30 results on.

    The intercept is normal around 0 with deviation 0.5 beforehand, the slope around 1 with 0.25.
    """
    if len(outcomes) < RESULTS_AT_LEAST:
        return Correction(n_results=len(outcomes))
    p = np.clip([each.forecast for each in outcomes], _SURE, 1 - _SURE)
    passed = np.array([each.passed for each in outcomes], dtype=np.float64)
    intercept, slope = logistic_line(special.logit(p), passed, priors=(_INTERCEPT, _SLOPE))
    return Correction(intercept, max(slope, 0.0), len(outcomes))


def logistic_line(
    x: Floats, happened: Floats, *, priors: tuple[tuple[float, float], tuple[float, float]]
) -> tuple[float, float]:
    """Return intercept and slope of a logistic regression with a normal prior on each."""
    center, scale = np.transpose(priors)
    design = np.stack((np.ones(x.size), x))

    def loss(line: Floats) -> tuple[float, Floats]:
        logit, off = line @ design, (line - center) / scale
        value = (np.logaddexp(0, logit) - happened * logit).sum() + off @ off / 2
        return float(value), design @ (special.expit(logit) - happened) + off / scale

    found = optimize.minimize(loss, center, jac=True, method="BFGS", options={"gtol": 1e-6})
    intercept, slope = np.asarray(found.x, dtype=np.float64)
    return float(intercept), float(slope)
