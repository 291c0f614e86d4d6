"""What is known of each person's ability, given items whose parameters are known.

Three estimates: the posterior mean (EAP) and the posterior mode (MAP), which lean on the group,
and Warm's weighted likelihood (WLE), which does not. The plain maximum of the likelihood is
infinite for those with everything right or wrong; it is not offered.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.information import information_of_test
from comity.core.exam.irt_likelihood import posterior_of, probabilities, rows_of
from comity.core.exam.quadrature import nodes_needed, normal_grid
from comity.core.exam.responses import ResponsesError

if TYPE_CHECKING:
    from collections.abc import Callable

    import numpy.typing as npt

    from comity.core.exam.irt import ItemParameters
    from comity.core.exam.quadrature import Floats
    from comity.core.exam.responses import Responses

FARTHEST: Final = 20.0
HALVINGS: Final = 50
PEOPLE_AT_A_TIME: Final = 2000


@dataclass(frozen=True, slots=True, eq=False)
class Abilities:
    """Estimates, a row for each person of the responses.

    Parameters
    ----------
    theta, error : ndarray of shape (n_people,)
        Estimate and its standard error (for EAP the posterior standard deviation).
    n_answers : ndarray of int
        On how many answers the estimate rests.
    likeliest_is_infinite : ndarray of bool
        Everything right, everything wrong, or nothing seen: the answers alone set no bound.
    """

    theta: Floats
    error: Floats
    n_answers: npt.NDArray[np.int64]
    likeliest_is_infinite: npt.NDArray[np.bool_]


def estimate_eap(responses: Responses, items: ItemParameters) -> Abilities:
    """Return posterior means; without answers 0 with standard deviation 1, those of the group."""
    scores = _matching(responses, items)
    wide = np.linspace(-6, 6, 121)
    grid = normal_grid(nodes_needed(float(information_of_test(items, wide).max(initial=0.0))))
    theta, variance = np.zeros(len(scores)), np.ones(len(scores))
    for part in _parts(len(scores)):
        posterior, _ = posterior_of(rows_of(scores[part]), items.a, items.d, grid=grid)
        moments = posterior @ np.column_stack((grid.nodes, grid.nodes**2))
        theta[part], variance[part] = moments[:, 0], moments[:, 1] - moments[:, 0] ** 2
    return _abilities(scores, theta, np.sqrt(np.maximum(variance, 0)))


def reliability_of_eap(means: Abilities) -> float:
    """Return one less the mean posterior variance: the share of the spread that is ability."""
    return float(1 - np.mean(means.error**2))


def estimate_map(responses: Responses, items: ItemParameters) -> Abilities:
    """Return posterior modes under the standard normal; the error is from the curvature there."""
    scores = _matching(responses, items)

    def slope(seen: Floats, right: Floats, theta: Floats) -> Floats:
        p = _probabilities(items, theta)
        by_theta: Floats = (right - seen * p) @ items.a - theta
        return by_theta

    theta = _roots(scores, slope)
    return _abilities(scores, theta, 1 / np.sqrt(1 + _information_met(scores, items, theta)))


def estimate_wle(responses: Responses, items: ItemParameters) -> Abilities:
    """Return Warm's weighted likelihood estimates: finite for everyone who answered anything.

    Who saw no item gets 0 with an infinite error, since the answers say nothing.

    References
    ----------
    Warm, T. A. (1989). Weighted likelihood estimation of ability in item response theory.
    Psychometrika 54, 427-450.
    """
    scores = _matching(responses, items)

    def slope(seen: Floats, right: Floats, theta: Floats) -> Floats:
        p = _probabilities(items, theta)
        weight = seen * p * (1 - p)
        information = np.maximum(weight @ items.a**2, np.finfo(float).tiny)
        bend = (weight * (1 - 2 * p)) @ items.a**3
        by_theta: Floats = (right - seen * p) @ items.a + bend / (2 * information)
        return by_theta

    theta = _roots(scores, slope)
    theta[np.isnan(scores).all(axis=1)] = 0.0
    with np.errstate(divide="ignore"):
        error = 1 / np.sqrt(_information_met(scores, items, theta))
    return _abilities(scores, theta, error)


def _matching(responses: Responses, items: ItemParameters) -> Floats:
    """Return the scores in the items' order; items without parameters count as not seen."""
    if responses.items == items.items:
        return responses.scores
    if not set(items.items) & set(responses.items):
        raise ResponsesError(("no answers to any of the items whose parameters are known",))
    scores = np.full((responses.n_people, len(items.items)), np.nan)
    place = {item: at for at, item in enumerate(responses.items)}
    for at, item in enumerate(items.items):
        if item in place:
            scores[:, at] = responses.scores[:, place[item]]
    return scores


def _parts(n_people: int) -> list[slice]:
    """Return slices of people that fit the cache."""
    starts = range(0, n_people, PEOPLE_AT_A_TIME)
    return [slice(start, start + PEOPLE_AT_A_TIME) for start in starts]


def _probabilities(items: ItemParameters, theta: Floats) -> Floats:
    """Return the probability of a right answer of each person (row) to each item."""
    return probabilities(items.a, items.d, theta).T


def _information_met(scores: Floats, items: ItemParameters, theta: Floats) -> Floats:
    """Return the information at each person's ability of the items this person saw."""
    p = _probabilities(items, theta)
    information: Floats = (~np.isnan(scores) * p * (1 - p)) @ items.a**2
    return information


def _roots(scores: Floats, slope: Callable[[Floats, Floats, Floats], Floats]) -> Floats:
    """Return where each person's slope crosses from up to down, by bisection."""
    theta = np.empty(len(scores))
    for part in _parts(len(scores)):
        seen = (~np.isnan(scores[part])).astype(np.float64)
        right = np.nan_to_num(scores[part])
        low, high = np.full(len(seen), -FARTHEST), np.full(len(seen), FARTHEST)
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            up = slope(seen, right, middle) > 0
            low, high = np.where(up, middle, low), np.where(up, high, middle)
        theta[part] = (low + high) / 2
    return theta


def _abilities(scores: Floats, theta: Floats, error: Floats) -> Abilities:
    """Return the estimates with what they rest on."""
    n_answers = (~np.isnan(scores)).sum(axis=1)
    n_right = np.nansum(scores, axis=1)
    return Abilities(theta, error, n_answers, (n_right == 0) | (n_right == n_answers))
