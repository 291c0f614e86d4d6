"""Declared dataclasses that only tests read: one of each kind of value and of each shape."""

# ruff: noqa: TC001, TC003 - the reader asks declared annotations at run time

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import ClassVar, Literal

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring import (
    Amount,
    Complaint,
    Country,
    Currency,
    Date,
    Estimate,
    Hours,
    Identifier,
    Language,
    Money,
    Share,
    Tagged,
    Text,
    declared,
)


class Colour(StrEnum):
    """Words that an enumeration gives."""

    RED = "red"
    GREEN = "deep green"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Two days that may contradict each other."""

    start: Date = declared("First day.")
    end: Date = declared("Last day.")

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the two days taken together."""
        if self.end < self.start:
            yield Complaint(
                "F302",
                ("end",),
                "the end lies before the start",
                expected="a day on or after the start",
                related=((("start",), "the start"),),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure(Tagged):
    """A family of figures."""

    name: Identifier | None = declared("What to call it.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle(Figure):
    """Round."""

    kind: ClassVar[str] = "circle"
    radius: int = declared("Radius in whole steps.", at_least=1, at_most=99)


@dataclass(frozen=True, slots=True, kw_only=True)
class Group(Figure):
    """Figures together, named by the key that holds them."""

    kind: ClassVar[str] = "all"
    parts: tuple[Figure, ...] = declared("Its figures.", key="all", at_least=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Figure):
    """One figure out of some, named by the key that holds them."""

    kind: ClassVar[str] = "any"
    parts: tuple[Figure, ...] = declared("Its figures.", key="any", at_most=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class EveryValue:
    """One key of each kind; all may be left out."""

    line: str | None = declared("A line.", default=None, example="Ward 3")
    text: Text | None = declared("A text.", default=None)
    identifier: Identifier | None = declared("An identifier.", default=None)
    whole_number: int = declared("A whole number.", default=0, at_least=0)
    number: Fraction | None = declared("A number.", default=None)
    share: Share | None = declared("A share.", default=None)
    hours: Hours | None = declared("Hours.", default=None, at_most=168 * 60)
    amount: Amount | None = declared("An amount.", default=None)
    money: Money | None = declared("Money.", default=None)
    country: Country | None = declared("A country.", default=None)
    currency: Currency | None = declared("A currency.", default=None)
    language: Language | None = declared("A language.", default=None)
    date: Date | None = declared("A day.", default=None)
    partial_date: PartialDate | None = declared("A partial date.", default=None)
    period: Period | None = declared("A period.", default=None)
    estimate: Estimate | None = declared("How long it takes.", default=None)
    choice: Literal["stated", "seen", 3] = declared("A word.", default="stated")
    colour: Colour | None = declared("A colour.", default=None)
    yes_or_no: bool = declared("Yes or no.", default=False)
    yes_no_or_unknown: bool | None = declared("Yes, no or unknown.", default=None)
    countries: tuple[Country, ...] = declared("Countries.", default=(), at_most=3)
    lists: tuple[tuple[Text, ...], ...] = declared("Lists of lists.", default=())
    hours_by_name: Mapping[str, Hours] = declared("Hours by a name.", default={})
    texts_by_name: Mapping[str, Text] | None = declared("Texts by a name.", default=None)
    span: Span | None = declared("Two days.", default=None)
    spans: tuple[Span, ...] | None = declared("Several spans.", default=None)
    figure: Figure | None = declared("A figure.", default=None)
    figures_by_name: Mapping[str, Figure] = declared("Figures by a name.", default={})


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """Keys that must be there, some of which may hold nothing."""

    name: Text = declared("A name.", example="Amara")
    since: PartialDate = declared("Since when.", example="2019-05")
    known: bool | None = declared("Whether it is known.")
    hours: Hours | None = declared("Hours.")
    colours: tuple[Colour, ...] = declared("Colours.", at_least=1)
    seen: str = "not part of the file"
