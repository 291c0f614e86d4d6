from __future__ import annotations

from fractions import Fraction

import pytest

from comity.core.days.calendar import iso
from comity.core.declaring import SCALARS, Amount, Estimate, Money
from comity.core.declaring.quantities import write_decimal


@pytest.mark.parametrize(
    ("scalar", "text", "value"),
    [
        ("line of text", " Ward 3 ", "Ward 3"),
        ("line of text", "NO", "NO"),
        ("line of text", "1:30", "1:30"),
        ("text", "\ntwo\nlines\n", "two\nlines"),
        ("identifier", "0915", "0915"),
        ("identifier", "good-standing", "good-standing"),
        ("whole number", "-12", -12),
        ("number", "7.50", Fraction(15, 2)),
        ("number", "-1/3", Fraction(-1, 3)),
        ("number", "17865082610/71461", Fraction(17865082610, 71461)),
        ("share", "37.5 %", Fraction(3, 8)),
        ("share", "37.5%", Fraction(3, 8)),
        ("share", "1/3", Fraction(1, 3)),
        ("share", "0.5", Fraction(1, 2)),
        ("share", "1", Fraction(1)),
        ("hours", "37.5", 2250),
        ("hours", "37:30", 2250),
        ("hours", "0", 0),
        ("amount", "24 months", Amount(Fraction(24), "months")),
        ("amount", "1 Year", Amount(Fraction(1), "years")),
        ("amount", "4.5units", Amount(Fraction(9, 2), "units")),
        ("money", "120 EUR", Money(12000, "EUR")),
        ("money", "eur 120.5", Money(12050, "EUR")),
        ("money", "1500 JPY", Money(1500, "JPY")),
        ("money", "1.234 KWD", Money(1234, "KWD")),
        ("country", "NO", "NO"),
        ("country", "CSHH", "CSHH"),
        ("country", "XA", "XA"),
        ("country", "QM", "QM"),
        ("currency", "NZD", "NZD"),
        ("language", "no", "no"),
        ("language", "EN-gb", "en-GB"),
        ("language", "zh-hant-tw", "zh-Hant-TW"),
        ("language", "es-419", "es-419"),
        ("language", "de-CH-1996", "de-CH-1996"),
        ("language", "gsw", "gsw"),
        ("estimate", "10 working days", Estimate(10, 10, is_working=True)),
        ("estimate", "1 day", Estimate(1, 1)),
        ("estimate", "4 to 6 weeks", Estimate(28, 42)),
        ("estimate", "20 to 90 working days, mostly 35", Estimate(20, 90, 35, is_working=True)),
    ],
)
def test_a_text_stands_for_its_value(scalar: str, text: str, value: object) -> None:
    assert SCALARS[scalar].parse(text) == value


@pytest.mark.parametrize(
    ("scalar", "value", "text"),
    [
        ("number", Fraction(1, 3), "1/3"),
        ("number", Fraction(-5, 2), "-2.5"),
        ("share", Fraction(1, 3), "1/3"),
        ("share", Fraction(3, 8), "37.5 %"),
        ("hours", 2250, "37:30"),
        ("hours", 2220, "37"),
        ("amount", Amount(Fraction(1), "years"), "1 year"),
        ("amount", Amount(Fraction(9, 2), "units"), "4.5 units"),
        ("money", Money(5, "EUR"), "0.05 EUR"),
        ("money", Money(1500, "JPY"), "1500 JPY"),
        ("estimate", Estimate(28, 42), "28 to 42 days"),
        ("estimate", Estimate(1, 1, is_working=True), "1 working day"),
        ("estimate", Estimate(20, 90, 35, is_working=True), "20 to 90 working days, mostly 35"),
    ],
)
def test_a_value_is_written_in_its_canonical_text(scalar: str, value: object, text: str) -> None:
    assert SCALARS[scalar].write(value) == text
    assert SCALARS[scalar].parse(text) == value


def test_days_are_read_and_written_as_year_month_day() -> None:
    assert iso(SCALARS["date"].parse("2020-02-29")) == "2020-02-29"
    assert SCALARS["date"].write(SCALARS["date"].parse("1900-01-01")) == "1900-01-01"


@pytest.mark.parametrize(
    "text", ["2019", "2019-05", "2019-05-03", "2019-05~", "201X", "..", "unknown"]
)
def test_partial_dates_keep_their_text(text: str) -> None:
    scalar = SCALARS["partial date"]
    assert scalar.write(scalar.parse(text)) == text


@pytest.mark.parametrize("text", ["P24M", "P90D", "P1Y"])
def test_periods_are_written_in_iso_8601(text: str) -> None:
    scalar = SCALARS["period"]
    assert scalar.parse(scalar.write(scalar.parse(text))) == scalar.parse(text)


@pytest.mark.parametrize("scalar", sorted(SCALARS))
def test_every_example_would_do(scalar: str) -> None:
    for example in SCALARS[scalar].example.split(", or "):
        value = SCALARS[scalar].parse(example)
        assert SCALARS[scalar].parse(SCALARS[scalar].write(value)) == value


@pytest.mark.parametrize(
    ("scalar", "text", "sentence"),
    [
        ("line of text", " ", "write a word or more, or leave the line out"),
        ("line of text", "a\nb", "write it on one line"),
        ("text", "\n", "write a word or more, or leave the line out"),
        ("identifier", "A b", "write a-b"),
        ("identifier", "---", ""),
        ("whole number", "90 days", "write digits only, without unit"),
        ("whole number", "ninety", ""),
        ("whole number", "1 000", "write the number without grouping: 1000"),
        ("whole number", "²", ""),
        ("whole number", "٣", ""),
        ("whole number", "9" * 16, "write a number of at most 15 digits"),
        ("number", "7,5", "write a point in place of the comma: 7.5"),
        ("number", "7.5 h", "write digits only, without unit"),
        ("number", "nan", ""),
        ("number", "1e3", "write digits only, without unit"),
        ("number", "1/" + "9" * 16, "write a number of at most 15 digits"),
        ("number", "1/0", "nothing can be divided by zero"),
        ("share", "50", "write 50 %"),
        ("share", "50,5 %", "write a point in place of the comma: 50.5 %"),
        ("share", "1.5", "a share lies between 0 and 100 %"),
        ("share", "3/2", "a share lies between 0 and 100 %"),
        ("share", "4/2", "a share lies between 0 and 100 %"),
        ("share", "200 %", "a share lies between 0 and 100 %"),
        ("share", "-0.5", "a share lies between 0 and 100 %"),
        ("hours", "37:60", "write digits only, without unit"),
        ("hours", "9" * 15 + ":30", "write a number of at most 15 digits"),
        ("hours", "7.33", "write hours and minutes, as 7:20"),
        ("hours", "-1", "hours cannot be negative"),
        ("amount", "months", "write a number and its unit"),
        ("amount", "24,5", "write a point in place of the comma: 24.5"),
        ("amount", "1.2.3 days", "write digits only, without unit"),
        ("amount", "-3 days", "an amount cannot be negative"),
        (
            "amount",
            "3 fortnights",
            "the unit is one of minutes, hours, days, weeks, months, years, units, credits, points",
        ),
        ("money", "-1.00 EUR", "an amount of money cannot be negative"),
        ("money", "1.5 JPY", "JPY has no decimal places"),
        ("currency", "QQQ", "no currency has the code QQQ"),
        ("money", "120", "write the amount and the currency's three letters"),
        ("money", "1,200.00 EUR", "write the number without grouping: 1200.00"),
        ("money", "1.005 EUR", "EUR has 2 decimal places"),
        ("money", "1 XAU", "XAU is no currency code of ISO 4217"),
        ("country", "uk", "write GB"),
        ("country", "DEU", "write DE"),
        ("country", "CS", "write CSHH or CSXX"),
        ("country", "su", "write SUHH"),
        ("country", "Wales", "no country has the code Wales"),
        ("currency", "eur", "write EUR"),
        ("language", "english", ""),
        ("language", "xx", "no language has the code xx"),
        ("language", "en-UK", "no country has the code UK"),
        ("date", "2019-02-31", "2019-02-31 does not exist: February 2019 has 28 days"),
        ("date", "2019-05", "write year-month-day, as 2019-05-03"),
        ("date", "2019.5.3", "write 2019-05-03"),
        (
            "partial date",
            "3/5/19",
            "write year-month-day, as 2019-05-03; other orders are read in two ways",
        ),
        ("partial date", "20190503", "write 2019-05-03"),
    ],
)
def test_a_text_that_is_no_such_value_is_refused_with_a_sentence(
    scalar: str, text: str, sentence: str
) -> None:
    with pytest.raises(ValueError) as refusal:  # noqa: PT011 - the whole sentence is compared
        SCALARS[scalar].parse(text)
    assert str(refusal.value) == sentence


def test_a_number_without_end_is_written_as_a_ratio() -> None:
    assert write_decimal(Fraction(1, 7)) == "1/7"
    assert write_decimal(Fraction(1, 8)) == "0.125"
