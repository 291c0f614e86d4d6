from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from comity.core.exam.fit import compare, fit_of_items, fit_of_pairs, fit_of_patterns
from comity.core.exam.irt import CalibrationError, calibrate
from comity.core.exam.irt_climbing import climb
from comity.core.exam.irt_likelihood import patterns_by_score, patterns_of, rows_of
from comity.core.exam.irt_models import NormalPriors, Objective
from comity.core.exam.quadrature import finer, nodes_needed, normal_grid
from comity.core.exam.responses import responses_from_table
from tests.unit.core.exam.psychometrics.samples import drawn, with_gaps

if TYPE_CHECKING:
    from comity.core.exam.irt_models import Model
    from comity.core.exam.quadrature import Floats

A = np.array([0.6, 0.8, 1.0, 1.2, 1.5, 0.9, 1.1, 0.7])
D = np.array([1.5, 0.8, 0.3, 0.0, -0.4, -0.9, -1.4, 0.5])
PRIORS = NormalPriors()


def numeric_information(objective: Objective, free: Floats) -> Floats:
    """Return minus the second derivatives by central differences of the gradient."""
    steps = np.eye(free.size) * 1e-5
    rows = [(objective.at(free + step).slope - objective.at(free - step).slope) for step in steps]
    return -np.array(rows) / 2e-5


@pytest.mark.parametrize("model", ["rasch", "1pl", "2pl"])
@pytest.mark.parametrize("gaps", [0.0, 0.4])
@pytest.mark.parametrize("priors", [None, PRIORS])
def test_information_is_the_second_derivative(
    model: Model, gaps: float, priors: NormalPriors | None
) -> None:
    scores = with_gaps(drawn(A, D, n_people=60), gaps).scores
    objective = Objective(model, patterns_of(scores), normal_grid(41), priors)
    free = np.concatenate((np.linspace(0.7, 1.4, objective.n_slopes), D))
    found = objective.information(objective.at(free))
    assert found == pytest.approx(numeric_information(objective, free), abs=1e-4)


def test_gradient_is_the_first_derivative() -> None:
    objective = Objective(
        "2pl", patterns_of(drawn(A, D, n_people=60).scores), normal_grid(41), PRIORS
    )
    free = np.concatenate((A, D)) + 0.1
    steps = np.eye(free.size) * 1e-5
    numeric = [(objective.at(free + s).value - objective.at(free - s).value) / 2e-5 for s in steps]
    assert objective.at(free).slope == pytest.approx(np.array(numeric), abs=1e-4)


def test_counting_equal_rows_changes_nothing() -> None:
    scores = with_gaps(drawn(A, D, n_people=200), 0.1).scores
    wide = np.hstack((scores, np.full((200, 20), np.nan)))
    free = np.concatenate((A, D))
    counted = Objective("2pl", patterns_of(scores), normal_grid(41)).at(free)
    listed = patterns_of(wide)
    assert listed.counts is None
    far = np.concatenate((A, np.ones(20), D, np.zeros(20)))
    spread = Objective("2pl", listed, normal_grid(41)).at(far)
    assert spread.value == pytest.approx(counted.value, abs=1e-8)


@pytest.mark.parametrize("model", ["rasch", "1pl"])
@pytest.mark.parametrize("gaps", [0.0, 0.3])
def test_with_one_slope_the_number_right_says_all(model: Model, gaps: float) -> None:
    scores = with_gaps(drawn(A[:4], D[:4], n_people=200), gaps).scores
    people = Objective(model, rows_of(scores), normal_grid(41))
    groups = Objective(model, patterns_by_score(scores), normal_grid(41))
    free = np.concatenate((np.full(people.n_slopes, 0.8), D[:4]))
    one, other = people.at(free), groups.at(free)
    assert len(groups.patterns.right) < len(people.patterns.right)
    assert other.value == pytest.approx(one.value, abs=1e-8)
    assert other.slope == pytest.approx(one.slope, abs=1e-8)
    assert groups.information(other) == pytest.approx(people.information(one), abs=1e-8)


def test_known_items_are_found_again_within_their_errors() -> None:
    found = calibrate(drawn(A, D, n_people=4000), "2pl")
    assert found.errors is not None
    away = np.concatenate(
        ((found.parameters.a - A) / found.errors.a, (found.parameters.d - D) / found.errors.d)
    )
    assert np.abs(away).max() < 3.5
    assert np.sqrt((away**2).mean()) < 1.5


def test_errors_of_difficulty_match_the_spread_over_samples() -> None:
    samples = [calibrate(drawn(A, D, n_people=800, seed=seed), "2pl") for seed in range(40)]
    spread = np.std([each.parameters.b for each in samples], axis=0, ddof=1)
    told = np.median([each.errors.b for each in samples if each.errors is not None], axis=0)
    assert np.median(told / spread) == pytest.approx(1, abs=0.2)


def test_gaps_at_random_leave_the_items_where_they_are() -> None:
    found = calibrate(with_gaps(drawn(A, D, n_people=4000), 0.3), "2pl")
    assert found.converged
    assert np.abs(found.parameters.d - D).max() < 0.25


def test_an_item_everyone_has_right_is_left_out_with_the_reason() -> None:
    scores = drawn(A, D, n_people=50).scores.copy()
    scores[:, 0], scores[:, 1], scores[:, 2] = 1, 0, np.nan
    found = calibrate(responses_from_table(scores), "rasch")
    assert found.left_out == (
        ("item 1", "all 50 answers are right: no likeliest difficulty"),
        ("item 2", "all 50 answers are wrong: no likeliest difficulty"),
        ("item 3", "nobody has answered it"),
    )
    assert found.parameters.items == tuple(f"item {number}" for number in range(4, 9))


def test_with_priors_an_item_everyone_has_right_stays_and_is_finite() -> None:
    scores = drawn(A, D, n_people=50).scores.copy()
    scores[:, 0] = 1
    found = calibrate(responses_from_table(scores), "2pl", priors=PRIORS)
    assert found.left_out == ()
    assert found.converged
    assert 1 < found.parameters.d[0] < 8


def test_an_item_without_answers_stays_at_its_prior() -> None:
    scores = drawn(A, D, n_people=50).scores.copy()
    scores[:, 3] = np.nan
    priors = NormalPriors(easiness_mean=np.linspace(-1, 1, 8))
    found = calibrate(responses_from_table(scores), "2pl", priors=priors)
    assert found.parameters.d[3] == pytest.approx(np.linspace(-1, 1, 8)[3], abs=1e-6)
    assert found.errors is not None
    assert found.errors.d[3] == pytest.approx(2.0, abs=1e-6)


def test_a_wrong_key_shows_as_a_negative_discrimination() -> None:
    a = A.copy()
    a[2] = -0.8
    found = calibrate(drawn(a, D, n_people=2000), "2pl", priors=PRIORS)
    assert found.parameters.a[2] < -0.4


def test_five_people_and_a_hundred_items_are_refused_without_priors() -> None:
    five = drawn(np.ones(100), np.linspace(-2, 2, 100), n_people=5)
    with pytest.raises(CalibrationError) as raised:
        calibrate(five, "rasch")
    assert str(raised.value) == (
        "5 people are too few to estimate items from their answers alone:"
        " give priors, or wait for 10"
    )


def test_five_people_and_a_hundred_items_stay_near_their_priors() -> None:
    five = drawn(np.ones(100), np.linspace(-2, 2, 100), n_people=5)
    found = calibrate(five, "rasch", priors=NormalPriors(easiness_deviation=0.75))
    assert found.converged
    assert np.abs(found.parameters.d).max() < 2
    assert found.errors is not None
    assert found.errors.d.max() < 0.75


def test_nothing_to_estimate_is_said() -> None:
    nothing = responses_from_table(np.ones((20, 3)))
    with pytest.raises(CalibrationError, match=r"^nothing to estimate: 20 people and 0 items"):
        calibrate(nothing, "rasch")


def test_one_more_answer_moves_a_prior_led_item_only_a_little() -> None:
    scores = with_gaps(drawn(A, D, n_people=12), 0.3).scores.copy()
    scores[0, 0] = np.nan
    before = calibrate(responses_from_table(scores), "rasch", priors=PRIORS)
    scores[0, 0] = 1
    after = calibrate(responses_from_table(scores), "rasch", priors=PRIORS)
    assert 0 < after.parameters.d[0] - before.parameters.d[0] < 0.5


def test_items_that_run_away_are_named_instead_of_believed() -> None:
    scores = drawn(np.array([1.0, 1.0]), np.zeros(2), n_people=200).scores
    twins = np.column_stack((scores, scores[:, 1]))  # two columns always alike
    found = calibrate(responses_from_table(twins), "2pl")
    assert found.unstable == ("item 2", "item 3")
    assert not found.converged
    assert not found.grid.is_fine_enough


def test_a_climb_that_newton_cannot_finish_goes_on_by_em() -> None:
    # A negative information at the start: far from the top with hardly any answers.
    scores = with_gaps(drawn(A, D, n_people=15), 0.5).scores
    objective = Objective("2pl", patterns_of(scores), normal_grid(41), NormalPriors())
    top = climb(objective, np.concatenate((np.full(8, 6.0), np.full(8, -6.0))))
    assert top.converged
    assert np.abs(top.point.slope).max() < 1e-3


def test_long_tests_get_more_nodes() -> None:
    assert [nodes_needed(each) for each in (0.0, 6.0, 40.0, 1e9)] == [41, 41, 53, 401]


def test_the_finer_grid_has_a_node_more_between_any_two() -> None:
    grid = normal_grid(41)
    assert finer(grid).nodes[::2].tolist() == pytest.approx(grid.nodes.tolist())


def test_difficulty_is_where_chances_are_even() -> None:
    parameters = calibrate(drawn(A, D, n_people=500), "2pl").parameters
    assert (parameters.a * parameters.b + parameters.d).tolist() == pytest.approx([0] * 8)


def test_models_of_different_items_are_not_compared() -> None:
    table = drawn(A, D, n_people=300)
    smaller = calibrate(table.of_items(table.items[:5]), "rasch")
    larger = calibrate(table, "2pl")
    assert compare(smaller, larger).reason == "the two models are of different items"
    rasch = calibrate(table, "rasch")
    backwards = "the second model has no more parameters than the first"
    assert compare(larger, rasch).reason == backwards


def test_fit_says_why_it_cannot_be_had() -> None:
    table = with_gaps(drawn(A, D, n_people=300), 0.2)
    found = calibrate(table, "rasch")
    reason = "not everyone saw every item"
    assert fit_of_patterns(table, found).reason == reason
    assert fit_of_pairs(table, found).reason == reason
    assert {each.reason for each in fit_of_items(table, found)} == {reason}
    assert fit_of_pairs(table, found).rmsea(300) is None


def test_tests_too_long_for_patterns_or_too_short_for_scores_are_told() -> None:
    long = drawn(np.ones(11), np.linspace(-1, 1, 11), n_people=100)
    assert fit_of_patterns(long, calibrate(long, "rasch")).reason == (
        "11 items have too many patterns of answers"
    )
    longer = drawn(np.ones(41), np.linspace(-1, 1, 41), n_people=100)
    assert fit_of_pairs(longer, calibrate(longer, "rasch")).reason == "41 items have too many pairs"
    two = drawn(np.ones(2), np.zeros(2), n_people=100)
    found = calibrate(two, "rasch")
    assert fit_of_items(two, found)[0].reason == (
        "fewer than three items leave no scores to group by"
    )
    slopes = calibrate(two, "2pl", priors=PRIORS)
    assert fit_of_pairs(two, slopes).reason == (
        "the model has as many parameters as there are items and pairs"
    )
    assert fit_of_patterns(two, slopes).reason == (
        "the model has as many parameters as there are patterns"
    )


@pytest.mark.parametrize("model", ["rasch", "1pl"])
def test_a_true_model_is_rejected_no_more_often_than_chance_allows(model: Model) -> None:
    p_values = []
    for seed in range(20):
        table = drawn(np.ones(8), D, n_people=500, seed=seed)
        found = calibrate(table, model)
        p_values += [fit_of_pairs(table, found).p, fit_of_patterns(table, found).p]
        assert all(each.p is not None for each in fit_of_items(table, found))
    pairs = np.array(p_values[::2], dtype=float)
    assert 0.2 < pairs.mean() < 0.8
    assert (pairs < 0.01).sum() <= 2
