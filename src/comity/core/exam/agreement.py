"""Whether judges agree: intraclass correlations for ratings, kappa for categories."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

TWO = 2


@dataclass(frozen=True, slots=True)
class IntraclassCorrelations:
    """Shrout and Fleiss's six, named by their model: one judge, or the mean of all.

    Parameters
    ----------
    each_by_others : tuple of (float, float)
        ICC(1,1) and ICC(1,k): each target was rated by other judges.
    any_judges : tuple of (float, float)
        ICC(2,1) and ICC(2,k): the judges stand for any judges; their severity counts.
    these_judges : tuple of (float, float)
        ICC(3,1) and ICC(3,k): only these judges matter; their severity does not count.
    """

    each_by_others: tuple[float, float]
    any_judges: tuple[float, float]
    these_judges: tuple[float, float]


def intraclass_correlations(ratings: npt.ArrayLike) -> IntraclassCorrelations:
    """Return the intraclass correlations of a complete table of ratings.

    Parameters
    ----------
    ratings : array_like of shape (n_targets, n_judges)

    Raises
    ------
    ValueError
        When a rating is missing, there are fewer than two of either, or nothing varies.

    References
    ----------
    Shrout, P. E. and Fleiss, J. L. (1979). Intraclass correlations: uses in assessing rater
    reliability. Psychological Bulletin 86, 420-428.
    """
    table = np.asarray(ratings, dtype=np.float64)
    if table.ndim != TWO or min(table.shape) < TWO or np.isnan(table).any():
        message = f"a complete table of two targets and judges at least, got shape {table.shape}"
        raise ValueError(message)
    if np.ptp(table) == 0:
        message = f"all ratings are {table[0, 0]:g}: agreement is undefined where nothing varies"
        raise ValueError(message)
    n, k = table.shape
    targets, judges = table.mean(axis=1), table.mean(axis=0)
    between = k * targets.var(ddof=1)
    within = table.var(axis=1, ddof=1).mean()
    of_judges = n * judges.var(ddof=1)
    rest = table - targets[:, None] - judges + table.mean()
    error = (rest**2).sum() / ((n - 1) * (k - 1))
    by_judge = (of_judges - error) / n
    return IntraclassCorrelations(
        each_by_others=(
            float((between - within) / (between + (k - 1) * within)),
            float((between - within) / between),
        ),
        any_judges=(
            float((between - error) / (between + (k - 1) * error + k * by_judge)),
            float((between - error) / (between + by_judge)),
        ),
        these_judges=(
            float((between - error) / (between + (k - 1) * error)),
            float((between - error) / between),
        ),
    )


def kappa(counts: npt.ArrayLike) -> float | None:
    """Return Cohen's kappa of a square table: rows one judge's categories, columns the other's.

    None where both judges use one and the same category only: chance alone would agree.

    Examples
    --------
    >>> kappa([[20, 0], [0, 20]])
    1.0
    """
    table = np.asarray(counts, dtype=np.float64)
    if table.ndim != TWO or table.shape[0] != table.shape[1] or table.sum() == 0:
        message = f"a square table with something in it, got shape {table.shape}"
        raise ValueError(message)
    shares = table / table.sum()
    by_chance = float(shares.sum(axis=1) @ shares.sum(axis=0))
    if np.isclose(by_chance, 1):
        return None
    return float((np.trace(shares) - by_chance) / (1 - by_chance))
