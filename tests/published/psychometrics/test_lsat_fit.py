"""Fit statistics of the two classic tables, against those of mirt.

Status: computed by mirt 1.47 under R 4.2.2, run for this check.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.core.exam.fit import fit_of_items, fit_of_pairs, fit_of_patterns
from tests.published.psychometrics.lsat import SECTIONS, calibration, responses

if TYPE_CHECKING:
    from tests.published.psychometrics.lsat import Section

BOTH = pytest.mark.parametrize("section", SECTIONS)
PATTERNS = {"LSAT-6": (21.80, 21.23), "LSAT-7": (43.89, 31.70)}
PAIRS = {"LSAT-6": (4.738, 0.449, 0.0), "LSAT-7": (11.938, 0.036, 0.037)}
ITEMS = {
    "LSAT-6": [0.450, 1.691, 0.666, 0.175, 0.111],
    "LSAT-7": [4.751, 14.453, 1.273, 5.236, 0.941],
}


@BOTH
def test_patterns_fit_as_mirt_says(section: Section) -> None:
    one = fit_of_patterns(responses(section), calibration(section, "1pl"))
    two = fit_of_patterns(responses(section), calibration(section, "2pl"))
    assert (one.df, two.df) == (25, 21)
    assert (one.statistic, two.statistic) == pytest.approx(PATTERNS[section], abs=0.02)


@BOTH
def test_pairs_fit_as_mirt_says(section: Section) -> None:
    found = fit_of_pairs(responses(section), calibration(section, "2pl"))
    statistic, p, rmsea = PAIRS[section]
    assert found.df == 5
    assert found.statistic == pytest.approx(statistic, abs=0.01)
    assert found.p == pytest.approx(p, abs=0.001)
    assert found.rmsea(1000) == pytest.approx(rmsea, abs=0.0005)


@BOTH
def test_items_fit_as_mirt_says(section: Section) -> None:
    found = fit_of_items(responses(section), calibration(section, "2pl"))
    statistics = [each.statistic for each in found]
    assert statistics == pytest.approx(ITEMS[section], abs=0.02)
