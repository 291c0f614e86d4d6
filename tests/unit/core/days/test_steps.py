from __future__ import annotations

import numpy as np

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.steps import Steps


def ints(*values: int) -> Ints:
    return np.array(values, np.int64)


def steps_of(n_rows: int, *spells: tuple[int, int, int, int]) -> Steps:
    rows, starts, ends, values = np.array(spells, np.int64).reshape(-1, 4).T
    return Steps.sum_of(n_rows, rows, starts=starts, ends=ends, values=values)


OVERLAPPING = steps_of(2, (0, 0, 20, 60), (0, 10, 30, 50), (1, 5, FOREVER, 80))


def test_overlapping_spells_add_up_day_by_day() -> None:
    days = [0, 9, 10, 19, 20, 29, 30]
    assert [int(OVERLAPPING.value_at(day)[0]) for day in days] == [60, 60, 110, 110, 50, 50, 0]


def test_a_row_is_not_touched_by_the_row_above() -> None:
    assert OVERLAPPING.value_at(ints(40, 4)).tolist() == [0, 0]
    assert OVERLAPPING.value_at(ints(0, FOREVER - 1)).tolist() == [60, 80]


def test_empty_and_backward_spells_add_nothing() -> None:
    assert steps_of(1, (0, 5, 5, 100), (0, 9, 3, 100)) == Steps.zero(1)
    assert steps_of(1) == Steps.zero(1)
    assert Steps.zero(1).value_at(3).tolist() == [0]


def test_spells_that_touch_at_the_same_value_are_one_step() -> None:
    assert steps_of(1, (0, 0, 10, 50), (0, 10, 20, 50)).keys.tolist() == [0, 20]


def test_one_value_serves_all_spells() -> None:
    doubled = Steps.sum_of(1, ints(0, 0), starts=ints(0, 5), ends=ints(9, 9), values=3)
    assert doubled.values.tolist() == [3, 6, 0]


def test_the_daily_sum_is_capped_not_each_spell() -> None:
    assert OVERLAPPING.capped(100).values.tolist() == [60, 100, 50, 0, 80, 0]
    assert OVERLAPPING.capped(40).keys.tolist() == OVERLAPPING.keys[[0, 3, 4, 5]].tolist()


def test_each_row_can_have_its_own_cap() -> None:
    assert OVERLAPPING.capped(ints(100, 10)).values.tolist() == [60, 100, 50, 0, 10, 0]


def test_functions_add_up() -> None:
    total = steps_of(1, (0, 0, 20, 60)) + steps_of(1, (0, 10, 30, 50))
    assert total == steps_of(1, (0, 0, 20, 60), (0, 10, 30, 50))
    assert total + Steps.zero(1) == total


def test_days_where_a_threshold_is_reached() -> None:
    assert OVERLAPPING.at_least(60).runs_of(0) == ((0, 20),)
    assert OVERLAPPING.at_least(61).runs_of(0) == ((10, 20),)
    assert OVERLAPPING.at_least(111).runs_of(0) == ()
    assert OVERLAPPING.at_least(0) == DaySet.full(2)
    assert Steps.zero(2).at_least(1) == DaySet.empty(2)


def test_each_row_can_have_its_own_threshold() -> None:
    found = OVERLAPPING.at_least(ints(0, 80))
    assert (found.runs_of(0), found.runs_of(1)) == (((0, FOREVER),), ((5, FOREVER),))


def test_a_set_of_days_becomes_a_function() -> None:
    days = DaySet.between(ints(3, 4), ints(5, 4))
    assert Steps.of_days(days, 7) == steps_of(2, (0, 3, 5, 7))
    assert Steps.of_days(days, 7).at_least(7) == days


def test_a_function_is_restricted_to_days() -> None:
    days = DaySet.between(ints(15, 0), ints(25, 10))
    assert OVERLAPPING.restricted(days) == steps_of(
        2, (0, 15, 20, 60), (0, 15, 25, 50), (1, 5, 10, 80)
    )
    assert Steps.zero(2).restricted(days) == Steps.zero(2)


def test_equality_is_by_content() -> None:
    again = steps_of(2, (1, 5, FOREVER, 80), (0, 10, 30, 50), (0, 0, 20, 60))
    assert again == OVERLAPPING
    assert hash(again) == hash(OVERLAPPING)
    assert OVERLAPPING.capped(100) != OVERLAPPING
    assert Steps.zero(1) != Steps.zero(2)
    assert Steps.zero(1) != 0
