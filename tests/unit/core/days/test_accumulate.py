from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from comity.core.days.accumulate import amount_on, days_with_amount, days_with_run
from comity.core.days.calendar import FOREVER, Ints, day_from_date, iso
from comity.core.days.dayset import DaySet, Run
from comity.core.days.period import Period
from comity.core.days.steps import Steps


def day(text: str) -> int:
    return day_from_date(date.fromisoformat(text))


def spell(start: str, end: str | None = None, value: int = 100) -> Steps:
    stop = FOREVER if end is None else day(end)
    return Steps.of_days(DaySet.between(day(start), stop, n_rows=1), value)


def ints(*values: int) -> Ints:
    return np.array(values, np.int64)


def shown(days: DaySet) -> list[tuple[str, str]]:
    return [(iso(start), iso(end)) for start, end in days.runs_of(0)]


def test_an_amount_is_reached_while_enough_lies_in_the_window() -> None:
    practice = spell("2020-01-01", "2021-01-01")
    found = days_with_amount(practice, threshold=36_500, window=Period(months=24))
    assert shown(found) == [("2020-12-30", "2022-01-02")]


def test_a_window_that_leaves_out_its_day_lies_a_day_earlier() -> None:
    practice = spell("2020-01-01", "2021-01-01")
    found = days_with_amount(
        practice, threshold=36_500, window=Period(months=24), inclusive_of_day=False
    )
    assert shown(found) == [("2020-12-31", "2022-01-03")]


def test_a_full_time_person_wavers_where_months_differ_in_length() -> None:
    # 31 full days within one month: only after months of 31 days.
    found = days_with_amount(spell("2026-01-01"), threshold=3_100, window=Period(months=1))
    assert shown(found)[:4] == [
        ("2026-01-31", "2026-03-01"),
        ("2026-03-31", "2026-05-01"),
        ("2026-05-31", "2026-07-01"),
        ("2026-07-31", "2026-10-01"),
    ]


def test_a_window_in_days_is_as_long_everywhere() -> None:
    found = days_with_amount(spell("2024-01-01"), threshold=3_000, window=Period(days=30))
    assert shown(found) == [("2024-01-30", iso(FOREVER))]
    sooner = days_with_amount(spell("2024-01-01"), threshold=2_050, window=Period(days=30))
    assert shown(sooner) == [("2024-01-21", iso(FOREVER))]
    never = days_with_amount(spell("2024-01-01"), threshold=3_001, window=Period(days=30))
    assert never == DaySet.empty(1)


def test_without_a_window_an_amount_once_reached_stays_so() -> None:
    practice = spell("2024-01-01", "2024-01-11")
    assert shown(days_with_amount(practice, threshold=1_000, window=None)) == [
        ("2024-01-10", iso(FOREVER))
    ]
    assert shown(
        days_with_amount(practice, threshold=1_000, window=None, inclusive_of_day=False)
    ) == [("2024-01-11", iso(FOREVER))]
    assert days_with_amount(practice, threshold=1_001, window=None) == DaySet.empty(1)


def test_rows_without_practice_stay_without_days() -> None:
    practice = Steps.of_days(DaySet.between(ints(9, 0, 9), ints(5, 40, 9)), 1)
    for window in (None, Period(months=1)):
        found = days_with_amount(practice, threshold=20, window=window)
        assert found.has_days().tolist() == [False, True, False]
        nothing = days_with_amount(Steps.zero(2), threshold=1, window=window)
        assert nothing == DaySet.empty(2)


@pytest.mark.parametrize("window", [None, Period(months=6)])
def test_an_amount_of_nothing_is_always_there(window: Period | None) -> None:
    assert days_with_amount(Steps.zero(2), threshold=0, window=window) == DaySet.full(2)


@pytest.mark.parametrize("window", [None, Period(months=6)])
def test_each_row_can_have_its_own_threshold(window: Period | None) -> None:
    practice = Steps.of_days(DaySet.between(0, 100, n_rows=3), 1)
    found = days_with_amount(practice, threshold=ints(0, 10, 50), window=window)
    alone = [days_with_amount(practice, threshold=each, window=window) for each in (0, 10, 50)]
    assert [found.runs_of(row) for row in range(3)] == [alone[row].runs_of(row) for row in range(3)]


def test_a_window_of_nothing_holds_nothing() -> None:
    assert days_with_amount(spell("2024-01-01"), threshold=1, window=Period()) == DaySet.empty(1)


def test_practice_on_day_0_counts_although_the_window_opens_before() -> None:
    practice = Steps.of_days(DaySet.between(0, 3, n_rows=1), 10)
    found = days_with_amount(practice, threshold=30, window=Period(months=1))
    assert found.runs_of(0) == ((2, 31),)


def test_large_amounts_in_many_rows_do_not_overflow() -> None:
    n_rows, value = 3, 10**12
    practice = Steps.of_days(DaySet.full(n_rows), value)
    found = days_with_amount(practice, threshold=365 * value, window=Period(days=365))
    assert found == DaySet.between(364, FOREVER, n_rows=n_rows)


def test_the_amount_on_a_day() -> None:
    practice = spell("2020-01-01", "2021-01-01")
    days = [day("2020-01-01"), day("2020-12-31"), day("2022-01-01"), FOREVER]
    window = Period(months=24)
    assert [int(amount_on(practice, day=each, window=window)[0]) for each in days] == [
        100,
        36_600,
        36_500,
        0,
    ]
    assert amount_on(practice, day=days[0], window=None, inclusive_of_day=False).tolist() == [0]
    assert amount_on(practice, day=FOREVER, window=None).tolist() == [36_600]


def test_the_amount_on_each_rows_day() -> None:
    practice = Steps.of_days(DaySet.between(ints(0, 50), ints(40, 60)), 1)
    assert amount_on(practice, day=ints(9, 54), window=None).tolist() == [10, 5]
    assert amount_on(practice, day=ints(45, 45), window=Period(days=10)).tolist() == [4, 0]
    assert amount_on(Steps.zero(2), day=3, window=None).tolist() == [0, 0]


def runs(*spans: Run) -> DaySet:
    starts, ends = np.array(spans, np.int64).reshape(-1, 2).T
    return DaySet.from_runs(1, np.zeros(len(spans), np.int64), starts=starts, ends=ends)


def test_a_run_counts_from_its_last_needed_day_on() -> None:
    practice = runs((day("2024-11-30"), day("2025-03-01")))
    found = days_with_run(practice, length=Period(months=3), window=None)
    assert shown(found) == [("2025-02-28", iso(FOREVER))]


def test_a_run_one_day_short_never_counts() -> None:
    practice = runs((day("2024-11-30"), day("2025-02-28")))
    assert days_with_run(practice, length=Period(months=3), window=None) == DaySet.empty(1)


def test_a_break_of_one_day_makes_two_runs() -> None:
    practice = runs((0, 20), (21, 41))
    assert days_with_run(practice, length=Period(days=21), window=None) == DaySet.empty(1)
    assert days_with_run(practice, length=Period(days=20), window=None).runs_of(0) == (
        (19, FOREVER),
    )


def test_a_run_leaves_the_window_when_too_little_of_it_is_left() -> None:
    practice = runs((day("2024-01-01"), day("2024-07-01")))
    found = days_with_run(practice, length=Period(months=3), window=Period(months=12))
    assert shown(found) == [("2024-03-31", "2025-04-01")]


def test_a_run_without_end_goes_on() -> None:
    practice = runs((day("2024-01-01"), FOREVER))
    found = days_with_run(practice, length=Period(months=3), window=Period(months=12))
    assert shown(found) == [("2024-03-31", iso(FOREVER))]


def test_a_window_shorter_than_the_run_never_holds_it() -> None:
    practice = runs((0, FOREVER))
    assert days_with_run(practice, length=Period(days=31), window=Period(days=30)) == DaySet.empty(
        1
    )
    found = days_with_run(practice, length=Period(days=30), window=Period(days=30))
    assert found.runs_of(0) == ((29, FOREVER),)
