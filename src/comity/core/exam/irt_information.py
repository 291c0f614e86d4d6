"""The exact observed information of item parameters: what errors and Newton steps rest on.

It is the information of the complete data less what is lost because abilities are not known
(Louis 1982). The lost part is a covariance over each person's posterior. For people who saw the
same items it needs only cross products of the posteriors, so it costs little more than an E step.

References
----------
Louis, T. A. (1982). Finding the observed information matrix when using the EM algorithm. Journal
of the Royal Statistical Society B 44, 226-233.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from comity.core.exam.irt_likelihood import Patterns, complete_information, probabilities

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from comity.core.exam.irt_likelihood import Expected
    from comity.core.exam.quadrature import Floats, Grid

    Indexes = npt.NDArray[np.intp]


Slopes = Literal["none", "common", "each"]
"""Which a are estimated: none, one for all items, or one each."""


def observed_information(
    patterns: Patterns,
    expected: Expected,
    *,
    items: tuple[Floats, Floats],
    grid: Grid,
    slopes: Slopes,
) -> Floats:
    """Return the observed information of the parameters estimated, slopes before easiness.

    Parameters
    ----------
    patterns, expected : Patterns, Expected
        Answers, and what the E step found at these items.
    items : tuple of (ndarray, ndarray)
        a and d.
    grid : Grid
    slopes : {"none", "common", "each"}
    """
    p = probabilities(*items, grid.nodes)
    n_items = p.shape[0]
    aa, ad, dd = complete_information(expected, *items, grid=grid)
    n_slopes = {"none": 0, "common": 1, "each": n_items}[slopes]
    information = np.zeros((n_slopes + n_items, n_slopes + n_items))
    each = np.arange(n_items)
    own = each if slopes == "each" else np.zeros(n_items, dtype=np.intp)
    if n_slopes:
        np.add.at(information, (own, own), aa)
        information[own, n_slopes + each] = information[n_slopes + each, own] = ad
    information[n_slopes + each, n_slopes + each] = dd
    for part, columns, posterior in by_items_seen(patterns, expected.posterior):
        of_slopes = np.unique(own[columns]) if n_slopes else columns[:0]
        where = np.concatenate((of_slopes, n_slopes + columns))
        lost = _lost(part, posterior, p[columns], grid=grid, slopes=slopes)
        information[np.ix_(where, where)] -= lost
    return information


def by_items_seen(
    patterns: Patterns, posterior: Floats
) -> Iterator[tuple[Patterns, Indexes, Floats]]:
    """Yield the rows that saw the same items: their answers, these items, their posteriors."""
    if patterns.seen is None:
        yield patterns, np.arange(patterns.right.shape[1]), posterior
        return
    kinds, kind_of_row = np.unique(patterns.seen, axis=0, return_inverse=True)
    order = np.argsort(kind_of_row, kind="stable")
    ends = np.cumsum(np.bincount(kind_of_row, minlength=len(kinds)))
    for kind, rows in zip(kinds, np.split(order, ends[:-1]), strict=True):
        columns = np.flatnonzero(kind)
        counts = None if patterns.counts is None else patterns.counts[rows]
        right = np.ascontiguousarray(patterns.right[np.ix_(rows, columns)])
        yield Patterns(right, None, counts), columns, posterior[rows]


def _spread_of_posteriors(posterior: Floats, counts: Floats | None) -> Floats:
    """Return the sum over rows of the covariance of being at one node and at another."""
    weighted = posterior if counts is None else posterior * counts[:, None]
    spread: Floats = np.diag(weighted.sum(axis=0)) - posterior.T @ weighted
    return spread


def _lost(part: Patterns, posterior: Floats, p: Floats, *, grid: Grid, slopes: Slopes) -> Floats:
    """Return the covariance, summed over rows, of the complete data's score given the answers.

    The score of an item is (u - P)(theta, 1): u theta - P theta varies over the posterior in both
    terms for a, only P does for d. A common slope adds the items up.
    """
    theta = grid.nodes
    right, curves = part.right, p * theta
    if slopes == "none":
        right, curves = right[:, :0], curves[:0]
    elif slopes == "common":
        right, curves = right.sum(axis=1, keepdims=True), curves.sum(axis=0, keepdims=True)
    by_p = np.vstack((curves, p))
    lost: Floats = by_p @ _spread_of_posteriors(posterior, part.counts) @ by_p.T
    n_slopes = len(curves)
    if not n_slopes:
        return lost
    mean = posterior @ theta
    variance = posterior @ theta**2 - mean**2
    deviation = posterior * (theta - mean[:, None])
    counted = right if part.counts is None else right * part.counts[:, None]
    # counted.T @ deviation: sum over rows of u cov(theta, being at a node)
    cross = counted.T @ deviation @ by_p.T
    lost[:n_slopes] -= cross
    lost[:, :n_slopes] -= cross.T
    lost[:n_slopes, :n_slopes] += counted.T @ (right * variance[:, None])
    return lost
