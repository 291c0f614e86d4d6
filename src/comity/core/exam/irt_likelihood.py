"""The marginal likelihood of Rasch and two-parameter models, with its exact derivatives.

Probability of a right answer: 1 / (1 + exp(-(a theta + d))), theta standard normal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats, Grid

COLLAPSE_UP_TO = 12
"""Tests so short repeat their patterns of answers often enough to count instead of listing them."""


@dataclass(frozen=True, slots=True, eq=False)
class Patterns:
    """Rows of answers, as the estimation wants them.

    Parameters
    ----------
    right : ndarray of shape (n_rows, n_items)
        1 where the answer was right, else 0; in a row for several people, their mean.
    seen : ndarray of shape (n_rows, n_items) or None
        1 where the item was seen; None when everyone saw everything.
    counts : ndarray of shape (n_rows,) or None
        How many people share the row; None when each row is a person.
    """

    right: Floats
    seen: Floats | None = None
    counts: Floats | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Expected:
    """What is expected at each node, given the answers and the items.

    Parameters
    ----------
    log_likelihood : float
        Of all answers.
    posterior : ndarray of shape (n_rows, n_nodes)
        How the ability of each row lies, rows sum to 1.
    right, seen : ndarray of shape (n_items, n_nodes)
        Expected numbers of right answers and of answers; `seen` has one row for all items when
        everyone saw everything.
    """

    log_likelihood: float
    posterior: Floats
    right: Floats
    seen: Floats


def rows_of(scores: Floats) -> Patterns:
    """Return the answers of each person as a row."""
    unseen = np.isnan(scores)
    if not unseen.any():
        return Patterns(scores)
    return Patterns(np.where(unseen, 0.0, scores), (~unseen).astype(np.float64))


def patterns_of(scores: Floats) -> Patterns:
    """Return the answers ready for estimation: equal rows of short tests are counted."""
    rows = rows_of(scores)
    n_items = scores.shape[1]
    if n_items > COLLAPSE_UP_TO:
        return rows
    both = rows.right if rows.seen is None else np.hstack((rows.right, rows.seen))
    codes, counts = np.unique(both, axis=0, return_counts=True)
    seen = None if rows.seen is None else np.ascontiguousarray(codes[:, n_items:])
    return Patterns(np.ascontiguousarray(codes[:, :n_items]), seen, counts.astype(np.float64))


def patterns_by_score(scores: Floats) -> Patterns:
    """Return one row for the people who saw the same items and have the same number right.

    Where all items share one slope the number right says all about the ability, so a row with the
    mean of their answers, counted, has exactly the likelihood and the derivatives of all of them.
    """
    rows = rows_of(scores)
    totals = rows.right.sum(axis=1, keepdims=True)
    both = totals if rows.seen is None else np.hstack((rows.seen, totals))
    kinds, kind_of_row, counts = np.unique(both, axis=0, return_inverse=True, return_counts=True)
    order = np.argsort(kind_of_row.ravel(), kind="stable")
    starts = np.cumsum(counts) - counts
    right = np.add.reduceat(rows.right[order], starts, axis=0) / counts[:, None]
    seen = None if rows.seen is None else np.ascontiguousarray(kinds[:, :-1])
    return Patterns(right, seen, counts.astype(np.float64))


def logits(a: Floats, d: Floats, nodes: Floats) -> Floats:
    """Return a theta + d, a row for each item."""
    return np.multiply.outer(a, nodes) + d[:, None]


def probabilities(a: Floats, d: Floats, nodes: Floats) -> Floats:
    """Return the probability of a right answer, a row for each item."""
    # tanh neither overflows nor warns.
    half: Floats = 0.5 * (1 + np.tanh(0.5 * logits(a, d, nodes)))
    return half


def posterior_of(patterns: Patterns, a: Floats, d: Floats, *, grid: Grid) -> tuple[Floats, Floats]:
    """Return how each row's ability lies on the grid, and each row's log-likelihood."""
    z = logits(a, d, grid.nodes)
    log_wrong = -np.logaddexp(0.0, z)
    joint = patterns.right @ z
    joint += np.log(grid.weights)
    joint += log_wrong.sum(axis=0) if patterns.seen is None else patterns.seen @ log_wrong
    top = joint.max(axis=1, keepdims=True)
    joint -= top
    np.exp(joint, out=joint)
    total = joint.sum(axis=1, keepdims=True)
    joint /= total
    return joint, (np.log(total) + top)[:, 0]


def expect(patterns: Patterns, a: Floats, d: Floats, *, grid: Grid) -> Expected:
    """Return the posteriors and what they lead one to expect at each node (the E step)."""
    posterior, log_likelihoods = posterior_of(patterns, a, d, grid=grid)
    weighted = posterior if patterns.counts is None else posterior * patterns.counts[:, None]
    if patterns.counts is not None:
        log_likelihoods = log_likelihoods * patterns.counts
    seen = (
        weighted.sum(axis=0, keepdims=True) if patterns.seen is None else patterns.seen.T @ weighted
    )
    return Expected(float(log_likelihoods.sum()), posterior, patterns.right.T @ weighted, seen)


def gradient(expected: Expected, a: Floats, d: Floats, *, grid: Grid) -> tuple[Floats, Floats]:
    """Return the derivatives of the log-likelihood by a and by d (Fisher's identity)."""
    residual = expected.right - expected.seen * probabilities(a, d, grid.nodes)
    return residual @ grid.nodes, residual.sum(axis=1)


def complete_information(
    expected: Expected, a: Floats, d: Floats, *, grid: Grid
) -> tuple[Floats, Floats, Floats]:
    """Return the information if abilities were known, of each item: (aa, ad, dd)."""
    p = probabilities(a, d, grid.nodes)
    weight = expected.seen * p * (1 - p)
    return weight @ grid.nodes**2, weight @ grid.nodes, weight.sum(axis=1)
