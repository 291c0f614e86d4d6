from __future__ import annotations

import re

import pytest

from comity.core.days.calendar import FOREVER, iso
from comity.core.days.partial import OPEN, UNKNOWN, PartialDate, parse_partial_date
from comity.core.days.period import Period

EXPECTED = "expected a date such as 2019-05-03, 2019-05, 2019, 2019-05-XX, 201X or 2019-05~"


def bounds(text: str, margin: Period | None = None) -> tuple[str, str]:
    known = parse_partial_date(text, margin=margin)
    return iso(known.earliest), iso(known.latest)


# Meanings: Library of Congress, Extended Date/Time Format (EDTF) specification, levels 0 and 1
# (from memory).
@pytest.mark.parametrize(
    ("text", "earliest", "latest"),
    [
        ("2019-05-03", "2019-05-03", "2019-05-03"),
        ("2019-05", "2019-05-01", "2019-05-31"),
        ("2024-02", "2024-02-01", "2024-02-29"),
        ("2019", "2019-01-01", "2019-12-31"),
        ("201X", "2010-01-01", "2019-12-31"),
        ("20XX", "2000-01-01", "2099-12-31"),
        ("2019-XX", "2019-01-01", "2019-12-31"),
        ("2019-05-XX", "2019-05-01", "2019-05-31"),
        ("2019-XX-XX", "2019-01-01", "2019-12-31"),
        ("1900-01-01", "1900-01-01", "1900-01-01"),
        ("2250-12-31", "2250-12-31", "2250-12-31"),
        (" 2019-05~ ", "2019-05-01", "2019-05-31"),
    ],
)
def test_a_partial_date_lies_between_two_days(text: str, earliest: str, latest: str) -> None:
    assert bounds(text) == (earliest, latest)


def test_lower_case_marks_for_unspecified_digits_are_written_in_capitals() -> None:
    assert parse_partial_date("2019-05-xx").text == "2019-05-XX"


@pytest.mark.parametrize(
    ("text", "is_uncertain", "is_approximate"),
    [
        ("2019-05?", True, False),
        ("2019~", False, True),
        ("2019%", True, True),
        ("2019", False, False),
    ],
)
def test_marks_are_kept(text: str, *, is_uncertain: bool, is_approximate: bool) -> None:
    known = parse_partial_date(text)
    assert (known.is_uncertain, known.is_approximate) == (is_uncertain, is_approximate)
    assert str(known) == text


def test_a_mark_widens_by_the_margin_given_and_by_nothing_without_one() -> None:
    assert bounds("2019-05~", Period(months=1)) == ("2019-04-01", "2019-06-30")
    assert bounds("2019-05-31?", Period(days=3)) == ("2019-05-28", "2019-06-03")
    assert bounds("2019-05", Period(months=1)) == bounds("2019-05~") == ("2019-05-01", "2019-05-31")


def test_an_exact_date_is_known_as_such() -> None:
    assert parse_partial_date("2019-05-03").is_exact
    assert not parse_partial_date("2019-05").is_exact
    assert PartialDate.exact(parse_partial_date("2019-05-03").earliest) == parse_partial_date(
        "2019-05-03"
    )


def test_two_dots_are_an_open_end() -> None:
    open_end = parse_partial_date("..")
    assert open_end == OPEN
    assert (open_end.earliest, open_end.latest) == (FOREVER, FOREVER)
    assert open_end.is_open
    assert not open_end.is_exact
    assert not open_end.is_unknown


@pytest.mark.parametrize("text", ["", "  ", "unknown", "Unknown"])
def test_an_unknown_date_can_be_any_day(text: str) -> None:
    unknown = parse_partial_date(text)
    assert unknown == UNKNOWN
    assert (unknown.earliest, unknown.latest, unknown.is_unknown) == (0, FOREVER, True)
    assert str(unknown) == "unknown"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("2019-02-31", "2019-02-31 does not exist: February 2019 has 28 days"),
        ("2019-05-00", "2019-05-00 does not exist: May 2019 has 31 days"),
        ("2019-13", "2019-13: there is no month 13; expected 01 to 12"),
        ("2019-00-01", "2019-00: there is no month 00; expected 01 to 12"),
        ("1899", "the year 1899 is out of range; expected 1900 to 2250"),
        ("2251-01-01", "the year 2251 is out of range; expected 1900 to 2250"),
        ("18XX", "the year 18XX is out of range; expected 1900 to 2250"),
        ("2019-21", "2019-21 is a season, which has no fixed days; give the month or the year"),
        ("2019-24~", "2019-24 is a season, which has no fixed days; give the month or the year"),
        ("2019-XX-03", f"2019-XX-03 gives a day without its month; {EXPECTED}"),
        ("201X-05", f"201X-05 gives a month without its year; {EXPECTED}"),
        (
            "[2019, 2020]",
            "'[2019, 2020]' is a set of dates; give one date, or the span that covers them all; "
            + EXPECTED,
        ),
        (
            "{2019..2021}",
            "'{2019..2021}' is a set of dates; give one date, or the span that covers them all; "
            + EXPECTED,
        ),
        (
            "2019/2020",
            "'2019/2020' is a span of dates; give its start and its end as two entries; "
            + EXPECTED,
        ),
        (
            "2019-05..",
            "'2019-05..' is a span of dates; give its start and its end as two entries; "
            + EXPECTED,
        ),
        (
            "2019-05-03T10:00",
            f"'2019-05-03T10:00' has a time of day; only dates count here; {EXPECTED}",
        ),
        ("-0400", f"'-0400' has a year out of range (1900 to 2250); {EXPECTED}"),
        ("Y17000", f"'Y17000' has a year out of range (1900 to 2250); {EXPECTED}"),
        ("2019-5-3", f"'2019-5-3' needs two digits for month and day; {EXPECTED}"),
        ("3.5.2019", f"'3.5.2019' is not in the order year-month-day; {EXPECTED}"),
        ("May 2019", f"'May 2019' is not a date; {EXPECTED}"),
        ("2019-05-03~?", f"'2019-05-03~?' is not a date; {EXPECTED}"),
    ],
)
def test_what_is_no_date_is_refused_in_one_sentence(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        parse_partial_date(text)
