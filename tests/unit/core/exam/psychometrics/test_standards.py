from __future__ import annotations

import pytest

from comity.core.exam.agreement import intraclass_correlations, kappa
from comity.core.exam.classification import huynh, livingston
from comity.core.exam.differential import mantel_haenszel
from comity.core.exam.standards import (
    Compromise,
    StandardSettingError,
    angoff,
    beuk,
    beuk_from_moments,
    hofstee,
)

NAN = float("nan")
GAPPED = [[0.6, 0.7, 0.8], [0.5, NAN, 0.7], [0.7, 0.5, 0.9]]


def test_with_ratings_missing_the_two_rules_differ_and_are_named() -> None:
    by_item, by_judge = angoff(GAPPED), angoff(GAPPED, missing="complete judges")
    assert by_item.cut == pytest.approx(0.6 + 0.6 + 0.8)
    assert by_judge.cut == pytest.approx((2.1 + 2.1) / 2)
    assert (
        by_item.rule == "modified Angoff: sum over items of the mean of the judges who rated each"
    )
    assert by_judge.rule == "modified Angoff: mean sum of the judges who rated every item"


def test_one_judge_has_a_mark_but_no_error() -> None:
    found = angoff([[0.5, 0.7]])
    assert found.cut == pytest.approx(1.2)
    assert (found.standard_error, found.reason) == (None, "one judge has no standard error")


def test_an_item_rated_once_leaves_the_error_unknown() -> None:
    found = angoff([[0.5, 0.7], [0.6, NAN]])
    assert found.cut == pytest.approx(1.25)
    assert found.standard_error is None
    assert found.reason == (
        "an item was rated by one judge only, so the judges cannot be compared on it"
    )


def test_no_complete_judge_is_said() -> None:
    found = angoff([[0.5, NAN], [NAN, 0.6]], missing="complete judges")
    assert (found.cut, found.reason) == (None, "no judge rated every item")


@pytest.mark.parametrize(
    ("ratings", "message"),
    [
        ([[70, 0.5]], r"^ratings are shares from 0 to 1, got 70; write 70 % as 0\.7$"),
        ([[0.5, NAN]], r"^no judge rated item 2$"),
        ([[]], r"^no ratings given$"),
    ],
)
def test_ratings_that_are_no_shares_are_refused(ratings: list[list[float]], message: str) -> None:
    with pytest.raises(StandardSettingError, match=message):
        angoff(ratings)


def test_a_line_that_misses_the_curve_gives_no_mark() -> None:
    # Everyone scores 9 or 10: no mark from 4 to 8 fails at least a fifth.
    found = hofstee([9, 10, 10], Compromise(min_cut=4, max_cut=8, min_fail=0.2, max_fail=0.6))
    assert found.cut is None
    assert (
        found.reason == "the line of what the judges will bear misses the curve of who would fail"
    )


def test_bounds_that_do_not_rise_are_refused() -> None:
    with pytest.raises(StandardSettingError, match=r"^bounds must rise from low to high"):
        hofstee([1, 2], Compromise(min_cut=8, max_cut=4, min_fail=0.2, max_fail=0.6))


@pytest.mark.parametrize("scores", [[], [1, NAN], [-1, 2]])
def test_scores_that_are_no_numbers_right_are_refused(scores: list[float]) -> None:
    with pytest.raises(StandardSettingError, match=r"^scores must be numbers right"):
        hofstee(scores, Compromise(min_cut=0, max_cut=1, min_fail=0, max_fail=1))


def test_beuk_from_judges_is_beuk_from_their_moments() -> None:
    from_judges = beuk(range(11), cuts=[5, 6, 7], passes=[0.4, 0.5, 0.6])
    from_moments = beuk_from_moments(range(11), cut=(6, 1), passing=(0.5, 0.1))
    assert from_judges.cut == pytest.approx(from_moments.cut)


def test_judges_of_one_mind_keep_their_mark() -> None:
    assert beuk_from_moments(range(11), cut=(6, 0), passing=(0.5, 0.1)).cut == 6


def test_one_judge_is_too_few_for_beuk() -> None:
    with pytest.raises(StandardSettingError, match=r"^two judges at least"):
        beuk(range(11), cuts=[5], passes=[0.4])


def test_a_judges_line_above_every_pass_share_gives_no_mark() -> None:
    found = beuk_from_moments([5, 5], cut=(0, 1), passing=(1.5, 0.1))
    assert found.reason == "the judges' line misses the curve of who would pass"


def test_scoring_the_mark_is_passing_it() -> None:
    lower = huynh(10, mean=6, deviation=2.5, cut=6)
    higher = huynh(10, mean=6, deviation=2.5, cut=7)
    assert lower.pass_share > higher.pass_share
    everyone = huynh(10, mean=6, deviation=2.5, cut=0)
    assert everyone.pass_share == pytest.approx(1)
    assert everyone.agreement == pytest.approx(1)
    assert everyone.kappa is None


def test_moments_without_a_beta_distribution_are_refused() -> None:
    with pytest.raises(ValueError, match=r"^KR-21 is -"):
        huynh(10, mean=5, deviation=1.0, cut=6)


def test_livingston_is_reliability_at_the_mean_and_higher_away_from_it() -> None:
    assert livingston(0.6, mean=50, deviation=8, cut=50) == pytest.approx(0.6)
    assert livingston(0.6, mean=50, deviation=8, cut=40) > 0.6
    with pytest.raises(ValueError, match=r"^everyone scored the mark itself"):
        livingston(0.6, mean=50, deviation=0, cut=50)


def test_ratings_without_variation_or_with_gaps_are_refused() -> None:
    with pytest.raises(ValueError, match=r"^all ratings are 3: agreement is undefined"):
        intraclass_correlations([[3, 3], [3, 3]])
    with pytest.raises(ValueError, match=r"^a complete table of two targets"):
        intraclass_correlations([[3.0, NAN], [3.0, 4.0]])


def test_one_category_has_no_kappa_and_a_crooked_table_is_refused() -> None:
    assert kappa([[9, 0], [0, 0]]) is None
    with pytest.raises(ValueError, match=r"^a square table"):
        kappa([[1, 2, 3], [4, 5, 6]])


def test_groups_that_cannot_be_compared_are_told() -> None:
    only_one = mantel_haenszel([[[5, 3], [0, 0]]])
    assert only_one.reason == "no stratum has both groups with both right and wrong answers"
    endless = mantel_haenszel([[[5, 0], [2, 3]]])
    assert endless.odds_ratio is None
    assert endless.chi_square is not None
    with pytest.raises(ValueError, match=r"^a two-by-two table for each stratum"):
        mantel_haenszel([[1, 2], [3, 4]])
