"""Requirements about training, registration and facts of the person."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar, Literal

from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring import (
    Complaint,
    Country,
    Date,
    Hours,
    Identifier,
    Share,
    Text,
    declared,
)
from comity.core.rulebook.kinds.base import Requirement


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastShare:
    """A category of the curriculum that must make up at least a share of a stated base."""

    category: Text = declared("Category of the curriculum.")
    share: Share = declared("Share of the base.", example="1/3")
    of: Literal["required total", "actual total", "stated hours"] = declared(
        "The base: the total which the rule requires, the programme's own total, or `hours`."
    )
    hours: Hours | None = declared("The base, where it is stated hours.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if (self.of == "stated hours") != (self.hours is not None):
            yield Complaint(
                "R210",
                ("of",),
                "`hours` and the base `stated hours` go together",
                expected="both, or neither",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class QualificationHeld(Requirement):
    """One qualification that meets every parameter by itself."""

    kind: ClassVar[str] = "qualification"

    titles: tuple[Text, ...] | None = declared("Titles that count.", default=None)
    least_level: int | None = declared(
        "Lowest ISCED 2011 level.", default=None, at_least=0, at_most=8
    )
    fields: tuple[Text, ...] | None = declared(
        "ISCED-F 2013 fields that count; 09 takes in 0915.", default=None
    )
    excluded_fields: tuple[Text, ...] | None = declared("Fields that do not.", default=None)
    least_length: Period | None = declared("Shortest length of the programme.", default=None)
    countries: tuple[Country, ...] | None = declared("Countries of training.", default=None)
    excluded_countries: tuple[Country, ...] | None = declared(
        "Countries of training that do not count.", default=None
    )
    accredited_by: tuple[Text, ...] | None = declared("Accrediting bodies.", default=None)
    equivalent_to: tuple[Text, ...] | None = declared(
        "Equivalence that an evaluation must state.", default=None
    )
    least_hours: Mapping[str, Hours] | None = declared("Hours per category at least.", default=None)
    total_hours: Hours | None = declared("Hours in all at least.", default=None)
    shares: tuple[LeastShare, ...] = declared("Shares of a stated base at least.", default=())
    within: Period | None = declared(
        "Completed within this time before the check point.", default=None
    )
    at_least_ago: Period | None = declared(
        "Completed at least this long before the check point.", default=None
    )
    following: tuple[Text, ...] | None = declared(
        "Completed on or after the day of another qualification with one of these titles.",
        default=None,
    )
    following_within: Period | None = declared(
        "With `following`: at most this long after that qualification.", default=None
    )
    completed_from: Date | None = declared("Completed on or after this day.", default=None)
    completed_until: Date | None = declared("Completed on or before this day.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.following_within is not None and self.following is None:
            yield Complaint(
                "R211",
                ("following_within",),
                "`following_within` needs `following`",
                expected="the titles of the qualification that comes first",
            )
        needs_total = any(share.of == "required total" for share in self.shares)
        if needs_total and self.total_hours is None:
            yield Complaint(
                "R208",
                ("shares",),
                "a share of the required total needs `total_hours`",
                expected="e.g. total_hours: 4600",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class RegistrationHeld(Requirement):
    """A registration held, or the standing of being eligible for one."""

    kind: ClassVar[str] = "registration"

    authorities: tuple[Text, ...] | None = declared("Authorities that count.", default=None)
    countries: tuple[Country, ...] | None = declared("Countries that count.", default=None)
    titles: tuple[Text, ...] | None = declared("Titles that count.", default=None)
    categories: tuple[Text, ...] | None = declared("Categories that count.", default=None)
    excluded_categories: tuple[Text, ...] | None = declared("Categories refused.", default=None)
    or_eligible: bool = declared("yes: being eligible for it is enough.", default=False)
    held: Literal["current", "ever"] = declared(
        "current: on that day; ever: on that day or before.", default="current"
    )
    within: Period | None = declared(
        "With held: ever, it ended not longer ago than this.", default=None
    )
    for_at_least: Period | None = declared("Held without a break for at least.", default=None)
    in_all: Period | None = declared(
        "Held for at least this long in all, with breaks or without.", default=None
    )
    look_back: Period | None = declared(
        "With `in_all`: only days within this time before the check point count.", default=None
    )

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.look_back is not None and self.in_all is None:
            yield Complaint(
                "R212",
                ("look_back",),
                "`look_back` needs `in_all`",
                expected="the time held in all, e.g. in_all: 24 months",
                hint="`within` asks that a registration ended not longer ago than a time",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class NationalityHeld(Requirement):
    """A nationality of a list."""

    kind: ClassVar[str] = "nationality"

    countries: tuple[Country, ...] = declared("Nationalities that count.", at_least=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResidenceHeld(Requirement):
    """Residence in a country of a list."""

    kind: ClassVar[str] = "residence"

    countries: tuple[Country, ...] = declared("Countries of residence that count.", at_least=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class AgeReached(Requirement):
    """An age in whole years."""

    kind: ClassVar[str] = "age"

    at_least: Period | None = declared("Youngest age.", default=None, example="P18Y")
    below: Period | None = declared("Age not yet reached.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declared(Requirement):
    """A declared yes or no."""

    kind: ClassVar[str] = "declaration"

    question: Text = declared("The question, as it is put to the applicant.")
    declaration: Identifier = declared("Id of the declaration in the applicant file.")
    answer: bool = declared("The answer that meets the requirement.", default=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class DatesOpen(Requirement):
    """Days of the calendar on which something is open."""

    kind: ClassVar[str] = "dates"

    from_: Date | None = declared("First day.", default=None, key="from")
    until: Date | None = declared("Last day.", default=None)
    every_year_from: Text | None = declared(
        "Month and day, every year.", default=None, example="03-01"
    )
    every_year_until: Text | None = declared(
        "Month and day, every year.", default=None, example="03-31"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Elapsed(Requirement):
    """Time since a milestone that has happened."""

    kind: ClassVar[str] = "elapsed"

    since: Identifier = declared("The milestone.")
    at_least: Period | None = declared("At least this long after it.", default=None)
    within: Period | None = declared("At most this long after it.", default=None)
    happened: bool = declared(
        "no: a milestone that has not happened yet does not stand in the way.", default=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Applies:
    """From when to when an edition applies, and by which event that is told."""

    from_: PartialDate | None = declared("First day.", default=None, key="from")
    until: PartialDate | None = declared(
        "Last day; left out while it goes on; `unknown` where no end was found.", default=None
    )
    by: Identifier = declared("The event whose day chooses the edition.", default="submission")
