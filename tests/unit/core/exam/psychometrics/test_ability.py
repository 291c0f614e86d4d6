from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from comity.core.exam.ability import Abilities, estimate_eap, estimate_map, estimate_wle
from comity.core.exam.information import error_at, information_of_test, item_information
from comity.core.exam.irt import ItemParameters
from comity.core.exam.irt_scores import ability_by_score, score_distribution
from comity.core.exam.responses import Responses, ResponsesError, responses_from_table

NAN = float("nan")
ITEMS = ItemParameters(("q1", "q2", "q3"), np.array([0.8, 1.0, 1.4]), np.array([0.5, 0.0, -0.7]))
Estimate = Callable[[Responses, ItemParameters], Abilities]
ALL: tuple[Estimate, ...] = (estimate_eap, estimate_map, estimate_wle)


def test_without_answers_the_group_is_all_that_is_known() -> None:
    nothing = responses_from_table([[NAN] * 3], items=ITEMS.items)
    mean = estimate_eap(nothing, ITEMS)
    assert (mean.theta[0], mean.error[0]) == pytest.approx((0, 1), abs=1e-6)
    assert mean.n_answers.tolist() == [0]
    assert mean.likeliest_is_infinite.tolist() == [True]
    weighted = estimate_wle(nothing, ITEMS)
    assert (weighted.theta[0], weighted.error[0]) == (0, float("inf"))


@pytest.mark.parametrize("estimate", ALL)
def test_more_right_answers_mean_more_ability_and_nothing_is_infinite(estimate: Estimate) -> None:
    table = responses_from_table([[0, 0, 0], [1, 0, 0], [1, 1, 0], [1, 1, 1]], items=ITEMS.items)
    found = estimate(table, ITEMS)
    assert (np.diff(found.theta) > 0).all()
    assert np.isfinite(found.theta).all()
    assert found.likeliest_is_infinite.tolist() == [True, False, False, True]


@pytest.mark.parametrize("estimate", ALL)
def test_items_are_matched_by_id_not_by_place(estimate: Estimate) -> None:
    straight = responses_from_table([[1, 0, 1]], items=("q1", "q2", "q3"))
    turned = responses_from_table([[1, 0, 1, 0]], items=("q3", "unknown", "q1", "q2"))
    assert estimate(turned, ITEMS).theta == pytest.approx(estimate(straight, ITEMS).theta)


def test_answers_to_none_of_the_items_are_refused() -> None:
    strangers = responses_from_table([[1, 0]], items=("x1", "x2"))
    with pytest.raises(ResponsesError, match=r"^no answers to any of the items"):
        estimate_eap(strangers, ITEMS)


def test_map_is_where_the_posterior_is_highest() -> None:
    table = responses_from_table([[1, 0, 1]], items=ITEMS.items)
    theta = np.linspace(-4, 4, 80_001)
    z = np.multiply.outer(ITEMS.a, theta) + ITEMS.d[:, None]
    log_posterior = (np.array([[1], [0], [1]]) * z - np.logaddexp(0, z)).sum(axis=0) - theta**2 / 2
    found = estimate_map(table, ITEMS).theta[0]
    assert found == pytest.approx(theta[log_posterior.argmax()], abs=2e-4)


def test_information_of_the_items_adds_up_to_that_of_the_test() -> None:
    each = item_information(ITEMS, [-1, 0, 1])
    assert each.shape == (3, 3)
    assert each.sum(axis=0) == pytest.approx(information_of_test(ITEMS, [-1, 0, 1]))
    # An item tells most where it is even: a squared over four.
    assert item_information(ITEMS, ITEMS.b).diagonal() == pytest.approx(ITEMS.a**2 / 4)


def test_error_is_infinite_where_nothing_is_told() -> None:
    nothing = ItemParameters(("q",), np.array([0.0]), np.array([0.3]))
    assert error_at(nothing, 0.0).tolist() == [float("inf")]


def test_score_distribution_agrees_with_all_patterns_counted_out() -> None:
    p = np.array([[0.2, 0.5], [0.7, 0.1], [0.4, 0.9]])
    expected = np.zeros((4, 2))
    for pattern in np.ndindex(2, 2, 2):
        answers = np.array(pattern)[:, None]
        expected[sum(pattern)] += np.where(answers, p, 1 - p).prod(axis=0)
    assert score_distribution(p) == pytest.approx(expected)


def test_ability_by_score_spreads_as_the_group_does() -> None:
    found = ability_by_score(ITEMS)
    assert found.share @ found.theta == pytest.approx(0, abs=1e-6)
    spread = found.share @ (found.theta**2 + found.deviation**2)
    assert spread == pytest.approx(1, abs=1e-5)
