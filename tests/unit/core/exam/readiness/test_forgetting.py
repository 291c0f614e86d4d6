from __future__ import annotations

import numpy as np
import pytest

from comity.core.exam.forgetting import best_gap_days, practice_left, retained


@pytest.mark.parametrize("psi", [0.1, 0.25, 0.5])
def test_what_is_left_of_earlier_practice_is_the_plain_sum(psi: float) -> None:
    rng = np.random.default_rng(1)
    groups, on = rng.integers(0, 5, 200), np.sort(rng.integers(0, 90, 200))
    expected = [
        sum((1 + on[at] - on[i]) ** -psi for i in range(at) if groups[i] == groups[at])
        for at in range(200)
    ]
    assert practice_left(groups, on, psi=psi) == pytest.approx(expected)


def test_nothing_practised_leaves_nothing() -> None:
    none = np.zeros(0, dtype=np.int64)
    assert practice_left(none, none).size == 0


def test_all_is_left_on_the_same_day_and_less_each_day_after() -> None:
    left = retained(np.arange(400))
    assert left[0] == 1
    assert (np.diff(left) < 0).all()
    assert left[-1] > 0


def test_an_examination_that_is_over_needs_no_gap() -> None:
    assert best_gap_days(-3) == 0
