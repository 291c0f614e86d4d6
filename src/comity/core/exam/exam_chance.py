"""From what is known of a person to the chance of a mark: many abilities they may have, and scores.

Abilities are laid out evenly over what is possible (a Sobol sequence, no dice), so that the same
answers always give the same chance.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import special
from scipy.stats import qmc

from comity.core.exam.blueprints import apportioned
from comity.core.exam.practice_problem import domain_spread
from comity.core.exam.practice_rows import N_GLOBAL

if TYPE_CHECKING:
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.practice_fit import PracticeFit
    from comity.core.exam.quadrature import Floats

SHIFT: Final = 0.3
"""Deviation of how much harder or easier the examination is than our items, in logits."""
USUAL_ITEMS: Final = 100
LOG2_DRAWS: Final = 8
GOLDEN: Final = 0.6180339887498949
_EDGE: Final = 1e-4
_LOGITS: Final = np.linspace(-12, 12, 385)
_PER_LOGIT: Final = 16.0


@dataclass(frozen=True, slots=True)
class Exam:
    """The examination that is to be passed.

    Parameters
    ----------
    n_items : int
        Items in a form.
    cut : float or None
        Share of the items that passes; None where it is not published.
    cut_error : float
        Standard deviation of the cut, where it is only known roughly.
    shift : float
        Deviation of how much harder or easier it is than the items practised, in logits.
    """

    n_items: int = USUAL_ITEMS
    cut: float | None = None
    cut_error: float = 0.0
    shift: float = SHIFT

    def __post_init__(self) -> None:
        if self.n_items < 1:
            message = f"an examination must have at least 1 item, got {self.n_items}"
            raise ValueError(message)
        if self.cut is not None and not 0 <= self.cut <= 1:
            message = f"a cut must be a share from 0 to 1, got {self.cut:g}"
            raise ValueError(message)
        if self.cut_error < 0 or self.shift < 0:
            message = f"deviations must be 0 or more, got {min(self.cut_error, self.shift):g}"
            raise ValueError(message)

    def passing(self, cut: float) -> Floats:
        """Return, for each number of right answers, the chance that it is enough."""
        share = np.arange(self.n_items + 1) / self.n_items
        if self.cut_error > 0:
            likely: Floats = special.ndtr((share - cut) / self.cut_error)
            return likely
        return (share >= cut - 1e-9).astype(np.float64)


def exam_of(blueprint: Blueprint) -> Exam:
    """Return the examination as a blueprint describes it: 100 items unless it says otherwise."""
    cut = None if blueprint.pass_mark is None else float(blueprint.pass_mark)
    return Exam(blueprint.n_items or USUAL_ITEMS, cut)


@dataclass(frozen=True, slots=True, eq=False)
class Possible:
    """Abilities that a person may have, equally likely each.

    Parameters
    ----------
    ability : ndarray of shape (n_draws, n_domains)
        mu + theta + delta in each domain, before what practice adds.
    gain : ndarray of shape (n_draws,)
        gamma, what a logarithm of practice is worth.
    ease : ndarray of shape (n_draws,)
        How much easier the examination is.
    """

    ability: Floats
    gain: Floats
    ease: Floats

    def logits(self, left: Floats) -> Floats:
        """Return the logit on an item of difficulty 0, given what is left of practice."""
        whole: Floats = self.ability + self.gain[:, None] * np.log1p(left) + self.ease[:, None]
        return whole


def possible_abilities(
    fit: PracticeFit, person: str, *, shift: float, normal: Floats | None = None
) -> Possible:
    """Return abilities a person may have; of someone unknown, those of people in general.

    Parameters
    ----------
    fit : PracticeFit
    person : str
    shift : float
        Deviation of how much harder or easier the examination is.
    normal : ndarray of shape (n_draws, n_coordinates(fit)), optional
        Standard normal numbers to lay them out by; without them evenly spread ones.
    """
    people, k = fit.practice.people, fit.n_domains
    if person in people:
        at = people.index(person)
        ability, weight, pull = fit.ability[at], fit.weight[at], fit.pull[at]
    else:
        ability, weight, pull = np.zeros(k), np.zeros(k), np.zeros((k, N_GLOBAL))
    slope, shared, own = domain_spread(weight, fit.priors.theta, fit.priors.delta)
    if normal is None:
        normal = evenly_spread(LOG2_DRAWS, n_coordinates(fit))
    of_own, of_shared = normal[:, :k] * np.sqrt(own), normal[:, k, None] * np.sqrt(shared)
    level = normal[:, k + 1 : k + 1 + N_GLOBAL] @ np.linalg.cholesky(fit.level_spread).T
    covariance = np.diag(own) + shared * np.outer(slope, slope)
    tied = level @ (covariance @ pull).T
    whole = fit.level[0] + level[:, :1] + ability + of_own + of_shared * slope - tied
    gain = np.maximum(fit.level[1] + level[:, 1], 0)
    return Possible(whole, gain, shift * normal[:, -1])


def n_coordinates(fit: PracticeFit) -> int:
    """Return how many numbers lay out one possibility."""
    return fit.n_domains + N_GLOBAL + 2


@cache
def evenly_spread(log2_draws: int, dimension: int) -> Floats:
    """Return evenly spread points of the standard normal, always the same."""
    # The sequence's first point is a corner; a fixed turn of every coordinate brings it inside.
    turn = np.sqrt(np.arange(2, dimension + 2) + GOLDEN) % 1
    points = _normal(_sobol(log2_draws, dimension) + turn)
    points.setflags(write=False)
    return points


def freshly_spread(log2_draws: int, dimension: int, rng: np.random.Generator) -> Floats:
    """Return evenly spread points of the standard normal, turned by chance."""
    return _normal(_sobol(log2_draws, dimension) + rng.random(dimension))


def _normal(points: Floats) -> Floats:
    middle: Floats = special.ndtri(np.clip(points % 1, _EDGE, 1 - _EDGE))
    return middle


@cache
def _sobol(log2_draws: int, dimension: int) -> Floats:
    """Return points of the unit cube; the last coordinates are spread best."""
    points = qmc.Sobol(dimension, scramble=False).random_base2(log2_draws)
    # What counts most stands last: the examination's ease, and the level.
    return np.ascontiguousarray(points[:, ::-1], dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class ExamModel:
    """How an examination would go for given logits.

    Parameters
    ----------
    counts : tuple of int
        Items of each domain.
    curves : ndarray of shape (n_domains, n_logits)
        Chance of a right answer to an item of the domain whose difficulty is not known.
    """

    counts: tuple[int, ...]
    curves: Floats

    def chances(self, logits: Floats) -> Floats:
        """Return the chance of a right answer in each domain (last axis)."""
        by_domain = [self.chance(k, logits[..., k]) for k in range(len(self.counts))]
        return np.stack(by_domain, axis=-1)

    def chance(self, domain: int, logits: Floats) -> Floats:
        """Return the chance of a right answer in one domain."""
        # On a grid of equal steps the place is reckoned, which is faster than to search for it.
        place = np.clip((logits - _LOGITS[0]) * _PER_LOGIT, 0, _LOGITS.size - 1.000001)
        below = place.astype(np.int64)
        curve = self.curves[domain]
        low: Floats = curve[below]
        chance: Floats = low + (place - below) * (curve[below + 1] - low)
        return chance

    def scores(self, chances: Floats) -> Floats:
        """Return the distribution of right answers: rows scores, columns as `chances` has rows.

        Items of a domain are alike, so Lord and Wingersky's recursion takes a domain at a time.
        """
        distribution = np.ones((1, len(chances)))
        for count, chance in zip(self.counts, chances.T, strict=True):
            right = np.arange(count + 1)[:, None]
            ways = special.binom(count, right)
            of_domain = ways * chance**right * (1 - chance) ** (count - right)
            wider = np.zeros((len(distribution) + count, len(chances)))
            for more, likely in enumerate(of_domain):
                wider[more : more + len(distribution)] += likely * distribution
            distribution = wider
        return distribution


def exam_model(fit: PracticeFit, blueprint: Blueprint, n_items: int) -> ExamModel:
    """Return how an examination of new items would go.

    Its items are taken to be like those practised in each domain, as far as their difficulty is
    known; where a domain has none, like items in general.
    """
    curves = np.empty((fit.n_domains, _LOGITS.size))
    for k in range(fit.n_domains):
        own = fit.item_domain == k
        b, variance = (fit.b[own], fit.b_variance[own]) if own.any() else _in_general(fit)
        flat = 1 / np.sqrt(1 + np.pi / 8 * variance)
        curves[k] = special.expit(flat * (_LOGITS[:, None] - b)).mean(axis=1)
    shares = [Fraction(domain.share) for domain in blueprint.domains]
    return ExamModel(apportioned(shares, n_items), curves)


def _in_general(fit: PracticeFit) -> tuple[Floats, Floats]:
    return np.zeros(1), np.array([fit.priors.b**2])
