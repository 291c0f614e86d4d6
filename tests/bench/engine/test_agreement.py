"""Before anything is timed: all ways to answer the four requirements give the same days."""

from __future__ import annotations

import numpy as np
import pytest
from dateutil.relativedelta import relativedelta

from comity.core.days.calendar import date_from_day, day_from_date
from comity.core.days.dayset import DaySet
from tests.bench.engine import duckdb_queries, ours, polars_queries, portion_sets, python_loops
from tests.bench.engine.applicants import AS_AT, HORIZON, Applicants, make_applicants

SOME = make_applicants(400, seed=3)
EXPECTED = ours.day_sets(SOME)


def moved(day: int, months: int) -> int:
    return day_from_date(date_from_day(day) + relativedelta(months=months))


def test_applicants_are_as_awkward_as_they_should_be() -> None:
    starts, ends, percents = SOME.spells.columns
    rows = SOME.spells.rows
    following = rows[1:] == rows[:-1]
    assert 3.5 < starts.size / SOME.n_rows < 5
    assert (starts[1:][following] < ends[:-1][following]).any()
    assert (starts[1:][following] > ends[:-1][following]).any()
    assert set(percents.tolist()) == {20, 40, 50, 60, 80, 100}
    assert (starts < SOME.qualified[rows]).any()


def test_blocks_of_any_size_and_threads_give_the_same_days() -> None:
    assert ours.day_sets(SOME, block_rows=7) == EXPECTED
    assert ours.day_sets(SOME, block_rows=64, workers=2) == EXPECTED


def test_polars_gives_the_same_days_and_verdicts() -> None:
    frames = polars_queries.frames_of(SOME)
    assert polars_queries.to_sets(polars_queries.day_sets(frames), SOME.n_rows) == EXPECTED
    found = polars_queries.to_verdicts(polars_queries.verdicts(frames))
    assert (found == ours.verdicts(SOME)).all()


def test_duckdb_gives_the_same_days_and_verdicts() -> None:
    with duckdb_queries.connect(SOME) as database:
        duckdb_queries.day_sets(database)
        assert duckdb_queries.to_sets(database, SOME.n_rows) == EXPECTED
        duckdb_queries.verdicts(database)
        assert (duckdb_queries.to_verdicts(database) == ours.verdicts(SOME)).all()


def test_plain_loops_give_the_same_days() -> None:
    found = python_loops.day_sets(list(python_loops.people(SOME)))
    assert python_loops.to_sets(found) == EXPECTED


def test_portion_gives_the_same_days() -> None:
    for row, (spells, *facts) in enumerate(python_loops.people(SOME.rows(0, 60))):
        found = portion_sets.sets_of(spells, facts[0], issued=facts[1], expiry=facts[2])
        for number, days in enumerate(found):
            assert portion_sets.runs_of(days) == EXPECTED[number].runs_of(row)


def test_verdicts_on_a_day_are_membership() -> None:
    found = [each.contains(AS_AT) for each in EXPECTED]
    assert (np.array(found) == ours.verdicts(SOME)).all()


@pytest.mark.parametrize("row", range(12))
def test_counting_day_by_day_with_dateutil_gives_the_same_days(row: int) -> None:
    one = SOME.rows(row, row + 1)
    expected = day_by_day(one)
    for number, days in enumerate(expected):
        boundaries = np.flatnonzero(np.diff(days, prepend=False, append=False))
        assert DaySet(1, boundaries + HORIZON[0]).runs_of(0) == EXPECTED[number].runs_of(row)


def day_by_day(one: Applicants) -> list[list[bool]]:
    """Return for each day of the horizon whether R1 to R4 and all of them hold."""
    qualified, issued, expiry = (int(x[0]) for x in (one.qualified, one.issued, one.expiry))
    entries = list(zip(*(column.tolist() for column in one.spells.columns), strict=True))
    amounts: dict[int, int] = {}
    for day in range(qualified, HORIZON[1]):
        worked = sum(percent for start, end, percent in entries if start <= day < end)
        amounts[day] = min(100, worked)
    total, until = 0, {qualified - 1: 0}
    for day, worked in amounts.items():
        total += worked
        until[day] = total
    last, broken, answers = qualified, False, []
    for day in range(qualified, HORIZON[1]):
        last = day if amounts[day] else last
        broken = broken or day > moved(last, 24)
        if day >= HORIZON[0]:
            opens = max(moved(day, -60), qualified - 1)
            held = [
                until[day] - until[opens] >= 73_050,
                not broken,
                issued <= day <= moved(issued, 6),
                moved(day, 6) <= expiry,
            ]
            answers.append([*held, all(held)])
    early = max(0, qualified - HORIZON[0])
    before = [
        [False, False, issued <= day <= moved(issued, 6), moved(day, 6) <= expiry, False]
        for day in range(HORIZON[0], HORIZON[0] + early)
    ]
    return [list(column) for column in zip(*before, *answers, strict=True)]
