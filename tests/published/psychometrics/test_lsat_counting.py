"""Figures by counting of the two classic tables.

Status: computed by psych 2.2.9 and ltm 1.2-0 under R 4.2.2, run for this check; KR-20 of LSAT-6
also in Rizopoulos, D. (2006), Journal of Statistical Software 17(5); KR-21 by exact arithmetic.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.core.exam.classical import describe_items, describe_scores
from tests.published.psychometrics.lsat import SECTIONS, responses

if TYPE_CHECKING:
    from tests.published.psychometrics.lsat import Section

BOTH = pytest.mark.parametrize("section", SECTIONS)
RELIABILITY = {"LSAT-6": (0.294997, 0.196441), "LSAT-7": (0.453409, 0.415044)}
SHARES = {
    "LSAT-6": [0.924, 0.709, 0.553, 0.763, 0.870],
    "LSAT-7": [0.828, 0.658, 0.772, 0.606, 0.843],
}
ALPHA_IF_DROPPED = {
    "LSAT-6": [0.27536, 0.23758, 0.21680, 0.24593, 0.26629],
    "LSAT-7": [0.39597, 0.39383, 0.34539, 0.41460, 0.43846],
}
ITEM_TOTAL = {
    "LSAT-6": [0.36201, 0.56677, 0.61844, 0.53442, 0.43537],
    "LSAT-7": [0.52999, 0.59968, 0.61121, 0.59203, 0.46119],
}
ITEM_REST = {
    "LSAT-6": [0.11283, 0.15318, 0.17278, 0.14443, 0.12160],
    "LSAT-7": [0.24573, 0.24667, 0.31318, 0.22275, 0.17479],
}
BISERIAL = {
    "LSAT-6": [0.67056, 0.75050, 0.77722, 0.73571, 0.69178],
    "LSAT-7": [0.78409, 0.77426, 0.84822, 0.75145, 0.69784],
}


@BOTH
def test_reliability_is_that_of_psych_and_of_exact_arithmetic(section: Section) -> None:
    found = describe_scores(responses(section))
    assert (found.kr20.value, found.kr21.value) == pytest.approx(RELIABILITY[section], abs=1e-6)


@BOTH
def test_shares_right_are_the_item_sums_over_a_thousand(section: Section) -> None:
    found = [each.difficulty.value for each in describe_items(responses(section))]
    assert found == pytest.approx(SHARES[section], abs=1e-12)


@BOTH
def test_reliability_without_an_item_is_that_of_psych_and_ltm(section: Section) -> None:
    found = [each.alpha_if_dropped.value for each in describe_items(responses(section))]
    assert found == pytest.approx(ALPHA_IF_DROPPED[section], abs=1e-5)


@BOTH
def test_correlations_with_the_score_are_those_of_psych(section: Section) -> None:
    found = [each.item_total.value for each in describe_items(responses(section))]
    assert found == pytest.approx(ITEM_TOTAL[section], abs=1e-5)


@BOTH
def test_correlations_with_the_other_items_are_those_of_psych(section: Section) -> None:
    found = [each.item_rest.value for each in describe_items(responses(section))]
    assert found == pytest.approx(ITEM_REST[section], abs=1e-5)


@BOTH
def test_biserial_correlations_are_those_of_psych(section: Section) -> None:
    found = [each.biserial.value for each in describe_items(responses(section))]
    assert found == pytest.approx(BISERIAL[section], abs=1e-4)
