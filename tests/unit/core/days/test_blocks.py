from __future__ import annotations

import numpy as np

from comity.core.days.blocks import Ragged, in_blocks, row_blocks, stacked
from comity.core.days.dayset import DaySet

SPELLS = Ragged(np.array([0, 2, 2, 3]), (np.array([10, 30, 50]), np.array([20, 40, 60])))


def days_of(spells: Ragged) -> DaySet:
    starts, ends = spells.columns
    return DaySet.from_runs(spells.n_rows, spells.rows, starts=starts, ends=ends)


def test_entries_know_their_rows() -> None:
    assert SPELLS.n_rows == 3
    assert SPELLS.rows.tolist() == [0, 0, 2]


def test_a_block_counts_its_rows_from_0_again() -> None:
    block = SPELLS.block(1, 3)
    assert block.offsets.tolist() == [0, 0, 1]
    assert [column.tolist() for column in block.columns] == [[50], [60]]
    assert np.shares_memory(block.columns[0], SPELLS.columns[0])


def test_blocks_cover_all_rows_once() -> None:
    assert list(row_blocks(5, 2)) == [(0, 2), (2, 4), (4, 5)]
    assert list(row_blocks(0)) == []


def test_blocks_give_the_same_days_as_the_whole() -> None:
    whole = days_of(SPELLS)
    for size in (1, 2, 3, 100):
        assert in_blocks(3, lambda a, b: days_of(SPELLS.block(a, b)), size=size) == whole


def test_no_rows_in_blocks_are_no_rows() -> None:
    assert in_blocks(0, lambda first, stop: DaySet.full(stop - first)) == DaySet.empty(0)


def test_sets_are_stacked_one_below_another() -> None:
    total = stacked([DaySet.full(1), DaySet.empty(2), DaySet.between(3, 4, n_rows=1)])
    assert total.n_rows == 4
    assert total.rows.tolist() == [0, 3]
