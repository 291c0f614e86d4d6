"""Exchange rates in the three layouts of the European Central Bank's reference rates.

Layouts: the bank's "Euro foreign exchange reference rates", eurofxref-hist.csv, eurofxref.csv and
eurofxref-daily.xml; from memory. The rates of 4 January 1999, the first that were fixed, are the
bank's own (1.1789 US dollars, 133.73 yen); from memory. The other figures are made up.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import iso
from comity.core.declaring import Money
from comity.core.plan.exchange import MissingRateError, Rates
from comity.files.exchange_rates import rates_of, read_rates
from tests.unit.core.rulebook.samples import day

if TYPE_CHECKING:
    from pathlib import Path

HISTORICAL = """Date,USD,JPY,CYP,KWD,
2026-11-25,1.0842,163.05,N/A,0.3331,
2026-11-24,1.0811,162.70,N/A,N/A,
1999-01-04,1.1789,133.73,0.58231,N/A,
"""
DAILY = "Date, USD, JPY, \n25 November 2026, 1.0842, 163.05, \n"
XML = """<?xml version="1.0" encoding="UTF-8"?>
<gesmes:Envelope xmlns:gesmes="http://www.gesmes.org/xml/2002-08-01"
    xmlns="http://www.ecb.int/vocabulary/2002-08-01/eurofxref">
  <gesmes:subject>Reference rates</gesmes:subject>
  <Cube><Cube time='2026-11-25'>
    <Cube currency='USD' rate='1.0842'/><Cube currency='JPY' rate='163.05'/>
  </Cube></Cube>
</gesmes:Envelope>
"""


def read(text: str) -> Rates:
    rates, problems = rates_of(text.encode(), "rates")
    assert problems == ()
    return rates


@pytest.mark.parametrize("text", [HISTORICAL, DAILY, XML, "\ufeff" + HISTORICAL])
def test_every_layout_gives_the_same_rates_of_the_day(text: str) -> None:
    rates = read(text)
    assert rates.base == "EUR"
    assert rates.rate("USD", day("2026-11-25")) == (Fraction("1.0842"), day("2026-11-25"))
    assert rates.rate("JPY", day("2026-11-25"))[0] == Fraction("163.05")


def test_the_first_rates_ever_fixed_turn_euros_into_dollars_and_yen() -> None:
    rates, first = read(HISTORICAL), day("1999-01-04")
    assert rates.converted(Money(10_000, "EUR"), "USD", first) == Money(11_789, "USD")
    assert rates.converted(Money(10_000, "EUR"), "JPY", first) == Money(13_373, "JPY")


def test_a_currency_with_three_decimals_keeps_its_smallest_unit() -> None:
    """ISO 4217 gives the Kuwaiti dinar three decimals."""
    rates = read(HISTORICAL)
    assert rates.converted(Money(10_000, "EUR"), "KWD", day("2026-11-25")) == Money(33_310, "KWD")


def test_a_day_without_a_rate_takes_the_last_one_before_it() -> None:
    rates = read(HISTORICAL)
    assert iso(rates.rate("USD", day("2026-12-24"))[1]) == "2026-11-25"
    assert iso(rates.rate("KWD", day("2026-11-25"))[1]) == "2026-11-25"
    with pytest.raises(MissingRateError):
        rates.rate("KWD", day("2026-11-24"))


def test_all_problems_are_told_in_one_run_and_each_with_its_place() -> None:
    text = "Date,USD,GBP\nyesterday,1.1,0.8\n2026-11-25,-1,0.8\n2026-11-24,1.1,much\n"
    rates, problems = rates_of(text.encode(), "rates.csv")
    assert [(p.code, str(p.place)) for p in problems] == [
        ("P202", "rates.csv:2:1"),
        ("P203", "rates.csv:3:12"),
        ("P203", "rates.csv:4:16"),
    ]
    assert set(rates.by_currency) == {"USD", "GBP"}


def test_xml_is_told_where_a_rate_is_wrong() -> None:
    _rates, problems = rates_of(XML.replace("163.05", "dear").encode(), "daily.xml")
    assert [(p.code, str(p.place)) for p in problems] == [("P203", "daily.xml:6:67")]


def test_xml_with_entities_of_its_own_is_refused() -> None:
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><x>&b;</x>'
    _rates, problems = rates_of(bomb.encode(), "bomb.xml")
    assert [(p.code, p.got) for p in problems] == [("P201", "XML with entities of its own")]


@pytest.mark.parametrize("text", ["", "<rates/>", "a,b\n1,2\n", "Date\n"])
def test_a_file_in_no_layout_says_so_once(text: str) -> None:
    rates, problems = rates_of(text.encode(), "rates")
    assert [p.code for p in problems] == ["P201"]
    assert rates.by_currency == {}


def test_a_file_that_is_not_there_is_a_problem_and_no_trace(tmp_path: Path) -> None:
    _rates, problems = read_rates(tmp_path / "none.csv")
    assert [(p.code, p.got) for p in problems] == [("P201", "No such file or directory")]


def test_a_file_is_read_from_the_disk_and_currencies_that_are_gone_are_passed_over(
    tmp_path: Path,
) -> None:
    (tmp_path / "rates.csv").write_text(HISTORICAL, encoding="utf-8")
    rates, problems = read_rates(tmp_path / "rates.csv")
    assert problems == ()
    assert set(rates.by_currency) == {"USD", "JPY", "KWD"}
