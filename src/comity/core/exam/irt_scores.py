"""How likely each number of right answers is, and what ability it speaks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from comity.core.exam.irt_likelihood import probabilities
from comity.core.exam.quadrature import normal_grid

if TYPE_CHECKING:
    from comity.core.exam.irt import ItemParameters
    from comity.core.exam.quadrature import Floats


def score_distribution(p: Floats) -> Floats:
    """Return the distribution of the number of right answers to independent items.

    Parameters
    ----------
    p : ndarray of shape (n_items, ...)
        Probability of a right answer; further axes (abilities, draws) are carried along.

    Returns
    -------
    ndarray of shape (n_items + 1, ...)
        Probability of 0, 1, ... n_items right answers.

    Examples
    --------
    >>> import numpy as np
    >>> score_distribution(np.array([0.5, 0.5])).tolist()
    [0.25, 0.5, 0.25]

    References
    ----------
    Lord, F. M. and Wingersky, M. S. (1984). Comparison of IRT true-score and equipercentile
    observed-score "equatings". Applied Psychological Measurement 8, 453-461.
    """
    distribution = np.zeros((p.shape[0] + 1, *p.shape[1:]))
    distribution[0] = 1.0
    for count, chance in enumerate(p, start=1):
        distribution[1 : count + 1] = (
            distribution[1 : count + 1] * (1 - chance) + distribution[:count] * chance
        )
        distribution[0] *= 1 - chance
    return distribution


@dataclass(frozen=True, slots=True, eq=False)
class AbilityByScore:
    """The ability each number of right answers speaks for.

    Parameters
    ----------
    theta, deviation : ndarray of shape (n_items + 1,)
        Mean and standard deviation of the abilities of those with so many right answers.
    share : ndarray of shape (n_items + 1,)
        Share of people expected to have so many.
    """

    theta: Floats
    deviation: Floats
    share: Floats


def ability_by_score(items: ItemParameters, n_nodes: int = 121) -> AbilityByScore:
    """Return the mean ability given only the number of right answers (EAP by sum score)."""
    grid = normal_grid(n_nodes)
    joint = score_distribution(probabilities(items.a, items.d, grid.nodes)) * grid.weights
    share = joint.sum(axis=1)
    theta = joint @ grid.nodes / share
    variance = joint @ grid.nodes**2 / share - theta**2
    return AbilityByScore(theta, np.sqrt(np.maximum(variance, 0)), share)
