from __future__ import annotations

import numpy as np
import pytest

from comity.core.days.calendar import FOREVER
from comity.core.days.workdays import (
    WorkCalendar,
    nth_working_day_after,
    working_day_on_or_after,
    working_days_between,
)

MONDAY = 46_081 - 46_081 % 7
FIVE_DAYS = WorkCalendar()


def test_the_events_own_day_never_counts() -> None:
    assert nth_working_day_after(MONDAY, 1, FIVE_DAYS) == MONDAY + 1
    assert nth_working_day_after(MONDAY + 5, 1, FIVE_DAYS) == MONDAY + 7


def test_no_working_days_after_an_event_is_its_own_day_even_on_a_weekend() -> None:
    assert nth_working_day_after(MONDAY + 5, 0, FIVE_DAYS) == MONDAY + 5


def test_a_holiday_on_a_weekend_or_given_twice_counts_once() -> None:
    calendar = FIVE_DAYS.with_holidays([MONDAY + 2, MONDAY + 2, MONDAY + 5])
    assert nth_working_day_after(MONDAY, 4, calendar) == MONDAY + 7
    assert calendar.holidays == (MONDAY + 2, MONDAY + 2, MONDAY + 5)


def test_days_and_numbers_can_be_arrays() -> None:
    days, counts = np.array([MONDAY, MONDAY + 4]), np.array([5, 0])
    assert nth_working_day_after(days, counts, FIVE_DAYS).tolist() == [MONDAY + 7, MONDAY + 4]
    assert nth_working_day_after(days, 1, FIVE_DAYS).tolist() == [MONDAY + 1, MONDAY + 7]


def test_there_is_no_working_day_after_the_end_of_time() -> None:
    assert nth_working_day_after(FOREVER, 1, FIVE_DAYS) == FOREVER
    assert nth_working_day_after(FOREVER - 3, 10, FIVE_DAYS) == FOREVER


def test_working_days_between_leave_out_the_end() -> None:
    assert working_days_between(MONDAY, MONDAY + 7, FIVE_DAYS) == 5
    assert working_days_between(MONDAY, MONDAY, FIVE_DAYS) == 0
    assert working_days_between(0, 7, FIVE_DAYS) == 5
    found = working_days_between(np.array([0, MONDAY]), np.array([1, MONDAY + 6]), FIVE_DAYS)
    assert found.tolist() == [1, 5]


def test_a_deadline_on_a_weekend_moves_to_the_next_working_day() -> None:
    assert working_day_on_or_after(MONDAY + 5, FIVE_DAYS) == MONDAY + 7
    assert working_day_on_or_after(np.array([MONDAY, MONDAY + 6]), FIVE_DAYS).tolist() == [
        MONDAY,
        MONDAY + 7,
    ]
    assert working_day_on_or_after(FOREVER, FIVE_DAYS) == FOREVER


def test_a_week_without_weekend_has_seven_working_days() -> None:
    assert nth_working_day_after(MONDAY, 7, WorkCalendar(frozenset())) == MONDAY + 7


def test_a_weekend_of_seven_days_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^a weekend of all seven days leaves no working day$"):
        WorkCalendar(frozenset(range(7)))


def test_a_weekend_of_unknown_days_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^weekend \[7\]: expected days of the week from 0 to 6$"):
        WorkCalendar(frozenset({7}))
