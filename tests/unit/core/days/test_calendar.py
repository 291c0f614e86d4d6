from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from dateutil.relativedelta import relativedelta

from comity.core.days.calendar import (
    FOREVER,
    add_months_clamp,
    add_months_roll,
    clamp_table,
    date_from_day,
    day_from_date,
    iso,
    last_day_with_clamp_at_most,
    roll_table,
    trailing_table,
    window_reaches_table,
)


def day(text: str) -> int:
    return day_from_date(date.fromisoformat(text))


def test_the_first_of_january_1900_is_day_0_and_a_monday() -> None:
    assert day("1900-01-01") == 0
    assert date_from_day(0).weekday() == 0


def test_a_day_and_its_date_are_each_others_inverse() -> None:
    days = [0, 1, 58, 59, 60, 36_524, 46_080, FOREVER - 1]
    assert [day_from_date(date_from_day(each)) for each in days] == days


def test_a_date_before_1900_is_refused() -> None:
    expected = "1899-12-31 lies outside the days from 1900-01-01 to 2258-11-10"
    with pytest.raises(ValueError, match=f"^{expected}$"):
        day_from_date(date(1899, 12, 31))


def test_a_date_beyond_the_end_of_time_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^2258-11-11 lies outside"):
        day_from_date(date_from_day(FOREVER))


def test_days_are_written_as_iso_dates() -> None:
    assert iso(day("2024-02-29")) == "2024-02-29"


@pytest.mark.parametrize("n", [-1201, -60, -12, -1, 0, 1, 2, 6, 12, 13, 24, 60, 1200])
def test_clamped_months_agree_with_dateutil_on_every_day_of_nine_years(n: int) -> None:
    days = np.arange(day("2019-01-01"), day("2028-01-01"))
    expected = [date_from_day(each) + relativedelta(months=n) for each in days.tolist()]
    first = date(1900, 1, 1)
    kept = [max(each, first) for each in expected]
    assert add_months_clamp(days, n).tolist() == [day_from_date(each) for each in kept]


@pytest.mark.parametrize("n", [0, 1, 2, 3, 6, 11, 12, 24, 48])
def test_rolled_months_end_where_dateutil_does_or_on_the_first_of_the_month_after(n: int) -> None:
    days = np.arange(day("2019-01-01"), day("2028-01-01"))
    expected = []
    for each in map(date_from_day, days.tolist()):
        clamped = each + relativedelta(months=n)
        expected.append(clamped if clamped.day == each.day else clamped + timedelta(days=1))
    assert add_months_roll(days, n).tolist() == [day_from_date(each) for each in expected]


@pytest.mark.parametrize("n", [0, 1, 6, 12, 24])
def test_the_adjoint_is_the_last_day_whose_clamped_end_is_within_the_limit(n: int) -> None:
    limits = np.arange(day("2023-01-01"), day("2029-01-01"))
    last = last_day_with_clamp_at_most(limits, n)
    assert (add_months_clamp(last, n) <= limits).all()
    assert (add_months_clamp(last + 1, n) > limits).all()


def test_the_adjoint_is_minus_1_when_no_day_is_early_enough() -> None:
    assert last_day_with_clamp_at_most(180, 6) == -1
    assert last_day_with_clamp_at_most(181, 6) == 0


def test_single_days_are_taken_like_arrays_of_days() -> None:
    assert add_months_clamp(day("2026-01-31"), 1) == day("2026-02-28")
    assert add_months_roll(day("2026-01-31"), 1) == day("2026-03-01")
    assert last_day_with_clamp_at_most(day("2027-02-28"), 6) == day("2026-08-31")


def test_additions_saturate_at_both_ends_of_time() -> None:
    days = np.array([-5, 0, 10, FOREVER - 1, FOREVER, FOREVER + 7])
    assert add_months_clamp(days, 1)[3:].tolist() == [FOREVER] * 3
    assert add_months_clamp(days, -1)[:3].tolist() == [0, 0, 0]
    assert add_months_clamp(days, -1)[4:].tolist() == [FOREVER] * 2
    assert add_months_roll(days, 1)[3:].tolist() == [FOREVER] * 3
    assert last_day_with_clamp_at_most(FOREVER, 6) == FOREVER


def test_every_table_rises() -> None:
    for table in (
        clamp_table(1, 0),
        clamp_table(-1, -3),
        roll_table(1, 2),
        trailing_table(1, 0, 1),
    ):
        assert (np.diff(table) >= 0).all()


def test_a_window_first_reaches_a_day_on_the_day_the_table_says() -> None:
    first_day, reaches = trailing_table(1, 0, 1), window_reaches_table(1, 0, 1)
    days = np.arange(1, FOREVER - 40)
    assert (first_day[reaches[days]] >= days).all()
    assert (first_day[reaches[days] - 1] < days).all()
    # A window which opens before day 0 reaches day 0 only once it opens on the day before.
    assert reaches[0] == 30


def test_shared_tables_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        clamp_table(6, 0)[0] = 1
