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

from typing import TYPE_CHECKING

import numpy as np

from comity.core.exam.irt_likelihood import Patterns, complete_information, probabilities

if TYPE_CHECKING:
    from collections.abc import Iterator

    import numpy.typing as npt

    from comity.core.exam.irt_likelihood import Expected
    from comity.core.exam.quadrature import Floats, Grid

    Indexes = npt.NDArray[np.intp]


def observed_information(
    patterns: Patterns, expected: Expected, *, a: Floats, d: Floats, grid: Grid
) -> Floats:
    """Return the observed information of (a, d): a matrix of 2 n_items rows, a before d."""
    n_items = a.size
    p = probabilities(a, d, grid.nodes)
    aa, ad, dd = complete_information(expected, a, d, grid=grid)
    information = np.zeros((2 * n_items, 2 * n_items))
    each = np.arange(n_items)
    information[each, each] = aa
    information[each, n_items + each] = information[n_items + each, each] = ad
    information[n_items + each, n_items + each] = dd
    for part, columns, posterior in by_items_seen(patterns, expected.posterior):
        where = np.concatenate((columns, n_items + columns))
        information[np.ix_(where, where)] -= _lost(part, posterior, p[columns], grid=grid)
    return information


def observed_information_of_easiness(
    patterns: Patterns, expected: Expected, *, a: Floats, d: Floats, grid: Grid
) -> Floats:
    """Return the observed information of d alone, which is cheaper: n_items rows."""
    p = probabilities(a, d, grid.nodes)
    information = np.diag(complete_information(expected, a, d, grid=grid)[2])
    for part, columns, posterior in by_items_seen(patterns, expected.posterior):
        spread = _spread_of_posteriors(posterior, part.counts)
        information[np.ix_(columns, columns)] -= p[columns] @ spread @ p[columns].T
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


def _lost(part: Patterns, posterior: Floats, p: Floats, *, grid: Grid) -> Floats:
    """Return the covariance, summed over rows, of the complete data's score given the answers.

    The score of an item is (u - P)(theta, 1): u theta - P theta varies over the posterior in both
    terms for a, only P does for d.
    """
    n_items = p.shape[0]
    theta = grid.nodes
    mean = posterior @ theta
    variance = posterior @ theta**2 - mean**2
    deviation = posterior * (theta - mean[:, None])
    right = part.right if part.counts is None else part.right * part.counts[:, None]
    by_right = right.T @ deviation  # sum over rows of u cov(theta, being at a node)
    by_p = np.vstack((p * theta, p))
    lost = by_p @ _spread_of_posteriors(posterior, part.counts) @ by_p.T
    cross = by_right @ by_p.T
    lost[:n_items] -= cross
    lost[:, :n_items] -= cross.T
    lost[:n_items, :n_items] += right.T @ (part.right * variance[:, None])
    return lost
