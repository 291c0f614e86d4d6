from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from comity.core.days.accumulate import amount_on, days_with_amount, days_with_run
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from tests.properties.day_oracle import (
    ALL_DAYS,
    FIRST,
    Span,
    Spell,
    amount,
    before,
    daily_amounts,
    days_in,
    holds_run,
    prefix_sums,
)
from tests.properties.effort import examples
from tests.properties.strategies import (
    days,
    dayset_of,
    periods,
    rows_of_spans,
    rows_of_spells,
    steps_of,
    windows,
)

# Where wrong months show: whole windows of full time and of half time, and a day more or less.
near_whole_months = st.builds(
    lambda n_days, value, off: max(1, n_days * value + off),
    st.sampled_from([28, 29, 30, 31, 59, 60, 61, 62, 90, 91, 92, 181, 182, 183, 184, 365, 366]),
    st.sampled_from([100, 50, 99]),
    st.sampled_from([-1, 0, 1]),
)
thresholds = near_whole_months | st.integers(1, 30_000)


def looked_at(found: DaySet, row: int) -> set[int]:
    return days_in(found.runs_of(row))


@examples(250)
@given(rows_of_spells, windows, thresholds, st.sampled_from([0, 1]))
def test_days_with_an_amount_are_those_counted_day_by_day(
    rows: list[list[Spell]], window: Period | None, threshold: int, counted: int
) -> None:
    found = days_with_amount(
        steps_of(rows), threshold=threshold, window=window, inclusive_of_day=bool(counted)
    )
    for row, entries in enumerate(rows):
        sums = prefix_sums(daily_amounts(entries, 100))
        expected = set()
        for day in ALL_DAYS:
            first = FIRST if window is None else max(before(day, window) + counted, FIRST)
            if sums[day + counted] - sums.get(first, sums[day + counted]) >= threshold:
                expected.add(day)
        assert looked_at(found, row) == expected


@given(rows_of_spells, windows, days, st.sampled_from([0, 1]))
def test_the_amount_on_a_day_is_the_sum_of_its_windows_days(
    rows: list[list[Spell]], window: Period | None, day: int, counted: int
) -> None:
    found = amount_on(steps_of(rows), day=day, window=window, inclusive_of_day=bool(counted))
    expected = [
        amount(daily_amounts(entries, 100), day, window=window, counted=counted) for entries in rows
    ]
    assert found.tolist() == expected


@given(rows_of_spells, windows, days)
def test_a_day_is_in_the_set_exactly_if_its_amount_reaches_the_threshold(
    rows: list[list[Spell]], window: Period | None, day: int
) -> None:
    practice = steps_of(rows)
    reached = amount_on(practice, day=day, window=window)
    for threshold, expected in [(reached, True), (reached + 1, False)]:
        found = days_with_amount(practice, threshold=threshold, window=window)
        assert found.contains(day).tolist() == [expected, expected]


@given(rows_of_spells, rows_of_spells, windows, thresholds)
def test_more_practice_never_takes_days_away(
    rows: list[list[Spell]], more: list[list[Spell]], window: Period | None, threshold: int
) -> None:
    with_more = [[*one, *other] for one, other in zip(rows, more, strict=True)]
    fewer = days_with_amount(steps_of(rows), threshold=threshold, window=window)
    greater = days_with_amount(steps_of(with_more), threshold=threshold, window=window)
    assert fewer - greater == DaySet.empty(2)


@examples(150)
@given(rows_of_spans, periods.filter(lambda each: each != Period()), windows)
def test_days_with_a_run_are_those_counted_day_by_day(
    rows: list[list[Span]], length: Period, window: Period | None
) -> None:
    practice = dayset_of(rows)
    found = days_with_run(practice, length=length, window=window)
    for row in range(len(rows)):
        runs = practice.runs_of(row)
        expected = {day for day in ALL_DAYS if holds_run(runs, day, length=length, window=window)}
        assert looked_at(found, row) == expected


@given(rows_of_spells, rows_of_spells, rows_of_spans)
def test_sums_caps_and_restrictions_hold_on_every_day(
    rows: list[list[Spell]], others: list[list[Spell]], allowed: list[list[Span]]
) -> None:
    total = steps_of(rows, 100) + steps_of(others, 70)
    restricted = total.restricted(dayset_of(allowed))
    for row, (ones, twos, spans) in enumerate(zip(rows, others, allowed, strict=True)):
        one, two, within = daily_amounts(ones, 100), daily_amounts(twos, 70), days_in(spans)
        for day in list(ALL_DAYS)[::13]:
            both = one[day] + two[day]
            assert total.value_at(day)[row] == both
            assert restricted.value_at(day)[row] == (both if day in within else 0)
