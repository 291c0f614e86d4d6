"""What the model of readiness says of every answer, and how unsure its estimates are.

Where an estimate is unsure, the chance of a right answer lies nearer to one half than at the
estimate itself. This flattening is part of the fit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy import special

from comity.core.exam.practice_rows import N_GLOBAL, Priors, Rows, priors_of_items, summed

if TYPE_CHECKING:
    from comity.core.exam.practice import Practice
    from comity.core.exam.quadrature import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Answers and priors; a point is mu, gamma, eta, theta, delta, b in units of their priors."""

    rows: Rows
    n_people: int
    n_domains: int
    center: Floats
    scale: Floats
    least: Floats

    @classmethod
    def of(cls, practice: Practice, rows: Rows, *, n_domains: int, priors: Priors) -> Problem:
        """Return the problem that answers and priors set."""
        n_people = len(practice.people)
        b_center, b_scale = priors_of_items(practice, priors)
        levels = (priors.mu, priors.gamma, priors.eta)
        still = np.zeros(n_people * (1 + n_domains))
        deviations = (
            [each for _, each in levels],
            np.full(n_people, priors.theta),
            np.full(n_people * n_domains, priors.delta),
            b_scale,
        )
        center = np.concatenate(([mean for mean, _ in levels], still, b_center))
        scale = np.concatenate(deviations)
        least = np.full(center.size, -np.inf)
        least[1:N_GLOBAL] = -center[1:N_GLOBAL] / scale[1:N_GLOBAL]
        return cls(rows, n_people, n_domains, center, scale, least)

    @property
    def start(self) -> Floats:
        """The means of the priors."""
        return np.zeros(self.center.size)

    def parts(self, point: Floats) -> tuple[Floats, Floats, Floats]:
        """Return levels, abilities in domains, and difficulties."""
        value = self.center + self.scale * point
        ends = np.cumsum((N_GLOBAL, self.n_people, self.n_people * self.n_domains))
        level, theta, delta, b = np.split(value, ends)
        return level, theta[:, None] + delta.reshape(self.n_people, self.n_domains), b

    def logits(self, point: Floats) -> Floats:
        """Return the logit of each answer's chance."""
        level, ability, b = self.parts(point)
        rows = self.rows
        together: Floats = level @ rows.known + ability.ravel()[rows.cell] - b[rows.item]
        return together

    def gradient(self, residual: Floats, point: Floats) -> Floats:
        """Return the slope, given how far chances exceed answers."""
        rows = self.rows
        by_cell = summed(rows.cell, residual, self.n_people * self.n_domains)
        by_person = by_cell.reshape(self.n_people, self.n_domains).sum(axis=1)
        n_items = self.center.size - N_GLOBAL - self.n_people * (1 + self.n_domains)
        by_item = -summed(rows.item, residual, n_items)
        slope = np.concatenate((rows.known @ residual, by_person, by_cell, by_item))
        whole: Floats = slope * self.scale + point
        return whole


@dataclass(frozen=True, slots=True, eq=False)
class Spreads:
    """How unsure the estimates are, and how much that flattens the chance of each answer."""

    flattening: Floats
    weight: Floats
    pull: Floats
    level: Floats
    b: Floats

    @classmethod
    def before(cls, problem: Problem) -> Spreads:
        """Return the spreads of the priors, without flattening."""
        shape = (problem.n_people, problem.n_domains)
        n_items = problem.center.size - N_GLOBAL - problem.n_people * (1 + problem.n_domains)
        return cls(
            np.ones(problem.rows.item.size),
            np.zeros(shape),
            np.zeros((*shape, N_GLOBAL)),
            np.diag(problem.scale[:N_GLOBAL] ** 2),
            problem.scale[problem.scale.size - n_items :] ** 2,
        )

    @classmethod
    def at(cls, problem: Problem, point: Floats, before: Spreads) -> Spreads:
        """Return the spreads by the curvature at a point."""
        rows, n_items = problem.rows, before.b.size
        chance = special.expit(before.flattening * problem.logits(point))
        curvature = before.flattening * chance * (1 - chance)
        prior = 1 / problem.scale[problem.scale.size - n_items :] ** 2
        precision = prior + summed(rows.item, curvature, n_items)
        others = precision[rows.item] - curvature
        # An answer tells less of a person the less is known, from others, of its item.
        telling = curvature / (1 + curvature / others)
        shape = (problem.n_people, problem.n_domains)
        size = problem.n_people * problem.n_domains
        weight = summed(rows.cell, telling, size).reshape(shape)
        pull = np.stack(
            [summed(rows.cell, telling * each, size).reshape(shape) for each in rows.known],
            axis=-1,
        )
        return cls._with(problem, weight, pull, telling=telling, b=1 / precision)

    @classmethod
    def _with(
        cls, problem: Problem, weight: Floats, pull: Floats, *, telling: Floats, b: Floats
    ) -> Spreads:
        rows = problem.rows
        slope, shared, own = domain_spread(weight, *_deviations(problem))
        tied = (
            own[..., None] * pull
            + slope[..., None]
            * (shared[:, None] * np.einsum("sk,skg->sg", slope, pull))[:, None, :]
        )
        met = (rows.known * telling) @ rows.known.T + np.diag(1 / problem.scale[:N_GLOBAL] ** 2)
        level = np.linalg.inv(met - np.einsum("skg,skh->gh", pull, tied))
        variance = (own + slope**2 * shared[:, None]).ravel()[rows.cell]
        variance = variance + np.einsum("gn,gh,hn->n", rows.known, level, rows.known)
        flattening = 1 / np.sqrt(1 + np.pi / 8 * (variance + b[rows.item]))
        return cls(flattening, weight, pull, level, b)


def _deviations(problem: Problem) -> tuple[float, float]:
    """Return the prior deviations of theta and delta."""
    theta = float(problem.scale[N_GLOBAL]) if problem.n_people else 1.0
    delta = float(problem.scale[N_GLOBAL + problem.n_people]) if problem.n_people else 1.0
    return theta, delta


def domain_spread(weight: Floats, theta: float, delta: float) -> tuple[Floats, Floats, Floats]:
    """Return the covariance of abilities in domains, as what is shared and what is each one's own.

    Parameters
    ----------
    weight : ndarray of shape (..., n_domains)
        Information of the answers.
    theta, delta : float
        Prior deviations.

    Returns
    -------
    slope : ndarray of shape (..., n_domains)
    shared : ndarray of shape (...)
    own : ndarray of shape (..., n_domains)
        The covariance is diag(own) + shared * outer(slope, slope).
    """
    own = 1 / (weight + delta**-2)
    slope = own * delta**-2
    shared = 1 / (theta**-2 + (weight * slope).sum(axis=-1))
    return slope, shared, own
