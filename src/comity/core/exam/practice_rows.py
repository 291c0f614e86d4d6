"""Answers as the model of readiness sees them, and what is believed before any is seen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.forgetting import PSI, practice_left

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.practice import Practice
    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

N_GLOBAL: Final = 3
"""mu, gamma and eta."""


@dataclass(frozen=True, slots=True)
class Priors:
    """Means and standard deviations before any answer is seen.

    The values are the project's own, not published ones.

    Parameters
    ----------
    mu, gamma, eta : tuple of float
        Mean and deviation of the level, the gain from practice in a domain, the gain from having
        seen the very item; the last two are never negative.
    theta, delta : float
        Deviations of people, and of a person between domains.
    b : float
        Deviation of difficulties of items that nobody judged.
    judged : tuple of float
        How much of a judged difficulty is believed, and the deviation around it.
    psi : float
        Exponent of forgetting, held fixed.
    """

    mu: tuple[float, float] = (0.0, 1.0)
    gamma: tuple[float, float] = (0.25, 0.15)
    eta: tuple[float, float] = (0.7, 0.4)
    theta: float = 0.8
    delta: float = 0.4
    b: float = 1.0
    judged: tuple[float, float] = (0.5, 0.75)
    psi: float = PSI


USUAL: Final = Priors()


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """The answers to items of the blueprint's domains, as the model sees them.

    Parameters
    ----------
    cell : ndarray of int
        Person times number of domains, plus domain.
    item : ndarray of int
        Place of the item.
    score : ndarray of float
        1 right, 0 wrong.
    on : ndarray of int
        Day.
    known : ndarray of shape (3, n_answers)
        1, ln(1 + A) and ln(1 + B): what mu, gamma and eta are multiplied with.
    n_left_out : int
        Answers to items outside the blueprint.
    """

    cell: Ints
    item: Ints
    score: Floats
    on: Ints
    known: Floats
    n_left_out: int


def domains_of(practice: Practice, blueprint: Blueprint) -> Ints:
    """Return the place of each item's domain in the blueprint, -1 for none."""
    place = {domain.id: at for at, domain in enumerate(blueprint.domains)}
    for at, domain in enumerate(blueprint.domains):
        place |= {part.id: at for part in domain.parts}
    return np.array([place.get(item.domain, -1) for item in practice.items], dtype=np.int64)


def rows_of(practice: Practice, item_domain: Ints, *, n_domains: int, psi: float) -> Rows:
    """Return the answers that count, each with what was left of practice before it."""
    domain = item_domain[practice.item]
    kept = domain >= 0
    person, item, on = practice.person[kept], practice.item[kept], practice.on[kept]
    cell = person * n_domains + domain[kept]
    same_domain = practice_left(cell, on, psi=psi)
    same_item = practice_left(person * max(item_domain.size, 1) + item, on, psi=psi)
    known = np.stack((np.ones(item.size), np.log1p(same_domain), np.log1p(same_item)))
    return Rows(cell, item, practice.score[kept], on, known, int((~kept).sum()))


def priors_of_items(practice: Practice, priors: Priors) -> tuple[Floats, Floats]:
    """Return the prior mean and deviation of each difficulty."""
    believed, deviation = priors.judged
    judged = [item.judged_difficulty for item in practice.items]
    center = [0.0 if each is None else believed * each for each in judged]
    scale = [priors.b if each is None else deviation for each in judged]
    return np.array(center, dtype=np.float64), np.array(scale, dtype=np.float64)


def summed(group: Ints, weights: Floats, n_groups: int) -> Floats:
    """Return the sum of the weights of each group."""
    return np.bincount(group, weights=weights, minlength=n_groups).astype(np.float64)
