from __future__ import annotations

import numpy as np
import pytest

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet, Run, at_least
from comity.core.days.period import Period


def days_of(*rows: list[Run]) -> DaySet:
    runs = [(row, start, end) for row, spans in enumerate(rows) for start, end in spans]
    columns = np.array(runs, np.int64).reshape(-1, 3).T
    return DaySet.from_runs(len(rows), columns[0], starts=columns[1], ends=columns[2])


def ints(*values: int) -> Ints:
    return np.array(values, np.int64)


TWO_ROWS = days_of([(10, 20), (30, 40)], [(5, FOREVER)])


def test_no_day_and_every_day() -> None:
    assert DaySet.empty(2).runs_of(1) == ()
    assert DaySet.full(2).runs_of(1) == ((0, FOREVER),)
    assert DaySet.full(0) == DaySet.empty(0)


def test_a_mask_gives_rows_every_day_or_none() -> None:
    mixed = DaySet.where(np.array([True, False, True]))
    assert [mixed.runs_of(row) for row in range(3)] == [((0, FOREVER),), (), ((0, FOREVER),)]
    assert DaySet.where(np.array([True, True])) == DaySet.full(2)


def test_one_run_a_row_is_kept_unless_it_is_empty() -> None:
    found = DaySet.between(ints(5, 7, 9), ints(6, 7, 8))
    assert [found.runs_of(row) for row in range(3)] == [((5, 6),), (), ()]


def test_one_run_a_row_saturates_and_takes_single_days() -> None:
    assert DaySet.between(-3, FOREVER + 9, n_rows=2) == DaySet.full(2)
    assert DaySet.between(ints(-3, 4), FOREVER).runs_of(1) == ((4, FOREVER),)


def test_the_same_runs_in_every_row() -> None:
    assert DaySet.same(ints(1, 2, 5, 9), 2) == days_of([(1, 2), (5, 9)], [(1, 2), (5, 9)])


def test_runs_in_any_order_are_joined_where_they_overlap_or_touch() -> None:
    assert days_of([(30, 40), (10, 20), (20, 25), (35, 50)]).runs_of(0) == ((10, 25), (30, 50))


def test_runs_that_are_empty_or_run_backwards_are_dropped() -> None:
    assert days_of([(10, 10), (9, 3), (20, 21)]).runs_of(0) == ((20, 21),)


def test_a_run_without_end_does_not_touch_the_next_rows_first_day() -> None:
    assert days_of([(5, FOREVER)], [(0, 3)]).runs_of(1) == ((0, 3),)
    assert days_of([(5, FOREVER)], [(0, 3)]).runs_of(0) == ((5, FOREVER),)


def test_runs_are_read_as_columns() -> None:
    assert TWO_ROWS.rows.tolist() == [0, 0, 1]
    assert TWO_ROWS.starts.tolist() == [10, 30, 5]
    assert TWO_ROWS.ends.tolist() == [20, 40, FOREVER]


def test_equal_days_are_equal_sets() -> None:
    assert days_of([(1, 5), (3, 9)]) == days_of([(1, 9)])
    assert hash(days_of([(1, 5), (3, 9)])) == hash(days_of([(1, 9)]))
    assert days_of([(1, 9)]) != days_of([(1, 9)], [])
    assert days_of([(1, 9)]) != "1 to 9"


def test_a_small_set_shows_its_runs() -> None:
    assert repr(days_of([(1, 9)], [])) == "DaySet(2 rows: ((1, 9),), ())"
    assert repr(DaySet.empty(9)).endswith("(), ...)")


@pytest.mark.parametrize(
    ("day", "held"),
    [(9, False), (10, True), (19, True), (20, False), (30, True), (-1, False), (FOREVER, False)],
)
def test_a_row_holds_the_days_of_its_runs(day: int, *, held: bool) -> None:
    assert TWO_ROWS.contains(day)[0] == held


def test_each_row_is_asked_for_its_own_day() -> None:
    assert TWO_ROWS.contains(ints(15, 4)).tolist() == [True, False]
    assert DaySet.full(1).contains(FOREVER).tolist() == [False]


def test_the_run_at_a_day() -> None:
    assert TWO_ROWS.run_at(0, 35) == (30, 40)
    assert TWO_ROWS.run_at(1, 10**5) == (5, FOREVER)
    assert TWO_ROWS.run_at(0, 25) is None
    assert DaySet.empty(1).run_at(0, 3) is None


def test_the_next_day_is_the_day_itself_or_the_next_runs_first() -> None:
    assert TWO_ROWS.next_day(ints(15, 0)).tolist() == [15, 5]
    assert TWO_ROWS.next_day(ints(20, 7)).tolist() == [30, 7]


def test_there_is_no_next_day_after_a_rows_last_run() -> None:
    assert days_of([(1, 4)], [(2, 8)]).next_day(4).tolist() == [FOREVER, 4]
    assert days_of([(1, 4)], []).next_day(2).tolist() == [2, FOREVER]
    assert days_of([(1, 4)]).next_day(9).tolist() == [FOREVER]
    assert DaySet.empty(1).next_day(0).tolist() == [FOREVER]
    assert DaySet.full(1).next_day(FOREVER).tolist() == [FOREVER]


def test_the_last_day_of_the_current_run() -> None:
    assert TWO_ROWS.last_day_of_run(ints(10, 9)).tolist() == [19, FOREVER - 1]
    assert TWO_ROWS.last_day_of_run(ints(20, 4)).tolist() == [-1, -1]
    assert TWO_ROWS.last_day_of_run(FOREVER).tolist() == [-1, -1]
    assert DaySet.empty(1).last_day_of_run(3).tolist() == [-1]


def test_rows_with_any_day() -> None:
    assert days_of([], [(1, 2)], []).has_days().tolist() == [False, True, False]


def test_the_complement_holds_what_the_set_does_not() -> None:
    assert TWO_ROWS.complement() == days_of([(0, 10), (20, 30), (40, FOREVER)], [(0, 5)])
    assert DaySet.empty(2).complement() == DaySet.full(2)
    assert DaySet.full(2).complement() == DaySet.empty(2)
    assert DaySet.empty(0).complement() == DaySet.empty(0)


def test_union_intersection_and_difference() -> None:
    one, other = days_of([(0, 10), (20, 30)]), days_of([(5, 20), (25, 26)])
    assert (one | other).runs_of(0) == ((0, 30),)
    assert (one & other).runs_of(0) == ((5, 10), (25, 26))
    assert (one - other).runs_of(0) == ((0, 5), (20, 25), (26, 30))


def test_sets_that_touch_have_a_joined_union_and_no_day_in_common() -> None:
    one, other = days_of([(0, 10)]), days_of([(10, 20)])
    assert (one | other).runs_of(0) == ((0, 20),)
    assert (one & other).runs_of(0) == ()


def test_two_of_three_sets_relay_without_a_seam() -> None:
    always, first, second = days_of([(0, 30)]), days_of([(0, 10)]), days_of([(10, 20)])
    assert at_least(2, (always, first, second)).runs_of(0) == ((0, 20),)


def test_two_of_three_sets_leave_no_empty_run_where_one_hands_over() -> None:
    first, second, apart = days_of([(0, 10)]), days_of([(10, 20)]), days_of([(30, 40)])
    assert at_least(2, (first, second, apart)).runs_of(0) == ()


def test_counts_beyond_the_number_of_sets_hold_never_and_below_one_always() -> None:
    assert at_least(3, (TWO_ROWS, TWO_ROWS)) == DaySet.empty(2)
    assert at_least(0, (TWO_ROWS,)) == at_least(-1, (TWO_ROWS,)) == DaySet.full(2)
    assert at_least(1, (TWO_ROWS,)) == TWO_ROWS


def test_rows_can_be_reordered_and_repeated() -> None:
    taken = TWO_ROWS.take(ints(1, 0, 0))
    assert [taken.runs_of(row) for row in range(3)] == [
        ((5, FOREVER),),
        ((10, 20), (30, 40)),
        ((10, 20), (30, 40)),
    ]
    assert TWO_ROWS.take(ints()) == DaySet.empty(0)
    assert DaySet.empty(2).take(ints(1, 1)) == DaySet.empty(2)


def test_the_halves_of_the_rows_change_places() -> None:
    four = days_of([(1, 2)], [(3, 4)], [], [(7, FOREVER)])
    assert four.swap_halves() == days_of([], [(7, FOREVER)], [(1, 2)], [(3, 4)])
    assert four.swap_halves().swap_halves() == four


def test_rows_of_a_group_are_joined_or_intersected() -> None:
    rows, groups = days_of([(0, 10)], [(20, 30)], [(5, 25)]), ints(1, 0, 1)
    assert rows.fold(groups, 2, every=False) == days_of([(20, 30)], [(0, 25)])
    assert rows.fold(groups, 2, every=True) == days_of([(20, 30)], [(5, 10)])


def test_a_group_without_rows_holds_every_day_of_all_and_no_day_of_any() -> None:
    rows = days_of([(0, 10)])
    assert rows.fold(ints(0), 2, every=True).runs_of(1) == ((0, FOREVER),)
    assert rows.fold(ints(0), 2, every=False).runs_of(1) == ()


def test_runs_move_by_a_period_with_their_first_and_last_days() -> None:
    runs = days_of([(0, 31), (40, FOREVER)])
    assert runs.shifted(Period(days=5)).runs_of(0) == ((5, 36), (45, FOREVER))
    assert runs.shifted(Period(months=1)).runs_of(0) == ((31, 59), (68, FOREVER))
    assert runs.shifted(Period(months=1), edge="beginning").runs_of(0) == ((31, 60), (68, FOREVER))
    assert runs.shifted(Period(months=1), edge="before").runs_of(0) == ((0, 1), (9, FOREVER))


def test_a_set_can_be_clipped_to_the_same_days_in_every_row() -> None:
    assert TWO_ROWS.clipped(15, 35) == days_of([(15, 20), (30, 35)], [(15, 35)])
    assert TWO_ROWS.clipped(20, 30) == days_of([], [(20, 30)])


def test_nothing_and_everything_are_seen_at_a_glance() -> None:
    some, none, everything = DaySet.between(10, 20, n_rows=2), DaySet.empty(2), DaySet.full(2)
    assert everything.is_full
    assert not some.is_full
    assert (some & none, none & some) == (none, none)
    assert (some & everything, everything & some) == (some, some)
    assert (some | none, none | some) == (some, some)
    assert (some | everything, everything | some) == (everything, everything)
    assert (some - none, none - some) == (some, none)
