"""Whether an item is harder for one group than for another that does equally well otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from scipy import special

if TYPE_CHECKING:
    import numpy.typing as npt

DELTA_PER_LOG_ODDS: Final = -2.35


@dataclass(frozen=True, slots=True)
class DifferentialFunctioning:
    """The Mantel-Haenszel comparison of two groups over strata of equal scores.

    Parameters
    ----------
    odds_ratio : float or None
        Odds of the first row's group over those of the second; above 1 favours the first.
    delta : float or None
        -2.35 times the log odds ratio: negative favours the first group.
    chi_square, p : float or None
        With or without Yates's correction, as asked for.
    reason : str
        Why the values are None, else empty.
    """

    odds_ratio: float | None
    delta: float | None
    chi_square: float | None
    p: float | None
    reason: str = ""


def mantel_haenszel(
    tables: npt.ArrayLike, *, correction: Literal["continuity", "none"] = "continuity"
) -> DifferentialFunctioning:
    """Compare two groups over strata.

    Parameters
    ----------
    tables : array_like of shape (n_strata, 2, 2)
        Counts: rows the reference and the focal group, columns right and wrong. Strata with fewer
        than two people say nothing and are left out.
    correction : {"continuity", "none"}

    References
    ----------
    Mantel, N. and Haenszel, W. (1959). Statistical aspects of the analysis of data from
    retrospective studies of disease. Journal of the National Cancer Institute 22, 719-748.
    """
    counts = np.asarray(tables, dtype=np.float64)
    if counts.shape[1:] != (2, 2):
        message = f"a two-by-two table for each stratum, got shape {counts.shape}"
        raise ValueError(message)
    total = counts.sum(axis=(1, 2))
    counts, total = counts[total > 1], total[total > 1]
    rows, columns = counts.sum(axis=2), counts.sum(axis=1)
    expected = rows[:, 0] * columns[:, 0] / total
    variance = (rows.prod(axis=1) * columns.prod(axis=1) / (total**2 * (total - 1))).sum()
    if variance == 0:
        reason = "no stratum has both groups with both right and wrong answers"
        return DifferentialFunctioning(None, None, None, None, reason)
    away = abs(float((counts[:, 0, 0] - expected).sum()))
    if correction == "continuity":
        away -= min(0.5, away)
    chi_square = away**2 / float(variance)
    p = float(special.chdtrc(1, chi_square))
    favour = float((counts[:, 0, 0] * counts[:, 1, 1] / total).sum())
    against = float((counts[:, 0, 1] * counts[:, 1, 0] / total).sum())
    if min(favour, against) == 0:
        reason = "the odds ratio is 0 or infinite: one group is all right or all wrong"
        return DifferentialFunctioning(None, None, chi_square, p, reason)
    ratio = favour / against
    return DifferentialFunctioning(ratio, float(DELTA_PER_LOG_ODDS * np.log(ratio)), chi_square, p)
