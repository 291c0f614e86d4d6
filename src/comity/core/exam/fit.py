"""Whether a model fits: by whole patterns of answers, by pairs of items, and item by item.

Each statistic needs everyone to have seen everything; where it cannot be had, it says why.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import linalg, special

from comity.core.exam.irt_likelihood import probabilities
from comity.core.exam.irt_scores import score_distribution
from comity.core.exam.quadrature import normal_grid

if TYPE_CHECKING:
    from comity.core.exam.irt import Calibration
    from comity.core.exam.quadrature import Floats, Grid
    from comity.core.exam.responses import Responses

ITEMS_FOR_PATTERNS: Final = 10
"""Beyond so many items most patterns of answers occur once or never, and G2 means nothing."""
ITEMS_FOR_PAIRS: Final = 40
ITEMS_FOR_SCORES: Final = 3
LEAST_EXPECTED: Final = 1.0
_FIT_NODES: Final = 121


@dataclass(frozen=True, slots=True)
class Fit:
    """A statistic that follows a chi-square where the model holds.

    Parameters
    ----------
    statistic : float or None
        None where it cannot be had.
    df : int
        Degrees of freedom.
    p : float or None
        Chance of one so large if the model holds.
    reason : str
        Why there is none, else empty.
    """

    statistic: float | None
    df: int = 0
    p: float | None = None
    reason: str = ""

    def rmsea(self, n_people: int) -> float | None:
        """Return the root mean square error of approximation, 0 for a perfect fit."""
        if self.statistic is None or self.df == 0:
            return None
        return float(np.sqrt(max(self.statistic - self.df, 0) / (self.df * (n_people - 1))))


def compare(smaller: Calibration, larger: Calibration) -> Fit:
    """Return the likelihood-ratio test of a model within another: same people, same items."""
    if smaller.parameters.items != larger.parameters.items:
        return Fit(None, reason="the two models are of different items")
    df = larger.n_parameters - smaller.n_parameters
    if df <= 0:
        return Fit(None, reason="the second model has no more parameters than the first")
    return _chi_square(2 * (larger.log_likelihood - smaller.log_likelihood), df)


def fit_of_patterns(responses: Responses, calibration: Calibration) -> Fit:
    """Return G2: the patterns of answers against those expected, for up to 10 items."""
    scores, reason = _complete(responses, calibration)
    n_items = scores.shape[1]
    df = 2**n_items - 1 - calibration.n_parameters
    if not reason and n_items > ITEMS_FOR_PATTERNS:
        reason = f"{n_items} items have too many patterns of answers"
    if not reason and df <= 0:
        reason = "the model has as many parameters as there are patterns"
    if reason:
        return Fit(None, reason=reason)
    patterns, counts = np.unique(scores, axis=0, return_counts=True)
    grid, p = _on_grid(calibration)
    log_p, log_not = np.log(p), np.log1p(-p)
    chance = np.exp(patterns @ log_p + (1 - patterns) @ log_not) @ grid.weights
    return _chi_square(2 * float(counts @ np.log(counts / (len(scores) * chance))), df)


def fit_of_pairs(responses: Responses, calibration: Calibration) -> Fit:
    """Return M2: shares right of items and of pairs against those expected, for up to 40 items.

    References
    ----------
    Maydeu-Olivares, A. and Joe, H. (2006). Limited information goodness-of-fit testing in
    multidimensional contingency tables. Psychometrika 71, 713-732.
    """
    scores, reason = _complete(responses, calibration)
    n_items = scores.shape[1]
    df = n_items * (n_items + 1) // 2 - calibration.n_parameters
    if not reason and n_items > ITEMS_FOR_PAIRS:
        reason = f"{n_items} items have too many pairs"
    if not reason and df <= 0:
        reason = "the model has as many parameters as there are items and pairs"
    if reason:
        return Fit(None, reason=reason)
    grid, p = _on_grid(calibration)
    first, second = _moments(n_items)
    together = np.where((first == second)[:, None], p[first], p[first] * p[second])
    expected = together @ grid.weights
    observed = (scores[:, first] * scores[:, second]).mean(axis=0)
    away = observed - expected
    spread = _joint(p, grid, together=together) - np.outer(expected, expected)
    slopes = _moment_slopes(calibration, grid, p)
    weighed = linalg.solve(spread, np.column_stack((away, slopes)), assume_a="pos")
    by_away, by_slopes = weighed[:, 0], weighed[:, 1:]
    explained = slopes.T @ by_away
    used = explained @ linalg.solve(slopes.T @ by_slopes, explained)
    return _chi_square(len(scores) * float(away @ by_away - used), df)


def fit_of_items(responses: Responses, calibration: Calibration) -> tuple[Fit, ...]:
    """Return S-X2 of each item: shares right among people with the same score.

    Neighbouring scores are put together until at least one right and one wrong answer is expected.

    References
    ----------
    Orlando, M. and Thissen, D. (2000). Likelihood-based item-fit indices for dichotomous item
    response theory models. Applied Psychological Measurement 24, 50-64.
    """
    scores, reason = _complete(responses, calibration)
    n_items = scores.shape[1]
    if not reason and n_items < ITEMS_FOR_SCORES:
        reason = "fewer than three items leave no scores to group by"
    if reason:
        return tuple(Fit(None, reason=reason) for _ in calibration.parameters.items)
    grid, p = _on_grid(calibration)
    totals = scores.sum(axis=1).astype(np.int64)
    n_at = np.bincount(totals, minlength=n_items + 1).astype(np.float64)
    all_items = score_distribution(p) @ grid.weights
    own = {"2pl": 2, "1pl": 1, "rasch": 1}[calibration.model]
    fits = []
    for item in range(n_items):
        others = score_distribution(np.delete(p, item, axis=0))
        share = (others[: n_items - 1] * p[item]) @ grid.weights / all_items[1:n_items]
        right = np.bincount(totals, weights=scores[:, item], minlength=n_items + 1).astype(
            np.float64
        )
        fits.append(_item_fit(n_at[1:n_items], right[1:n_items], share, own=own))
    return tuple(fits)


def _item_fit(n_at: Floats, right: Floats, share: Floats, *, own: int) -> Fit:
    """Return the fit of one item from its counts at each score but the lowest and highest."""
    groups = _put_together(n_at * share, n_at * (1 - share))
    starts = [start for start, _ in groups]
    if len(starts) <= own:
        return Fit(None, reason="too few people at different scores")
    people = np.add.reduceat(n_at, starts)
    expected = np.add.reduceat(n_at * share, starts)
    observed = np.add.reduceat(right, starts)
    statistic = ((observed - expected) ** 2 * people / (expected * (people - expected))).sum()
    return _chi_square(float(statistic), len(starts) - own)


def _put_together(right: Floats, wrong: Floats) -> list[tuple[int, int]]:
    """Return runs of scores, first and one past the last, with enough of both expected."""
    groups: list[tuple[int, int]] = []
    start = 0
    for stop in range(1, right.size + 1):
        if min(right[start:stop].sum(), wrong[start:stop].sum()) >= LEAST_EXPECTED:
            groups.append((start, stop))
            start = stop
    if groups and start < right.size:
        groups[-1] = (groups[-1][0], right.size)
    return groups


def _complete(responses: Responses, calibration: Calibration) -> tuple[Floats, str]:
    """Return the answers to the calibrated items, and why they will not do (empty if they do)."""
    scores = responses.of_items(calibration.parameters.items).scores
    scores = scores[~np.isnan(scores).all(axis=1)]
    reason = "not everyone saw every item" if np.isnan(scores).any() else ""
    return scores, reason


def _on_grid(calibration: Calibration) -> tuple[Grid, Floats]:
    """Return a grid and the items' probabilities on it."""
    grid = normal_grid(max(_FIT_NODES, calibration.grid.n_nodes))
    return grid, probabilities(calibration.parameters.a, calibration.parameters.d, grid.nodes)


def _moments(n_items: int) -> tuple[Floats, Floats]:
    """Return the items of each moment: an item with itself for its own share, then all pairs."""
    each = np.arange(n_items)
    first, second = np.triu_indices(n_items, k=1)
    return np.concatenate((each, first)), np.concatenate((each, second))


def _joint(p: Floats, grid: Grid, *, together: Floats) -> Floats:
    """Return the chance that all items of one moment and all of another are right."""
    first, second = _moments(p.shape[0])
    joint = np.empty((first.size, first.size))
    for at, (one, other) in enumerate(zip(first, second, strict=True)):
        rest = p.copy()
        rest[[one, other]] = 1.0
        beside = np.where((first == second)[:, None], rest[first], rest[first] * rest[second])
        joint[at] = beside @ (grid.weights * together[at])
    return joint


def _moment_slopes(calibration: Calibration, grid: Grid, p: Floats) -> Floats:
    """Return the derivatives of the moments by the free parameters."""
    n_items = p.shape[0]
    first, second = _moments(n_items)
    bend = p * (1 - p) * grid.weights
    by_a, by_d = np.zeros((first.size, n_items)), np.zeros((first.size, n_items))
    rows = np.arange(first.size)
    single = first == second
    for item, beside in ((first, second), (second, first)):
        others = np.where(single[:, None], 1.0, p[beside])
        by_a[rows, item] = (bend[item] * others) @ grid.nodes
        by_d[rows, item] = (bend[item] * others).sum(axis=1)
    if calibration.model == "rasch":
        return by_d
    if calibration.model == "1pl":
        by_a = by_a.sum(axis=1, keepdims=True)
    return np.hstack((by_a, by_d))


def _chi_square(statistic: float, df: int) -> Fit:
    """Return a statistic with its chance."""
    return Fit(statistic, df, float(special.chdtrc(df, max(statistic, 0.0))))
