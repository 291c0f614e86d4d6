"""What the plain percentage of right answers would say: printed beside readiness, always."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from scipy import special

from comity.core.exam.forecasts import RESULTS_AT_LEAST, logistic_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.forecasts import Outcome

Rule = Literal["nothing to go by", "distance from the mark", "logistic on real results"]
_WEAK: Final = 5.0
_TENTHS: Final = 10.0


@dataclass(frozen=True, slots=True)
class Benchmark:
    """The chance of passing by the share of right answers alone.

    Parameters
    ----------
    chance : float or None
        None without an answer or a cut.
    share_right : float or None
        Share of right answers.
    n_answers : int
    rule : str
        From 30 real results on a logistic regression of passing on the share; before, how many
        binomial deviations the share lies from the cut.
    """

    chance: float | None
    share_right: float | None
    n_answers: int
    rule: Rule


def benchmark_of(
    n_right: int, n_answers: int, *, cut: float | None, outcomes: Sequence[Outcome] = ()
) -> Benchmark:
    """Return what the share of right answers alone says.

    Examples
    --------
    >>> round(benchmark_of(60, 100, cut=0.55).chance, 3)
    0.846
    """
    if n_answers == 0:
        return Benchmark(None, None, 0, "nothing to go by")
    share = n_right / n_answers
    if len(outcomes) >= RESULTS_AT_LEAST:
        return Benchmark(_by_results(share, outcomes), share, n_answers, "logistic on real results")
    if cut is None:
        return Benchmark(None, share, n_answers, "nothing to go by")
    # Half an answer is added on either side, so that nobody is all right or all wrong.
    smooth = (n_right + 0.5) / (n_answers + 1)
    deviation = float(np.sqrt(smooth * (1 - smooth) / n_answers))
    chance = float(special.ndtr((share - cut) / deviation))
    return Benchmark(chance, share, n_answers, "distance from the mark")


def _by_results(share: float, outcomes: Sequence[Outcome]) -> float:
    shares = np.array([each.share_right for each in outcomes], dtype=np.float64)
    passed = np.array([each.passed for each in outcomes], dtype=np.float64)
    center = float(shares.mean())
    priors = ((0.0, _WEAK), (0.0, _WEAK))
    intercept, slope = logistic_line((shares - center) * _TENTHS, passed, priors=priors)
    return float(special.expit(intercept + slope * (share - center) * _TENTHS))
