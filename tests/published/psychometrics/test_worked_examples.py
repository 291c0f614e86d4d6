"""Worked examples of textbooks and papers, and exact arithmetic; each names its source."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from comity.core.exam.agreement import intraclass_correlations, kappa
from comity.core.exam.classical import lengthened, times_longer
from comity.core.exam.classification import huynh, livingston
from comity.core.exam.differential import mantel_haenszel
from comity.core.exam.irt_scores import score_distribution
from comity.core.exam.standards import (
    Compromise,
    angoff,
    beuk_from_moments,
    bookmark_ability,
    hofstee,
)

ELEVEN_CANDIDATES = range(11)  # scoring 0, 1, ... 10


def test_lord_and_wingersky_as_kolen_and_brennan_work_it() -> None:
    # Kolen, M. J. and Brennan, R. L. (2004), Test equating, scaling, and linking, p. 183.
    found = score_distribution(np.array([0.26, 0.27, 0.18]))
    assert found.tolist() == pytest.approx([0.442964, 0.416708, 0.127692, 0.012636], abs=1e-12)


# Admissions to six departments at Berkeley in 1973 (men and women; admitted, rejected). Bickel,
# P. J., Hammel, E. A. and O'Connell, J. W. (1975), Science 187, 398-404; UCBAdmissions in base R.
BERKELEY = [
    [[512, 313], [89, 19]],
    [[353, 207], [17, 8]],
    [[120, 205], [202, 391]],
    [[138, 279], [131, 244]],
    [[53, 138], [94, 299]],
    [[22, 351], [24, 317]],
]


def test_mantel_and_haenszel_on_the_berkeley_admissions() -> None:
    # mantelhaen.test of R 4.2.2, run for this check; delta = -2.35 ln(odds ratio).
    found = mantel_haenszel(BERKELEY)
    assert found.odds_ratio == pytest.approx(0.904697, abs=1e-5)
    assert found.chi_square == pytest.approx(1.42695, abs=1e-5)
    assert found.p == pytest.approx(0.2323, abs=1e-4)
    assert found.delta == pytest.approx(0.2354, abs=1e-4)


def test_mantel_and_haenszel_without_continuity() -> None:
    # mantelhaen.test(correct = FALSE) of R 4.2.2, run for this check.
    found = mantel_haenszel(BERKELEY, correction="none")
    assert found.chi_square == pytest.approx(1.52461, abs=1e-5)


def test_intraclass_correlations_of_shrout_and_fleiss() -> None:
    # Shrout and Fleiss (1979), Psychological Bulletin 86, 420-428, table 2; four decimals by
    # psych 2.2.9, run for this check.
    ratings = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    found = intraclass_correlations(ratings)
    assert found.each_by_others == pytest.approx((0.1657, 0.4428), abs=5e-5)
    assert found.any_judges == pytest.approx((0.2898, 0.6201), abs=5e-5)
    assert found.these_judges == pytest.approx((0.7148, 0.9093), abs=5e-5)


def test_kappa_of_two_judges_and_three_categories() -> None:
    # Exact arithmetic; psych 2.2.9 rounds it to .49.
    assert kappa([[88, 14, 18], [10, 40, 10], [2, 6, 12]]) == pytest.approx(0.491525, abs=1e-6)


def test_angoff_of_three_judges_and_four_items() -> None:
    # Exact arithmetic: the judges' sums are 2.6, 2.6 and 2.7.
    found = angoff([[0.6, 0.7, 0.8, 0.5], [0.5, 0.8, 0.7, 0.6], [0.7, 0.6, 0.9, 0.5]])
    assert found.cut == pytest.approx(float(Fraction(79, 30)), abs=1e-12)
    assert found.standard_error == pytest.approx(1 / 30, abs=1e-12)


def test_hofstee_of_eleven_candidates() -> None:
    # Exact arithmetic: c / 11 meets 1 - c / 10 at 110 / 21.
    bounds = Compromise(min_cut=4, max_cut=8, min_fail=0.2, max_fail=0.6)
    found = hofstee(ELEVEN_CANDIDATES, bounds)
    assert found.cut == pytest.approx(110 / 21, abs=1e-12)


def test_beuk_of_eleven_candidates() -> None:
    # Exact arithmetic: 1 - c / 11 meets .5 + (c - 6) / 10 at 121 / 21.
    found = beuk_from_moments(ELEVEN_CANDIDATES, cut=(6, 1), passing=(0.5, 0.1))
    assert found.cut == pytest.approx(121 / 21, abs=1e-12)


def test_spearman_and_brown_both_ways() -> None:
    # Exact arithmetic: 14 / 17 and 27 / 7.
    assert lengthened(0.70, 2) == pytest.approx(14 / 17, abs=1e-12)
    assert times_longer(0.70, 0.90) == pytest.approx(27 / 7, abs=1e-12)


def test_livingston_five_below_the_mean() -> None:
    # Exact arithmetic: (.8 x 25 + 25) / 50.
    assert livingston(0.8, mean=70, deviation=5, cut=65) == pytest.approx(0.9, abs=1e-12)


def test_huynh_of_ten_items() -> None:
    # Exact double sum over the bivariate beta-binomial.
    found = huynh(10, mean=6, deviation=2.5, cut=6)
    expected = (0.684444, 2.766234, 1.844156, 0.762775, 0.508443)
    values = (found.kr21, found.alpha, found.beta, found.agreement, found.kappa)
    assert values == pytest.approx(expected, abs=1e-6)


def test_bookmark_at_two_thirds_lies_ln_2_above_the_difficulty() -> None:
    # Exact arithmetic: the odds of two thirds are 2.
    assert bookmark_ability(0.0) == pytest.approx(0.693147, abs=1e-6)
