"""Exchange rates from a file in the layouts of the European Central Bank's reference rates.

Three layouts are published and taken: the historical table as CSV (a line a day, a column a
currency, from 1999 on), the day's table as CSV (one line, dates in words), and XML (a cube a day).
One euro is worth so many units of each currency.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import Day, day_from_date
from comity.core.declaring.iso import CURRENCY_DECIMALS
from comity.core.plan.exchange import Rates
from comity.core.problems import Place, Problem

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from xml.etree.ElementTree import Element

BASE: Final = "EUR"
_NOT_GIVEN: Final = ("", "N/A")
_MAX_BYTES: Final = 20_000_000
_HEADER: Final = "Date"
_LAYOUTS: Final = "a table that begins with Date and codes of currencies, or the XML of the ECB"


@dataclass(slots=True)
class _Table:
    """Rates as they are read, and what is wrong with them."""

    file: str
    rates: dict[str, dict[Day, Fraction]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def take(self, currency: str, day: Day, *, text: str, place: Place) -> None:
        """Take the rate that a text states."""
        try:
            rate = Fraction(text)
        except (ValueError, ZeroDivisionError):
            rate = Fraction(0)
        if rate <= 0:
            self.complain(
                "P203", f"the rate of {currency} is no number above zero", place, got=text
            )
        else:
            self.rates.setdefault(currency, {})[day] = rate

    def complain(self, code: str, message: str, place: Place, *, got: str) -> None:
        """Note what is wrong; the place says where."""
        expected = {
            "P202": "e.g. 2026-11-25, or 25 November 2026",
            "P203": "e.g. 1.0842, or N/A where none was fixed",
        }
        self.problems.append(
            Problem(code, message, place=place, got=repr(got), expected=expected[code])
        )

    def result(self) -> Rates:
        """Return the rates by day."""
        return Rates(BASE, {code: tuple(sorted(each.items())) for code, each in self.rates.items()})


def read_rates(path: Path) -> tuple[Rates, tuple[Problem, ...]]:
    """Return the rates of a file, and everything that is wrong in it."""
    try:
        data = path.read_bytes()[: _MAX_BYTES + 1]
    except OSError as error:
        reason = error.strerror or "unreadable"
        return Rates(BASE, {}), (
            Problem(
                "P201",
                "the file of exchange rates cannot be read",
                place=Place(str(path)),
                got=reason,
                expected="a file in a layout of the European Central Bank",
            ),
        )
    return rates_of(data, str(path))


def rates_of(data: bytes, file: str) -> tuple[Rates, tuple[Problem, ...]]:
    """Return the rates that a file's bytes state, and everything that is wrong in them."""
    table = _Table(file)
    text = data.decode("utf-8-sig", errors="replace")
    if len(data) > _MAX_BYTES:
        table.problems.append(_no_layout(file, "more than 20 MB"))
    elif text.lstrip().startswith("<"):
        _read_xml(text, table)
    else:
        _read_csv(text, table)
    return table.result(), tuple(table.problems)


def _no_layout(file: str, got: str) -> Problem:
    return Problem(
        "P201",
        "the file is in no layout of the European Central Bank's reference rates",
        place=Place(file, 1, 1, 2),
        got=got,
        expected=_LAYOUTS,
        hint="the bank publishes them as eurofxref-hist.csv, eurofxref.csv and eurofxref-daily.xml",
    )


# ------------------------------------------------------------------------------------------ CSV


def _read_csv(text: str, table: _Table) -> None:
    lines = text.splitlines()
    head = [cell.strip() for cell in next(csv.reader(lines[:1]), [])]
    if len(head) < 2 or head[0] != _HEADER or not set(head[1:]) & set(CURRENCY_DECIMALS):  # noqa: PLR2004 - a day and a rate
        table.problems.append(_no_layout(table.file, repr((lines or [""])[0][:40])))
        return
    for number, row in enumerate(csv.reader(io.StringIO("\n".join(lines[1:]))), start=2):
        if not any(cell.strip() for cell in row):
            continue
        columns = list(_columns(lines[number - 1], row))
        day = _day(row[0].strip())
        if day is None:
            table.complain(
                "P202",
                "the line does not begin with a day",
                _at(table, number, columns[0]),
                got=row[0],
            )
            continue
        for currency, cell, column in zip(head[1:], row[1:], columns[1:], strict=False):
            if currency in CURRENCY_DECIMALS and cell.strip() not in _NOT_GIVEN:
                place = _at(table, number, column)
                table.take(currency, day, text=cell.strip(), place=place)


def _columns(line: str, row: list[str]) -> Iterator[tuple[int, int]]:
    """Yield where each cell of a line begins and ends, counted from 1."""
    start = 0
    for cell in row:
        found = max(line.find(cell, start), start)
        inner = found + len(cell) - len(cell.lstrip())
        yield inner + 1, inner + 1 + max(len(cell.strip()), 1)
        start = found + len(cell) + 1


def _at(table: _Table, line: int, columns: tuple[int, int]) -> Place:
    return Place(table.file, line, *columns)


def _day(text: str) -> Day | None:
    """Return the day that a text names as the bank writes it, in figures or in words."""
    try:
        return day_from_date(date.fromisoformat(text))
    except ValueError:
        pass
    try:
        return day_from_date(datetime.strptime(text, "%d %B %Y").date())  # noqa: DTZ007 - a day
    except ValueError:
        return None


# ------------------------------------------------------------------------------------------ XML


def _read_xml(text: str, table: _Table) -> None:
    from defusedxml import DefusedXmlException  # noqa: PLC0415 - seldom needed
    from defusedxml.ElementTree import ParseError, fromstring  # noqa: PLC0415

    try:
        root = fromstring(text)
    except ParseError as error:
        line, column = error.position
        place = Place(table.file, line, column + 1, column + 2)
        found = _no_layout(table.file, "XML that is not well formed")
        table.problems.append(replace(found, place=place))
        return
    except DefusedXmlException:
        table.problems.append(_no_layout(table.file, "XML with entities of its own"))
        return
    n_before = len(table.problems)
    for cube in _cubes(root, "time"):
        day = _day(cube.attrib["time"])
        if day is None:
            table.complain("P202", "a cube has no day", Place(table.file), got=cube.attrib["time"])
            continue
        for each in _cubes(cube, "currency"):
            code, rate = each.attrib["currency"], each.attrib.get("rate", "")
            if code in CURRENCY_DECIMALS and rate not in _NOT_GIVEN:
                table.take(code, day, text=rate, place=_found(text, rate, table))
    if not table.rates and len(table.problems) == n_before:
        table.problems.append(_no_layout(table.file, "XML without rates"))


def _cubes(root: Element, key: str) -> Iterator[Element]:
    return (each for each in root.iter() if each.tag.endswith("Cube") and key in each.attrib)


def _found(text: str, value: str, table: _Table) -> Place:
    """Return where a value first stands in a file, since the parser does not say."""
    index = max(text.find(f"{mark}{value}{mark}") for mark in ("'", '"'))
    if index < 0:
        return Place(table.file)
    line = text.count("\n", 0, index) + 1
    column = index - (text.rfind("\n", 0, index) + 1) + 1
    return Place(table.file, line, column, column + len(value) + 2)
