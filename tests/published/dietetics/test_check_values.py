"""Every equation against check values that were not computed by it; sources in case.json."""

from __future__ import annotations

import json
from math import isclose, sqrt
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

from comity.core.exam.equations import EQUATIONS

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "case.json").read_text(encoding="utf-8")
)["values"]
TABLE = {"a": 24, "b": 76, "c": 12, "d": 88}


def name_of(case: dict[str, Any]) -> str:
    return f"{case['n']}-{case['group']}-{case['equation']}-{case['label']}"


@pytest.mark.parametrize("case", CASES, ids=name_of)
def test_an_equation_gives_its_check_value(case: dict[str, Any]) -> None:
    equation = EQUATIONS[case["equation"]]
    found = equation.value(**case["given"])
    assert equation.group == case["group"]
    if isinstance(found, str):
        assert found == case["expected"]
    else:
        assert found == pytest.approx(case["expected"], abs=case["tolerance"] * 1.0001, rel=0)


def test_every_check_value_says_how_it_is_known() -> None:
    assert {case["label"] for case in CASES} == {"P", "H", "W", "M"}
    assert [case["equation"] for case in CASES if not case["source"]] == []


def test_every_group_has_check_values() -> None:
    assert {case["group"][0] for case in CASES} == set("ABCDEFGHIJKLMNO")


@pytest.mark.parametrize("corrected", ["no", "yes"])
def test_chi_squared_is_that_of_a_reference_library(corrected: str) -> None:
    rows = [[TABLE["a"], TABLE["b"]], [TABLE["c"], TABLE["d"]]]
    reference = stats.chi2_contingency(rows, correction=corrected == "yes").statistic
    ours = EQUATIONS["chi_squared"].value(**TABLE, corrected=corrected)
    assert isinstance(ours, float)
    assert isclose(ours, reference, rel_tol=1e-9)


@pytest.mark.parametrize(("mean", "sd", "ear"), [(80, 20, 60), (12.5, 3, 14), (900, 310, 800)])
def test_the_cut_point_is_the_normal_distribution_of_a_reference_library(
    mean: float, sd: float, ear: float
) -> None:
    ours = EQUATIONS["below_ear_percent"].value(mean=mean, sd=sd, ear=ear)
    assert ours == pytest.approx(100 * stats.norm.cdf(ear, loc=mean, scale=sd), rel=1e-9)


def test_the_score_interval_is_that_of_a_reference_library() -> None:
    reference = stats.binomtest(72, 300).proportion_ci(method="wilson")
    ends = [
        EQUATIONS["proportion_limit_wilson"].value(cases=72, n=300, end=end)
        for end in ("lower", "upper")
    ]
    assert ends == pytest.approx([reference.low, reference.high], rel=1e-9)


def test_beyond_three_deviations_a_weight_is_measured_in_steps_of_the_third() -> None:
    # WHO Child Growth Standards, methods: at SD3 the score is 3, one step further it is 4.
    given = {"l": 0.0645, "m": 9.646, "s": 0.10925}
    l, m, s = given.values()  # noqa: E741 (literature)
    second, third = (m * (1 - l * s * k) ** (1 / l) for k in (2, 3))
    restricted = EQUATIONS["lms_z_restricted"]
    assert restricted.value(measured=third, **given) == pytest.approx(-3)
    assert restricted.value(measured=third - (second - third), **given) == pytest.approx(-4)
    assert EQUATIONS["lms_z"].value(measured=third - (second - third), **given) != pytest.approx(-4)


def test_the_geometric_mean_of_mosteller_holds() -> None:
    # Mosteller 1987: the surface is the root of weight times height over 3600.
    assert EQUATIONS["bsa_mosteller_1987"].value(weight_kg=80, height_cm=180) == sqrt(4)
