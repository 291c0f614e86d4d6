"""Item parameters of the two classic tables, against what other programs estimate from them.

Status: computed by others and run for this check (ltm 1.2-0, mirt 1.47, TAM 4.3-25 under R 4.2.2;
girth 0.8.0), agreeing with each other within the tolerance; the log-likelihoods and the estimates
of LSAT-6 also stand in Rizopoulos, D. (2006), ltm: An R package for latent variable modeling and
item response theory analyses, Journal of Statistical Software 17(5).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from girth import rasch_mml, twopl_mml

from comity.core.exam.fit import compare
from tests.published.psychometrics.lsat import SECTIONS, calibration, responses

if TYPE_CHECKING:
    from comity.core.exam.irt_models import Model
    from tests.published.psychometrics.lsat import Section

BOTH = pytest.mark.parametrize("section", SECTIONS)


@BOTH
def test_a_thousand_people_answered_as_the_tables_say(section: Section) -> None:
    sums = {"LSAT-6": [924, 709, 553, 763, 870], "LSAT-7": [828, 658, 772, 606, 843]}
    by_score = {"LSAT-6": [3, 20, 85, 237, 357, 298], "LSAT-7": [12, 40, 114, 205, 321, 308]}
    scores = responses(section).scores
    assert scores.sum(axis=0).tolist() == sums[section]
    assert np.bincount(scores.sum(axis=1).astype(int)).tolist() == by_score[section]


# ltm, PyPI's mirt 1.2.0; LSAT-6 in Rizopoulos (2006).
RASCH = {
    "LSAT-6": (-2473.0538, [-2.8720, -1.0630, -0.2576, -1.3881, -2.2188]),
    "LSAT-7": (-2664.9160, [-1.8631, -0.7886, -1.4568, -0.5199, -1.9875]),
}


@BOTH
def test_rasch_difficulties_are_those_of_ltm(section: Section) -> None:
    found, (log_likelihood, b) = calibration(section, "rasch"), RASCH[section]
    assert found.log_likelihood == pytest.approx(log_likelihood, abs=0.001)
    assert found.parameters.b.tolist() == pytest.approx(b, abs=0.001)


# ltm, mirt, TAM: log-likelihood, a, b, AIC, BIC, variance of ability if a were 1.
COMMON_SLOPE = {
    "LSAT-6": (-2466.9376, 0.75513, [-3.6153, -1.3224, -0.3176, -1.7301, -2.7802]),
    "LSAT-7": (-2664.9009, 1.01127, [-1.8474, -0.7822, -1.4447, -0.5157, -1.9708]),
}
CRITERIA = {"LSAT-6": (4945.875, 4975.322, 0.5702), "LSAT-7": (5341.802, 5371.248, 1.0227)}


@BOTH
def test_one_common_discrimination_is_that_of_ltm_mirt_and_tam(section: Section) -> None:
    found, (log_likelihood, a, b) = calibration(section, "1pl"), COMMON_SLOPE[section]
    assert found.log_likelihood == pytest.approx(log_likelihood, abs=0.001)
    assert found.parameters.a.tolist() == pytest.approx([a] * 5, abs=0.002)
    assert found.parameters.b.tolist() == pytest.approx(b, abs=0.002)


@BOTH
def test_criteria_of_the_one_parameter_model_are_those_of_ltm_mirt_and_tam(
    section: Section,
) -> None:
    found, (aic, bic, variance) = calibration(section, "1pl"), CRITERIA[section]
    assert found.n_parameters == 6
    assert (found.aic, found.bic) == pytest.approx((aic, bic), abs=0.005)
    assert found.parameters.a[0] ** 2 == pytest.approx(variance, abs=0.001)


# ltm, mirt, TAM, girth: log-likelihood, a, d; standard errors of a by ltm (Hessian), mirt (Oakes).
TWO_PARAMETERS = {
    "LSAT-6": (
        -2466.6534,
        [0.8257, 0.7227, 0.8909, 0.6884, 0.6569],
        [2.7732, 0.9902, 0.2491, 1.2848, 2.0533],
    ),
    "LSAT-7": (
        -2658.8051,
        [0.9875, 1.0808, 1.7075, 0.7650, 0.7357],
        [1.8559, 0.8080, 1.8052, 0.4860, 1.8545],
    ),
}
ERRORS = {
    "LSAT-6": [0.258, 0.187, 0.233, 0.185, 0.210],
    "LSAT-7": [0.177, 0.169, 0.321, 0.134, 0.151],
}


@BOTH
def test_two_parameters_are_those_of_ltm_mirt_tam_and_girth(section: Section) -> None:
    found, (log_likelihood, a, d) = calibration(section, "2pl"), TWO_PARAMETERS[section]
    assert found.n_parameters == 10
    assert found.log_likelihood == pytest.approx(log_likelihood, abs=0.001)
    assert found.parameters.a.tolist() == pytest.approx(a, abs=0.003)
    assert found.parameters.d.tolist() == pytest.approx(d, abs=0.002)


@BOTH
def test_standard_errors_are_those_of_ltm_and_mirt(section: Section) -> None:
    errors = calibration(section, "2pl").errors
    assert errors is not None
    assert errors.a.tolist() == pytest.approx(ERRORS[section], abs=0.003)


@BOTH
def test_two_parameters_against_one_gives_the_published_ratio(section: Section) -> None:
    # Rizopoulos (2006) for LSAT-6; ltm, mirt and TAM for both.
    expected = {"LSAT-6": (0.568, 0.967), "LSAT-7": (12.192, 0.016)}
    test = compare(calibration(section, "1pl"), calibration(section, "2pl"))
    assert test.df == 4
    assert (test.statistic, test.p) == pytest.approx(expected[section], abs=0.003)


@BOTH
@pytest.mark.parametrize("model", ["rasch", "1pl", "2pl"])
def test_the_climb_ends_on_a_top_of_a_fine_grid(section: Section, model: Model) -> None:
    found = calibration(section, model)
    assert found.converged
    assert found.largest_gradient < 1e-4
    assert abs(found.grid.difference) < 1e-5


@BOTH
def test_girth_estimates_the_same_two_parameters_here_and_now(section: Section) -> None:
    # int8 would overflow in girth 0.8.0.
    theirs = twopl_mml(responses(section).scores.T.astype(int))
    ours = calibration(section, "2pl").parameters
    assert ours.a.tolist() == pytest.approx(theirs["Discrimination"].tolist(), abs=0.01)
    assert ours.b.tolist() == pytest.approx(theirs["Difficulty"].tolist(), abs=0.02)


@BOTH
def test_girth_comes_near_our_rasch_difficulties(section: Section) -> None:
    # girth's rasch_mml is approximate: -2.893 for the -2.872 of the other programs.
    theirs = rasch_mml(responses(section).scores.T.astype(int))
    ours = calibration(section, "rasch").parameters
    assert ours.b.tolist() == pytest.approx(theirs["Difficulty"].tolist(), abs=0.03)
