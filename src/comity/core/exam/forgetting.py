"""What is left of practice as days go by: a power of time, and when to look at something again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

PSI: Final = 0.25
"""Exponent of the decay; curves in the literature imply 0.06 to 0.54."""
GAP_FACTOR: Final = 0.59
GAP_POWER: Final = 0.65


def retained(days: npt.ArrayLike, psi: float = PSI) -> Floats:
    """Return the share of one practice that is left after so many days: (1 + days) to the -psi.

    Examples
    --------
    >>> retained([0, 15]).tolist()
    [1.0, 0.5]

    References
    ----------
    Wickelgren, W. A. (1974), Single-trace fragility theory of memory dynamics, Memory & Cognition
    2, 775-780; Wixted, J. T. and Ebbesen, E. B. (1991), On the form of forgetting, Psychological
    Science 2, 409-415. Read in summaries, the exponent chosen by us.
    """
    left: Floats = np.exp(-psi * np.log1p(np.asarray(days, dtype=np.float64)))
    return left


def practice_left(groups: Ints, on: Ints, *, psi: float = PSI) -> Floats:
    """Return, for each answer, what is left on its day of the earlier ones of its group.

    Parameters
    ----------
    groups : ndarray of int, shape (n_answers,)
        Of each answer, to which group it belongs (a person's answers in a domain, say).
    on : ndarray of int, shape (n_answers,)
        Days, ascending; of two answers on one day the first counts as earlier.
    psi : float
        Exponent of the decay.
    """
    if not on.size:
        return np.zeros(0)
    order = np.argsort(groups, kind="stable")
    group, day = groups[order], on[order]
    at = np.arange(group.size)
    begins = np.concatenate(([True], group[1:] != group[:-1]))
    n_before = at - np.maximum.accumulate(np.where(begins, at, 0))
    share = retained(np.arange(int(on[-1] - on[0]) + 1), psi)
    sums = np.zeros(group.size)
    lag, later = 1, np.flatnonzero(n_before >= 1)
    while later.size:
        sums[later] += share[day[later] - day[later - lag]]
        lag += 1
        later = later[n_before[later] >= lag]
    left = np.empty_like(sums)
    left[order] = sums
    return left


def best_gap_days(days_left: float) -> float:
    """Return after how many days to look at something again that is asked in `days_left` days.

    Drawn by us through the middles of two published ranges: 20 to 40 % of the delay for a week,
    5 to 10 % for a year.

    Examples
    --------
    >>> [round(best_gap_days(delay), 1) for delay in (30, 90, 365)]
    [5.4, 11.0, 27.3]

    References
    ----------
    Cepeda, N. J., Vul, E., Rohrer, D., Wixted, J. T. and Pashler, H. (2008). Spacing effects in
    learning: a temporal ridgeline of optimal retention. Psychological Science 19, 1095-1102
    (abstract).
    """
    return float(GAP_FACTOR * max(days_left, 0.0) ** GAP_POWER)
