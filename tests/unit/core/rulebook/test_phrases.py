"""Words for values."""

from __future__ import annotations

from fractions import Fraction

import pytest

from comity.core.days.period import Period
from comity.core.rulebook.phrases import (
    closed,
    day_of_year,
    either,
    hours,
    is_month_and_day,
    opened,
    scope,
    share,
    together,
    years,
)


def test_lists_end_in_or_and_in_and() -> None:
    assert [either(()), either(("a",)), either(("a", "b")), either("abc")] == [
        "",
        "a",
        "a or b",
        "a, b or c",
    ]
    assert together("abc") == "a, b and c"


def test_sentences_open_with_a_capital_and_close_with_one_stop() -> None:
    assert opened("an ISCED level") == "An ISCED level"
    assert [closed("a"), closed("a."), closed("a?"), closed("a:")] == ["a.", "a.", "a?", "a:"]


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(2250, "37.5 hours"), (60, "1 hour"), (440, "7:20 hours"), (0, "0 hours")],
)
def test_hours_are_decimal_where_a_decimal_says_them(minutes: int, words: str) -> None:
    assert hours(minutes) == words


@pytest.mark.parametrize(
    ("part", "words"),
    [("1/2", "half"), ("1/3", "a third"), ("2/3", "two thirds"), ("4/5", "80 %"), ("1/7", "1/7")],
)
def test_shares_are_said_as_people_say_them(part: str, words: str) -> None:
    assert share(Fraction(part)) == words


def test_only_whole_years_are_said_as_years() -> None:
    periods = (Period(216), Period(12), Period(18), Period(12, 3), Period(0, 90))
    assert [years(each) for each in periods] == [
        "18 years",
        "1 year",
        "18 months",
        "12 months and 3 days",
        "90 days",
    ]


@pytest.mark.parametrize(
    ("text", "is_day"),
    [
        ("03-31", True),
        ("02-28", True),
        ("02-29", False),
        ("04-31", False),
        ("00-10", False),
        ("13-01", False),
        ("01-00", False),
        ("3-31", False),
        ("31 March", False),
    ],
)
def test_a_day_of_every_year_has_two_digits_each(text: str, *, is_day: bool) -> None:
    assert is_month_and_day(text) is is_day


def test_days_of_the_year_are_said_with_the_month_in_letters() -> None:
    assert [day_of_year("05-31"), day_of_year("02-30")] == ["31 May", "02-30"]


def test_all_practice_needs_no_words() -> None:
    assert scope(None) == ""
