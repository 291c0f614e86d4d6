"""How consistently a pass mark sorts people: Livingston's coefficient and Huynh's beta-binomial."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from comity.core.exam.classical import kr21_from_moments


@dataclass(frozen=True, slots=True)
class Consistency:
    """Agreement of two sittings of the same kind about who passes.

    Parameters
    ----------
    kr21, alpha, beta : float
        Reliability, and the parameters of the beta distribution of true shares right.
    agreement : float
        Chance that both sittings say the same of a person.
    kappa : float or None
        Agreement beyond chance; None where all pass or all fail, where it has no meaning.
    pass_share : float
        Share expected to pass, scoring the mark or more.
    """

    kr21: float
    alpha: float
    beta: float
    agreement: float
    kappa: float | None
    pass_share: float


def livingston(reliability: float, *, mean: float, deviation: float, cut: float) -> float:
    """Return the reliability of decisions at a mark (k squared): higher far from the mean.

    Examples
    --------
    >>> round(livingston(0.8, mean=70, deviation=5, cut=65), 2)
    0.9

    References
    ----------
    Livingston, S. A. (1972). Criterion-referenced applications of classical test theory. Journal
    of Educational Measurement 9, 13-26.
    """
    away = (mean - cut) ** 2
    if deviation == 0 and away == 0:
        message = "everyone scored the mark itself: nothing to be consistent about"
        raise ValueError(message)
    return (reliability * deviation**2 + away) / (deviation**2 + away)


def huynh(n_items: int, *, mean: float, deviation: float, cut: int) -> Consistency:
    """Return how consistent a whole-numbered mark is, from one sitting's mean and deviation.

    Passing is scoring the mark or more. Both sittings are beta-binomial with the same true shares.

    Raises
    ------
    ValueError
        When the moments fit no beta distribution (KR-21 not between 0 and 1).

    References
    ----------
    Huynh, H. (1976). On the reliability of decisions in domain-referenced testing. Journal of
    Educational Measurement 13, 253-264.
    """
    kr21 = kr21_from_moments(n_items, mean=mean, deviation=deviation)
    if not 0 < kr21 < 1:
        message = f"KR-21 is {kr21:.3f}; people must differ by more than chance, less than wholly"
        raise ValueError(message)
    alpha = mean * (1 / kr21 - 1)
    beta = n_items * (1 / kr21 - 1) - alpha
    right = np.arange(n_items + 1)
    ways = np.log(special.binom(n_items, right))
    both = right[:, None] + right
    log_joint = special.betaln(alpha + both, beta + 2 * n_items - both)
    joint = np.exp(ways[:, None] + ways + log_joint - special.betaln(alpha, beta))
    passes = right >= cut
    twice = float(joint[np.ix_(passes, passes)].sum())
    never = float(joint[np.ix_(~passes, ~passes)].sum())
    pass_share = float(joint[passes].sum())
    chance = pass_share**2 + (1 - pass_share) ** 2
    agreement = twice + never
    kappa = None if np.isclose(chance, 1) else (agreement - chance) / (1 - chance)
    return Consistency(kr21, alpha, beta, agreement, kappa, pass_share)
