"""Which parameters a model leaves free, and how derivatives and steps follow from that."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from comity.core.exam.irt_information import observed_information
from comity.core.exam.irt_likelihood import complete_information, expect, gradient

if TYPE_CHECKING:
    from comity.core.exam.irt_information import Slopes
    from comity.core.exam.irt_likelihood import Expected, Patterns
    from comity.core.exam.quadrature import Floats, Grid

Model = Literal["rasch", "1pl", "2pl"]
"""rasch: all a = 1; 1pl: one common a, estimated; 2pl: an a for each item."""

M_STEPS = 2
LARGEST_STEP = 1.0
LEAST_INFORMATION = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class NormalPriors:
    """What is thought of the items before anyone answers; all normal, so that a may be negative.

    A wrong key shows as a negative discrimination; a prior on log a would hide it.

    Parameters
    ----------
    easiness_mean : float or ndarray of shape (n_items,)
        Of d, for instance minus a judged difficulty.
    easiness_deviation : float or ndarray of shape (n_items,)
        Standard deviation of d, > 0.
    discrimination_mean, discrimination_deviation : float
        Of a; not used by the Rasch model.
    """

    easiness_mean: float | Floats = 0.0
    easiness_deviation: float | Floats = 2.0
    discrimination_mean: float = 1.0
    discrimination_deviation: float = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Point:
    """The objective at some parameters.

    Parameters
    ----------
    free : ndarray
        The free parameters, slopes before easiness.
    value, slope : float, ndarray
        Log-likelihood plus log prior (less its constant), and its gradient.
    expected : Expected
        What the E step found there.
    """

    free: Floats
    value: float
    slope: Floats
    expected: Expected


@dataclass(frozen=True, slots=True, eq=False)
class Objective:
    """Log-likelihood plus log prior of a model, on a grid."""

    model: Model
    patterns: Patterns
    grid: Grid
    priors: NormalPriors | None = None

    @property
    def n_items(self) -> int:
        """The number of items."""
        return int(self.patterns.right.shape[1])

    @property
    def n_slopes(self) -> int:
        """How many of the free parameters are slopes; they come first."""
        return {"rasch": 0, "1pl": 1, "2pl": self.n_items}[self.model]

    def items_at(self, free: Floats) -> tuple[Floats, Floats]:
        """Return a and d of every item."""
        n_slopes = self.n_slopes
        a = np.ones(self.n_items)
        if n_slopes:
            a = a * free[:n_slopes]
        return a, free[n_slopes:]

    def at(self, free: Floats) -> Point:
        """Return value and gradient at some parameters: one E step."""
        a, d = self.items_at(free)
        expected = expect(self.patterns, a, d, grid=self.grid)
        away = self._away_from_prior(free)
        pull = self._prior_precision() * away
        value = expected.log_likelihood - 0.5 * float(pull @ away)
        by_a, by_d = gradient(expected, a, d, grid=self.grid)
        return Point(free, value, self._reduced(by_a, by_d) - pull, expected)

    def em(self, point: Point) -> Floats:
        """Return the parameters after an M step of a few Newton steps on the expected counts."""
        free = point.free
        slope = point.slope
        for step in range(M_STEPS):
            a, d = self.items_at(free)
            if step:
                by_a, by_d = gradient(point.expected, a, d, grid=self.grid)
                slope = self._reduced(by_a, by_d)
                slope = slope - self._prior_precision() * self._away_from_prior(free)
            known = complete_information(point.expected, a, d, grid=self.grid)
            change = self._m_step(slope, known)
            free = free + np.clip(change, -LARGEST_STEP, LARGEST_STEP)
        return free

    def information(self, point: Point) -> Floats:
        """Return the observed information (with the prior's) of the free parameters."""
        slopes: dict[Model, Slopes] = {"rasch": "none", "1pl": "common", "2pl": "each"}
        free = observed_information(
            self.patterns,
            point.expected,
            items=self.items_at(point.free),
            grid=self.grid,
            slopes=slopes[self.model],
        )
        free[np.diag_indices_from(free)] += self._prior_precision()
        return free

    def on(self, grid: Grid) -> Objective:
        """Return the same on another grid."""
        return Objective(self.model, self.patterns, grid, self.priors)

    def _reduced(self, by_a: Floats, by_d: Floats) -> Floats:
        """Return the gradient of the free parameters from that of all a and d."""
        slopes = {"rasch": by_a[:0], "1pl": by_a.sum(keepdims=True), "2pl": by_a}[self.model]
        return np.concatenate((slopes, by_d))

    def _prior_precision(self) -> Floats:
        """Return one over the prior variance of each free parameter; 0 without a prior."""
        precision = np.zeros(self.n_slopes + self.n_items)
        if self.priors is not None:
            precision[: self.n_slopes] = self.priors.discrimination_deviation**-2
            precision[self.n_slopes :] = self.priors.easiness_deviation**-2
        return precision

    def _away_from_prior(self, free: Floats) -> Floats:
        """Return how far the parameters are from what was thought of them before."""
        if self.priors is None:
            return np.zeros_like(free)
        means = np.empty_like(free)
        means[: self.n_slopes] = self.priors.discrimination_mean
        means[self.n_slopes :] = self.priors.easiness_mean
        return free - means

    def _m_step(self, slope: Floats, known: tuple[Floats, Floats, Floats]) -> Floats:
        """Return one Newton step on the expected counts: items do not touch but in a common a."""
        precision = self._prior_precision()
        n_slopes = self.n_slopes
        aa, ad, dd = known
        dd = dd + precision[n_slopes:] + LEAST_INFORMATION
        by_d = slope[n_slopes:]
        if not n_slopes:
            step: Floats = by_d / dd
            return step
        if self.model == "1pl":
            aa, by_a = aa.sum(keepdims=True), slope[:1]
            reduced = aa + precision[:1] - (ad**2 / dd).sum() + LEAST_INFORMATION
            by_slopes = (by_a - (ad * by_d / dd).sum()) / reduced
        else:
            reduced = aa + precision[:n_slopes] - ad**2 / dd + LEAST_INFORMATION
            by_slopes = (slope[:n_slopes] - ad * by_d / dd) / reduced
        return np.concatenate((by_slopes, (by_d - ad * by_slopes) / dd))
