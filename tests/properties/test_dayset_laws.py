from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet, at_least
from tests.properties.day_oracle import FIRST, LAST, Span, days_in
from tests.properties.strategies import days, daysets, periods, rows_of_spans

if TYPE_CHECKING:
    from comity.core.days.period import Period

FULL, EMPTY = DaySet.full(2), DaySet.empty(2)
groups_of_rows = st.lists(st.integers(0, 2), min_size=2, max_size=2).map(np.array)
sets_of_days = st.lists(daysets, min_size=1, max_size=5)


def is_canonical(found: DaySet) -> bool:
    in_row = (found.keys[0::2] >> 17) == (found.keys[1::2] >> 17)
    return bool((np.diff(found.keys) > 0).all() and in_row.all() and found.keys.size % 2 == 0)


def spans_of(found: DaySet, row: int) -> set[int]:
    return days_in(found.runs_of(row))


class TestUnionAndIntersection:
    @given(daysets, daysets)
    def test_order_does_not_matter(self, a: DaySet, b: DaySet) -> None:
        assert a | b == b | a
        assert a & b == b & a

    @given(daysets, daysets, daysets)
    def test_grouping_does_not_matter(self, a: DaySet, b: DaySet, c: DaySet) -> None:
        assert (a | b) | c == a | (b | c) == at_least(1, (a, b, c))
        assert (a & b) & c == a & (b & c) == at_least(3, (a, b, c))

    @given(daysets, daysets, daysets)
    def test_each_distributes_over_the_other(self, a: DaySet, b: DaySet, c: DaySet) -> None:
        assert a & (b | c) == (a & b) | (a & c)
        assert a | (b & c) == (a | b) & (a | c)

    @given(daysets, daysets)
    def test_each_absorbs_the_other(self, a: DaySet, b: DaySet) -> None:
        assert a | (a & b) == a & (a | b) == a | a == a & a == a

    @given(daysets)
    def test_nothing_and_everything_are_neutral_or_final(self, a: DaySet) -> None:
        assert a | EMPTY == a & FULL == a
        assert (a & EMPTY, a | FULL) == (EMPTY, FULL)


class TestComplement:
    @given(daysets)
    def test_twice_is_the_set_itself(self, a: DaySet) -> None:
        assert a.complement().complement() == a

    @given(daysets)
    def test_splits_all_days_in_two(self, a: DaySet) -> None:
        assert a | a.complement() == FULL
        assert a & a.complement() == EMPTY

    @given(daysets, daysets)
    def test_de_morgan(self, a: DaySet, b: DaySet) -> None:
        assert (a | b).complement() == a.complement() & b.complement()
        assert (a & b).complement() == a.complement() | b.complement()

    @given(daysets, daysets)
    def test_difference_is_the_part_outside(self, a: DaySet, b: DaySet) -> None:
        assert a - b == a & b.complement()
        assert (a - b) | (a & b) == a


class TestCounting:
    @given(sets_of_days, st.integers(-1, 6))
    def test_at_least_k_counts_day_by_day(self, sets: list[DaySet], k: int) -> None:
        found = at_least(k, sets)
        assert is_canonical(found)
        for row in range(2):
            held = [spans_of(each, row) for each in sets]
            expected = {
                day for day in range(FIRST, LAST + 1) if sum(day in each for each in held) >= k
            }
            assert spans_of(found, row) == expected

    @given(sets_of_days, st.integers(1, 5))
    def test_not_k_of_n_is_more_than_n_minus_k_of_the_others(
        self, sets: list[DaySet], k: int
    ) -> None:
        others = [each.complement() for each in sets]
        assert at_least(k, sets).complement() == at_least(len(sets) - k + 1, others)

    @given(sets_of_days, st.integers(1, 5))
    def test_asking_for_more_never_adds_days(self, sets: list[DaySet], k: int) -> None:
        assert at_least(k + 1, sets) - at_least(k, sets) == EMPTY


class TestCanonicalForm:
    @given(rows_of_spans)
    def test_any_runs_give_sorted_disjoint_runs_apart(self, rows: list[list[Span]]) -> None:
        columns = [(row, *span) for row, entries in enumerate(rows) for span in entries]
        table = np.array(columns, np.int64).reshape(-1, 3).T
        found = DaySet.from_runs(2, table[0], starts=table[1], ends=table[2])
        assert is_canonical(found)
        assert [spans_of(found, row) for row in range(2)] == [days_in(each) for each in rows]

    @given(daysets)
    def test_making_it_again_changes_nothing(self, a: DaySet) -> None:
        assert DaySet.from_runs(2, a.rows, starts=a.starts, ends=a.ends) == a

    @given(daysets, periods)
    def test_shifted_sets_are_canonical(self, a: DaySet, period: Period) -> None:
        assert is_canonical(a.shifted(period))


class TestRows:
    @given(daysets, st.lists(st.integers(0, 1), max_size=5))
    def test_taking_rows_takes_their_days(self, a: DaySet, rows: list[int]) -> None:
        taken = a.take(np.array(rows, np.int64))
        assert is_canonical(taken)
        assert [taken.runs_of(i) for i in range(len(rows))] == [a.runs_of(row) for row in rows]

    @given(daysets)
    def test_exchanging_halves_is_taking_them_in_turn(self, a: DaySet) -> None:
        assert a.swap_halves() == a.take(np.array([1, 0]))

    @given(daysets, groups_of_rows)
    def test_folding_joins_or_intersects_the_rows_of_a_group(self, a: DaySet, groups: Ints) -> None:
        every, some = (a.fold(groups, 3, every=each) for each in (True, False))
        assert is_canonical(every)
        assert is_canonical(some)
        for group in range(3):
            members = [spans_of(a, int(row)) for row in np.flatnonzero(groups == group)]
            everything = set(range(FIRST, LAST + 1))
            assert spans_of(every, group) == everything.intersection(*members)
            assert spans_of(some, group) == set().union(*members)


class TestQuestions:
    @given(daysets, days)
    def test_next_and_last_days_agree_with_membership(self, a: DaySet, day: int) -> None:
        held = a.contains(day)
        following, last = a.next_day(day), a.last_day_of_run(day)
        for row in range(2):
            runs = a.runs_of(row)
            assert held[row] == any(start <= day < end for start, end in runs)
            assert following[row] == min(
                (max(start, day) for start, end in runs if end > day), default=FOREVER
            )
            current = [(start, end) for start, end in runs if start <= day < end]
            assert last[row] == max((end - 1 for _, end in current), default=-1)
            assert a.run_at(row, day) == (current[0] if current else None)
