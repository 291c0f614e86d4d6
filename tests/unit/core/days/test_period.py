from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from comity.core.days.calendar import FOREVER, day_from_date, iso
from comity.core.days.period import Period, parse_period


def day(text: str) -> int:
    return day_from_date(date.fromisoformat(text))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("P24M", Period(months=24)),
        ("P2Y", Period(months=24)),
        ("P90D", Period(days=90)),
        ("P3W", Period(days=21)),
        ("P1Y6M10D", Period(months=18, days=10)),
        ("P0D", Period()),
        ("24 months", Period(months=24)),
        ("1 year", Period(months=12)),
        ("12 weeks", Period(days=84)),
        (" 90 Days ", Period(days=90)),
        ("100 years", Period(months=1200)),
    ],
)
def test_a_period_is_read_from_iso_8601_and_from_words(text: str, expected: Period) -> None:
    assert parse_period(text) == expected


@pytest.mark.parametrize(
    "text", ["", "P", "24", "months", "P1.5Y", "PT3H", "-P1M", "1 month 3 days", "two years", "P1H"]
)
def test_what_is_no_period_is_refused_with_examples(text: str) -> None:
    with pytest.raises(ValueError, match="is not a period") as caught:
        parse_period(text)
    assert str(caught.value) == (
        f"{text!r} is not a period; expected a period such as "
        '"24 months", "2 years", "12 weeks", "90 days" or "P24M"'
    )


@pytest.mark.parametrize("text", ["101 years", "P1201M", "36526 days", "P99999999999Y"])
def test_a_period_longer_than_a_hundred_years_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is too long a period; expected up to 100 years"):
        parse_period(text)


def test_a_negative_period_cannot_be_made() -> None:
    with pytest.raises(ValueError, match=r"^-1 months and 0 days: a period has up to 100 years$"):
        Period(months=-1)


@pytest.mark.parametrize(
    ("period", "written", "words"),
    [
        (Period(months=24), "P24M", "24 months"),
        (Period(months=1), "P1M", "1 month"),
        (Period(days=90), "P90D", "90 days"),
        (Period(months=1, days=1), "P1M1D", "1 month and 1 day"),
        (Period(), "P0D", "0 days"),
    ],
)
def test_a_period_is_written_as_iso_8601_and_in_words(
    period: Period, written: str, words: str
) -> None:
    assert period.iso == written
    assert period.words == str(period) == words
    assert parse_period(period.iso) == period


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("P2Y", "2 years"),
        ("2 years", "2 years"),
        ("P24M", "24 months"),
        ("P14W", "14 weeks"),
        ("1 week", "1 week"),
        ("P90D", "90 days"),
        ("P1Y6M10D", "1 year, 6 months and 10 days"),
        (" 3 Weeks ", "3 weeks"),
        ("P0D", "0 days"),
    ],
)
def test_a_period_is_said_in_the_units_it_was_written_in(written: str, words: str) -> None:
    assert parse_period(written).words == words


def test_how_a_period_is_written_makes_no_other_period_of_it() -> None:
    years, months = parse_period("P2Y"), parse_period("24 months")
    assert years == months == Period(months=24)
    assert len({years, months, Period(months=24)}) == 1
    assert (years.iso, repr(years)) == ("P24M", "Period(months=24, days=0)")
    assert not years < months


def test_a_text_that_belongs_to_another_length_is_not_said() -> None:
    assert replace(parse_period("P2Y"), months=18).words == "18 months"


def test_after_an_event_months_are_clamped_and_days_come_last() -> None:
    assert iso(Period(1, 1).after(day("2026-01-31"))) == "2026-03-01"


def test_a_period_beginning_with_a_day_rolls_a_missing_day_over() -> None:
    assert iso(Period(1).beginning(day("2026-01-31"))) == "2026-03-01"
    assert iso(Period(0, 90).beginning(day("2026-01-01"))) == "2026-04-01"


def test_a_trailing_window_opens_after_the_day_before_it() -> None:
    on = day("2027-03-31")
    assert iso(Period(1).before(on)) == "2027-02-28"
    assert iso(Period(1).window_start(on)) == "2027-03-01"
    assert Period(1).before(10) == Period(1).window_start(10) == 0


def test_a_window_reaches_a_day_when_it_counts_nothing_before() -> None:
    assert iso(Period(1).window_reaches(day("2027-03-01"))) == "2027-03-28"


def test_the_last_day_with_a_whole_period_left() -> None:
    assert iso(Period(6).last_start(day("2028-02-29"))) == "2027-08-31"
    assert Period(6).last_start(100) == -1


def test_the_last_day_a_whole_period_can_begin_with() -> None:
    assert iso(Period(1).last_beginning(day("2026-03-01"))) == "2026-02-01"
    assert iso(Period(1).last_beginning(day("2026-02-28"))) == "2026-01-28"


def test_every_method_takes_arrays() -> None:
    days, period = np.array([46_000, FOREVER]), Period(6, 2)
    for method in (
        period.after,
        period.beginning,
        period.before,
        period.window_start,
        period.window_reaches,
        period.last_start,
        period.last_beginning,
    ):
        assert method(days).tolist() == [method(46_000), method(FOREVER)]
