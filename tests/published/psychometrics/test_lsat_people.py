"""Abilities and curves of the two classic tables, against those of mirt.

Status: computed by mirt 1.47 under R 4.2.2, run for this check; the reliability by TAM 4.3-25
(mirt divides the variance by n - 1, so gives .3011 and .4523).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.core.exam.ability import (
    estimate_eap,
    estimate_map,
    estimate_wle,
    reliability_of_eap,
)
from comity.core.exam.information import information_of_test, true_score
from comity.core.exam.irt_scores import ability_by_score
from tests.published.psychometrics.lsat import SECTIONS, calibration, responses

if TYPE_CHECKING:
    from tests.published.psychometrics.lsat import Section

BOTH = pytest.mark.parametrize("section", SECTIONS)
THETAS = range(-3, 4)
ALL_WRONG, ALL_RIGHT = 0, -1  # the first and the last person of the tables

MEANS = {"LSAT-6": (-1.8968, 0.8013, 0.6456, 0.8590), "LSAT-7": (-1.8698, 0.6927, 0.7272, 0.8009)}
MODES = {"LSAT-6": (-1.895, 0.606), "LSAT-7": (-1.816, 0.638)}
WEIGHTED = {"LSAT-6": (-5.704, 1.650), "LSAT-7": (-4.137, 1.088)}
BY_SCORE = {
    "LSAT-6": [-1.897, -1.413, -0.935, -0.446, 0.075, 0.646],
    "LSAT-7": [-1.870, -1.432, -0.949, -0.413, 0.152, 0.727],
}
RELIABILITY = {"LSAT-6": 0.3009, "LSAT-7": 0.4521}
INFORMATION = {
    "LSAT-6": [0.5299, 0.5789, 0.5592, 0.4602, 0.3070, 0.1708, 0.0854],
    "LSAT-7": [0.5691, 1.0815, 1.4608, 0.9181, 0.4024, 0.1689, 0.0714],
}
TRUE_SCORES = {
    "LSAT-6": [1.7252, 2.4740, 3.2330, 3.9018, 4.3938, 4.6930, 4.8515],
    "LSAT-7": [0.9176, 1.6971, 2.8455, 3.8991, 4.4923, 4.7723, 4.8986],
}


@BOTH
def test_posterior_means_and_deviations_are_those_of_mirt(section: Section) -> None:
    found = estimate_eap(responses(section), calibration(section, "2pl").parameters)
    low, high = ((found.theta[at], found.error[at]) for at in (ALL_WRONG, ALL_RIGHT))
    assert (*low, *high) == pytest.approx(MEANS[section], abs=0.001)


@BOTH
def test_posterior_modes_are_those_of_mirt_and_ltm(section: Section) -> None:
    found = estimate_map(responses(section), calibration(section, "2pl").parameters).theta
    assert (found[ALL_WRONG], found[ALL_RIGHT]) == pytest.approx(MODES[section], abs=0.002)


@BOTH
def test_weighted_likelihood_is_finite_where_the_likeliest_is_not(section: Section) -> None:
    found = estimate_wle(responses(section), calibration(section, "2pl").parameters)
    ends = (found.theta[ALL_WRONG], found.theta[ALL_RIGHT])
    assert ends == pytest.approx(WEIGHTED[section], abs=0.01)
    assert found.likeliest_is_infinite[[ALL_WRONG, ALL_RIGHT]].all()
    # Three and 298 people of LSAT-6 have all wrong and all right, 12 and 308 of LSAT-7.
    assert found.likeliest_is_infinite.sum() == {"LSAT-6": 301, "LSAT-7": 320}[section]


@BOTH
def test_ability_by_number_right_is_that_of_mirt(section: Section) -> None:
    found = ability_by_score(calibration(section, "2pl").parameters)
    assert found.theta.tolist() == pytest.approx(BY_SCORE[section], abs=0.001)
    assert found.share.sum() == pytest.approx(1)


@BOTH
def test_reliability_of_posterior_means_is_that_of_tam(section: Section) -> None:
    found = estimate_eap(responses(section), calibration(section, "2pl").parameters)
    assert reliability_of_eap(found) == pytest.approx(RELIABILITY[section], abs=0.0005)


@BOTH
def test_information_is_that_of_mirt(section: Section) -> None:
    found = information_of_test(calibration(section, "2pl").parameters, THETAS)
    assert found.tolist() == pytest.approx(INFORMATION[section], abs=0.0005)


@BOTH
def test_true_scores_are_those_of_mirt(section: Section) -> None:
    found = true_score(calibration(section, "2pl").parameters, THETAS)
    assert found.tolist() == pytest.approx(TRUE_SCORES[section], abs=0.0005)
