from __future__ import annotations

import numpy as np
import pytest

from comity.core.exam.benchmark import benchmark_of
from comity.core.exam.forecasts import (
    Correction,
    Outcome,
    as_told,
    brier_score,
    correction_by,
    log_loss,
    reliability_diagram,
    wilson_interval,
)


def test_reliability_bins_hold_every_forecast_once() -> None:
    rng = np.random.default_rng(2)
    p = rng.random(500)
    bins = reliability_diagram([*p, 1.0, 0.0], [*(rng.random(500) < p), True, False])
    assert sum(each.count for each in bins) == 502
    assert all(each.low <= each.forecast <= each.high for each in bins)
    assert all(each.share_low <= each.share <= each.share_high for each in bins)


def test_a_good_forecast_scores_better_than_the_base_rate() -> None:
    happened = [1, 1, 0, 0, 1]
    assert brier_score([0.9, 0.8, 0.2, 0.1, 0.7], happened) < brier_score([0.6] * 5, happened)
    assert log_loss([0.9, 0.8, 0.2, 0.1, 0.7], happened) < log_loss([0.6] * 5, happened)
    assert np.isfinite(log_loss([0.0], [1]))


@pytest.mark.parametrize(
    ("forecasts", "happened", "message"),
    [
        ([0.5], [1, 0], r"as many forecasts as results, and at least one: got \(1,\) and \(2,\)"),
        ([], [], r"got \(0,\) and \(0,\)"),
        ([1.5], [1], "a forecast must be a chance from 0 to 1"),
        ([float("nan")], [1], "a forecast must be a chance from 0 to 1"),
    ],
)
def test_what_is_no_forecast_is_refused(
    forecasts: list[float], happened: list[float], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        brier_score(forecasts, happened)


def test_an_interval_of_nothing_seen_is_everything() -> None:
    assert wilson_interval(0.0, 0) == (0.0, 1.0)
    assert wilson_interval(0.0, 5)[0] == pytest.approx(0)
    assert wilson_interval(1.0, 5)[1] == pytest.approx(1)


def drawn(count: int, *, too_high: float) -> list[Outcome]:
    """Return outcomes of forecasts whose logits are too high."""
    rng = np.random.default_rng(4)
    logits = rng.normal(0.5, 1.2, count)
    passed = rng.random(count) < 1 / (1 + np.exp(-(logits - too_high)))
    chances = 1 / (1 + np.exp(-logits))
    shares = 0.5 + 0.1 * logits
    return [Outcome(*each) for each in zip(chances, shares, passed, strict=True)]


def test_fewer_than_thirty_results_change_nothing() -> None:
    correction = correction_by(drawn(29, too_high=2.0))
    assert correction == Correction(n_results=29)
    assert correction.of(0.8) == 0.8
    assert not correction.is_in_force


def test_real_results_pull_forecasts_down_that_were_too_high() -> None:
    correction = correction_by(drawn(60, too_high=1.0))
    assert correction.is_in_force
    assert 0.3 < correction.of(0.8) < 0.75
    assert correction.of(0.3) < correction.of(0.8)
    assert correction.of(1.0) < 1


def test_results_as_forecast_leave_forecasts_about_where_they_are() -> None:
    correction = correction_by(drawn(400, too_high=0.0))
    assert correction.of(0.7) == pytest.approx(0.7, abs=0.06)


def test_results_that_turn_forecasts_upside_down_make_all_alike() -> None:
    upside_down = [Outcome(0.999, 0.9, passed=False), Outcome(0.001, 0.2, passed=True)] * 400
    correction = correction_by(upside_down)
    assert correction.slope == 0
    assert correction.of(0.9) == correction.of(0.1)


def test_the_plain_share_is_a_benchmark_with_and_without_results() -> None:
    assert benchmark_of(0, 0, cut=0.5).rule == "nothing to go by"
    assert benchmark_of(5, 10, cut=None).chance is None
    assert benchmark_of(10, 10, cut=0.55).chance == pytest.approx(1, abs=1e-3)
    assert benchmark_of(0, 10, cut=0.55).chance == pytest.approx(0, abs=1e-3)
    by_results = benchmark_of(60, 100, cut=0.55, outcomes=drawn(80, too_high=0.0))
    assert by_results.rule == "logistic on real results"
    assert by_results.chance == pytest.approx(1 / (1 + np.exp(-1)), abs=0.12)


def test_no_chance_is_told_as_sure() -> None:
    assert (as_told(0.0), as_told(0.4), as_told(1.0)) == (0.01, 0.4, 0.99)
