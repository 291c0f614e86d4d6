"""What readiness is made of, against published figures.

The model as a whole has no published counterpart; it is tried on invented cohorts
(docs/reference/readiness.md). Sources stand beside each check.
"""

from __future__ import annotations

import numpy as np
import pytest

from comity.core.exam.exam_chance import possible_abilities
from comity.core.exam.forecasts import wilson_interval
from comity.core.exam.forgetting import best_gap_days, retained
from comity.core.exam.practice import DatedAnswer, PracticeItem, practice_from_log
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.practice_rows import Priors
from tests.cohorts import blueprint_of

# Ebbinghaus, H. (1885), Über das Gedächtnis: share of work saved after so many days, by his own
# equation b = 100 k / ((log10 minutes)^c + k) with k = 1.84 and c = 1.25.
DAYS = np.array([1, 2, 6, 31])
SAVED = np.array([30.4, 28.1, 24.9, 21.2])


def test_forgetting_is_a_power_of_time_and_no_exponential() -> None:
    slope, start = np.polyfit(np.log1p(DAYS), np.log(SAVED), 1)
    ours = np.exp(start) * retained(DAYS, -slope)
    assert ours == pytest.approx(SAVED, abs=0.6)
    line = np.polyfit(DAYS, np.log(SAVED), 1)
    exponential = np.exp(np.polyval(line, DAYS))
    assert np.abs(exponential - SAVED).max() > 2 * np.abs(ours - SAVED).max()
    # Within the range of exponents that curves in the literature imply.
    assert 0.06 < -slope < 0.54


@pytest.mark.parametrize(("delay", "least", "most"), [(7, 0.20, 0.40), (365, 0.05, 0.10)])
def test_the_best_gap_is_within_the_published_share_of_the_delay(
    delay: int, least: float, most: float
) -> None:
    # Cepeda et al. (2008), Psychological Science 19, 1095-1102, abstract.
    assert least <= best_gap_days(delay) / delay <= most


@pytest.mark.parametrize(
    ("right", "count", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_intervals_of_a_share_are_the_published_ones(
    right: int, count: int, low: float, high: float
) -> None:
    # Newcombe, R. G. (1998), Two-sided confidence intervals for the single proportion, Statistics
    # in Medicine 17, 857-872, table I, method 3 (95 %). From memory.
    found = wilson_interval(right / count, count, z=1.959964)
    assert found == pytest.approx((low, high), abs=1e-4)


# LSAT-6 with one common discrimination (mirt 1.47, ltm 1.2-0, TAM 4.3-25): a and b of its items.
DISCRIMINATION = 0.75513
DIFFICULTIES = (-3.6153, -1.3224, -0.3176, -1.7301, -2.7802)
# Posterior mean of the ability by number of right answers, of the two-parameter model, whose
# discriminations (0.66 to 0.89) are nearly one (mirt 1.47).
ABILITY = (-1.897, -1.413, -0.935, -0.446, 0.075, 0.646)
# Posterior deviation of all wrong and all right, the same.
DEVIATION = {0: 0.8013, 5: 0.8590}


@pytest.mark.parametrize("n_right", range(6))
def test_on_a_classic_test_abilities_are_those_of_reference_libraries(n_right: int) -> None:
    narrow = 1e-4
    priors = Priors(
        mu=(0.0, narrow),
        gamma=(0.0, narrow),
        eta=(0.0, narrow),
        theta=DISCRIMINATION,
        delta=narrow,
        judged=(1.0, narrow),
    )
    items = [
        PracticeItem(f"i{at}", "d0", float(1 / (1 + np.exp(DISCRIMINATION * b))))
        for at, b in enumerate(DIFFICULTIES)
    ]
    log = [DatedAnswer("someone", f"i{at}", 1, float(at < n_right)) for at in range(5)]
    fit = fit_practice(practice_from_log(log, items, today=1), blueprint_of(1), priors=priors)
    drawn = possible_abilities(fit, "someone", shift=0.0).ability[:, 0] / DISCRIMINATION
    assert drawn.mean() == pytest.approx(ABILITY[n_right], abs=0.05)
    if n_right in DEVIATION:
        assert drawn.std() == pytest.approx(DEVIATION[n_right], abs=0.03)
