from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from comity.core.days.calendar import FOREVER, Ints, day_from_date, iso
from comity.core.days.dayset import DaySet
from comity.core.days.gaps import Anchor, days_since_last, longest_gap_within
from comity.core.days.period import Period

AFTER: Anchor = "after last practice day"
BEGINNING: Anchor = "beginning first idle day"


def day(text: str) -> int:
    return day_from_date(date.fromisoformat(text))


def ints(*values: int) -> Ints:
    return np.array(values, np.int64)


def spells(*spans: tuple[str, str | None]) -> DaySet:
    starts = ints(*(day(start) for start, _ in spans))
    ends = ints(*(FOREVER if end is None else day(end) + 1 for _, end in spans))
    return DaySet.from_runs(1, np.zeros(len(spans), np.int64), starts=starts, ends=ends)


def shown(days: DaySet) -> list[tuple[str, str | None]]:
    return [
        (iso(start), None if end == FOREVER else iso(end - 1)) for start, end in days.runs_of(0)
    ]


NEVER = ints(FOREVER)
UNTIL_FEBRUARY = spells(("2020-01-01", "2024-02-28"))


def test_recency_lasts_for_the_period_after_the_last_day_of_practice() -> None:
    found = days_since_last(UNTIL_FEBRUARY, at_most=Period(12), anchor=AFTER, origin=NEVER)
    assert shown(found) == [("2020-01-01", "2025-02-28")]
    below = days_since_last(UNTIL_FEBRUARY, below=Period(12), anchor=AFTER, origin=NEVER)
    assert shown(below) == [("2020-01-01", "2025-02-27")]


def test_a_gap_of_a_length_begins_on_the_day_that_completes_it() -> None:
    found = days_since_last(UNTIL_FEBRUARY, at_least=Period(12), anchor=AFTER, origin=NEVER)
    assert shown(found) == [("2025-02-28", None)]
    above = days_since_last(UNTIL_FEBRUARY, above=Period(12), anchor=AFTER, origin=NEVER)
    assert shown(above) == [("2025-03-01", None)]


def test_the_two_anchors_differ_by_a_day_around_the_end_of_february() -> None:
    practice = spells(("2020-01-01", "2023-02-28"))
    after = days_since_last(practice, at_least=Period(12), anchor=AFTER, origin=NEVER)
    beginning = days_since_last(practice, at_least=Period(12), anchor=BEGINNING, origin=NEVER)
    assert shown(after) == [("2024-02-28", None)]
    assert shown(beginning) == [("2024-02-29", None)]


def test_bands_of_gaps_follow_one_another_without_hole_or_overlap() -> None:
    practice = spells(("2020-01-01", "2020-06-30"), ("2022-01-15", "2022-03-31"))
    bands = [
        days_since_last(practice, at_least=low, below=high, anchor=AFTER, origin=NEVER)
        for low, high in [(None, Period(6)), (Period(6), Period(12)), (Period(12), None)]
    ]
    whole = DaySet.between(day("2020-01-01"), FOREVER, n_rows=1)
    assert bands[0] | bands[1] | bands[2] == whole
    assert not any((bands[i] & bands[j]).has_days().any() for i, j in [(0, 1), (0, 2), (1, 2)])
    assert shown(bands[1]) == [("2020-12-30", "2021-06-29"), ("2022-09-30", "2023-03-30")]


def test_time_counts_from_the_origin_while_there_has_been_no_practice() -> None:
    origin = ints(day("2019-05-31"))
    found = days_since_last(UNTIL_FEBRUARY, below=Period(6), anchor=AFTER, origin=origin)
    assert shown(found) == [("2019-05-31", "2019-11-29"), ("2020-01-01", "2024-08-27")]
    none_yet = days_since_last(DaySet.empty(1), at_least=Period(6), anchor=AFTER, origin=origin)
    assert shown(none_yet) == [("2019-11-30", None)]


def test_an_origin_after_the_first_practice_changes_nothing() -> None:
    late = ints(day("2021-01-01"))
    found = days_since_last(UNTIL_FEBRUARY, below=Period(6), anchor=AFTER, origin=late)
    assert found == days_since_last(UNTIL_FEBRUARY, below=Period(6), anchor=AFTER, origin=NEVER)


def test_without_practice_and_origin_no_band_holds_a_day() -> None:
    found = days_since_last(DaySet.empty(1), anchor=AFTER, origin=NEVER)
    assert found == DaySet.empty(1)


@pytest.mark.parametrize("anchor", [AFTER, BEGINNING])
def test_practice_without_end_never_becomes_a_gap(anchor: Anchor) -> None:
    practice = spells(("2020-01-01", None))
    for bound in ("at_least", "above"):
        found = days_since_last(practice, **{bound: Period(1)}, anchor=anchor, origin=NEVER)
        assert found == DaySet.empty(1)


def test_a_lower_bound_of_nothing_counts_the_days_of_practice_too() -> None:
    found = days_since_last(UNTIL_FEBRUARY, at_least=Period(), anchor=AFTER, origin=NEVER)
    assert shown(found) == [("2020-01-01", None)]


SINCE = ints(day("2020-01-01"))


def test_a_gap_may_last_as_long_as_allowed_and_not_a_day_longer() -> None:
    allowed = spells(("2020-01-01", "2021-03-31"), ("2022-04-01", None))
    one_day_more = spells(("2020-01-01", "2021-03-31"), ("2022-04-02", None))
    kept = longest_gap_within(allowed, greatest=Period(12), anchor=AFTER, since=SINCE)
    broken = longest_gap_within(one_day_more, greatest=Period(12), anchor=AFTER, since=SINCE)
    assert shown(kept) == [("2020-01-01", None)]
    assert shown(broken) == [("2020-01-01", "2022-03-31")]


def test_a_lawful_gap_of_24_months_that_begins_on_a_leap_day_is_not_failed() -> None:
    # BGB section 188(2), second alternative: the period that begins with 29 February 2024 ends with
    # 28 February 2026. Clamping from the first idle day would end it a day too early.
    practice = spells(("2020-01-01", "2024-02-28"), ("2026-03-01", None))
    found = longest_gap_within(practice, greatest=Period(24), anchor=BEGINNING, since=SINCE)
    assert shown(found) == [("2020-01-01", None)]
    strict = longest_gap_within(practice, greatest=Period(24), anchor=AFTER, since=SINCE)
    assert shown(strict) == [("2020-01-01", None)]


def test_the_time_before_the_first_practice_is_a_gap_too() -> None:
    late_start = spells(("2021-03-01", None))
    found = longest_gap_within(late_start, greatest=Period(12), anchor=AFTER, since=SINCE)
    assert shown(found) == [("2020-01-01", "2021-01-01")]


def test_gaps_before_the_day_counted_from_do_not_matter() -> None:
    practice = spells(("2010-01-01", "2011-01-01"), ("2020-06-01", None))
    found = longest_gap_within(practice, greatest=Period(12), anchor=AFTER, since=SINCE)
    assert shown(found) == [("2020-01-01", None)]


def test_the_first_of_several_gaps_that_are_too_long_decides() -> None:
    practice = spells(("2020-01-01", "2020-01-31"), ("2022-01-01", "2022-01-31"))
    found = longest_gap_within(practice, greatest=Period(6), anchor=AFTER, since=SINCE)
    assert shown(found) == [("2020-01-01", "2020-07-31")]


def test_each_row_has_its_own_gaps_and_its_own_day_counted_from() -> None:
    rows = DaySet.between(ints(100, 0, 0), ints(200, 0, 500))
    found = longest_gap_within(
        rows, greatest=Period(days=30), anchor=AFTER, since=ints(90, 50, FOREVER)
    )
    assert [found.runs_of(row) for row in range(3)] == [((90, 230),), ((50, 81),), ()]


def test_a_gap_is_forgotten_once_the_window_has_passed_enough_of_it() -> None:
    practice = spells(("2020-01-01", "2020-06-30"), ("2021-01-01", None))
    found = longest_gap_within(
        practice, greatest=Period(3), anchor=AFTER, since=SINCE, window=Period(12)
    )
    # From 2021-10-01 on the window holds at most the gap's last three months.
    assert shown(found) == [("2020-01-01", "2020-09-30"), ("2021-10-01", None)]


def test_a_gap_that_goes_on_stays_too_long_in_any_window() -> None:
    found = longest_gap_within(
        UNTIL_FEBRUARY, greatest=Period(3), anchor=BEGINNING, since=SINCE, window=Period(12)
    )
    assert shown(found) == [("2020-01-01", "2024-05-28")]
