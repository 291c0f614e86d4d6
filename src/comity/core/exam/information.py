"""How much a test tells at each ability, and which score it leads one to expect."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.irt_likelihood import probabilities

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.irt import ItemParameters
    from comity.core.exam.quadrature import Floats

DRAWN_AT: Final = tuple(float(theta) for theta in np.linspace(-4, 4, 81))
"""Abilities at which curves are drawn."""


def item_information(items: ItemParameters, theta: npt.ArrayLike) -> Floats:
    """Return a squared times P (1 - P): a row for each item, a column for each ability."""
    p = probabilities(items.a, items.d, np.atleast_1d(np.asarray(theta, dtype=np.float64)))
    information: Floats = items.a[:, None] ** 2 * p * (1 - p)
    return information


def information_of_test(items: ItemParameters, theta: npt.ArrayLike) -> Floats:
    """Return the information of all items together at each ability."""
    together: Floats = item_information(items, theta).sum(axis=0)
    return together


def error_at(items: ItemParameters, theta: npt.ArrayLike) -> Floats:
    """Return the standard error of the likeliest ability, one over the root of the information.

    Infinite where the test tells nothing.
    """
    with np.errstate(divide="ignore"):
        error: Floats = 1 / np.sqrt(information_of_test(items, theta))
    return error


def true_score(items: ItemParameters, theta: npt.ArrayLike) -> Floats:
    """Return the number of right answers to expect at each ability."""
    p = probabilities(items.a, items.d, np.atleast_1d(np.asarray(theta, dtype=np.float64)))
    score: Floats = p.sum(axis=0)
    return score
