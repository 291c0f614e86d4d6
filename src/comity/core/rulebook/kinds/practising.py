"""Requirements about practice: its amount, its gaps, its updating."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, Literal

from comity.core.days.period import Period
from comity.core.declaring import Amount, Complaint, Country, Hours, Share, Text, declared
from comity.core.rulebook.kinds.base import Requirement

UpdatingHow = Literal["supervised practice", "formal study", "private study"]
Anchor = Literal["after last practice day", "beginning first idle day"]
ANCHOR_DOC = (
    "From which day the gap counts: months after the last day of practice, "
    "or months beginning with the first idle day."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """Which spells of practice count. What is left out does not matter."""

    settings: tuple[Text, ...] | None = declared("Settings that count.", default=None)
    excluded_settings: tuple[Text, ...] | None = declared("Settings that do not.", default=None)
    titles: tuple[Text, ...] | None = declared("Posts that count.", default=None)
    countries: tuple[Country, ...] | None = declared("Countries that count.", default=None)
    excluded_countries: tuple[Country, ...] | None = declared(
        "Countries that do not.", default=None
    )
    registered: bool | None = declared(
        "Only practice while registered where one worked.", default=None
    )
    supervised: bool | None = declared(
        "yes: only practice under supervision; no: only independent practice.", default=None
    )
    least_hours_a_week: Hours | None = declared(
        "Posts of fewer hours a week do not count.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RegistrationScope:
    """Which registrations count. What is left out does not matter."""

    authorities: tuple[Text, ...] | None = declared("Authorities that count.", default=None)
    countries: tuple[Country, ...] | None = declared("Countries that count.", default=None)
    titles: tuple[Text, ...] | None = declared("Titles that count.", default=None)
    categories: tuple[Text, ...] | None = declared("Categories that count.", default=None)
    excluded_categories: tuple[Text, ...] | None = declared("Categories refused.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice(Requirement):
    """An amount of practice, in all or in one run, within a time before the check point.

    Amounts in months or years are full-time equivalents: `full_time` gives the hours a week that
    count as full, and overlapping posts count for no more than `overlap_cap` of it.
    """

    kind: ClassVar[str] = "practice"

    amount: Amount = declared("How much: months, years, weeks, days or hours.", example="24 months")
    full_time: Hours | None = declared(
        "Hours a week that count as full time; needed for months, years, weeks and days.",
        default=None,
        example="37.5",
    )
    overlap_cap: Fraction = declared(
        "At most this multiple of full time counts on one day.",
        default=Fraction(1),
        example="1.25",
        at_least=Fraction(0),
    )
    hours_a_month: Hours | None = declared(
        "The rulebook's own worth of a month in hours; else a month is 365/12 full-time days.",
        default=None,
    )
    hours_a_day: Hours | None = declared(
        "The rulebook's own worth of a day in hours; else a day is a seventh of a full week.",
        default=None,
    )
    measure: Literal["365/12", "30.4375"] = declared(
        "Days in a full-time month where the rulebook gives no hours.", default="365/12"
    )
    run: Literal["total", "consecutive"] = declared(
        "total adds up spells; consecutive asks for one run without an idle day, or, with "
        "`full_time`, without a day of less than full time.",
        default="total",
    )
    greatest_pause: Period | None = declared(
        "For a consecutive run: pauses up to this long do not break it.", default=None
    )
    look_back: Period | None = declared(
        "Only practice within this time before the check point.", default=None
    )
    after: Literal["qualification", "registration"] | None = declared(
        "Only practice after this event.", default=None
    )
    scope: Scope | None = declared("Which practice counts.", default=None)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.amount.unit == "units":
            yield Complaint(
                "R203",
                ("amount",),
                "practice is measured in time",
                got=str(self.amount),
                expected="months, years, weeks, days or hours, e.g. 24 months",
            )
        if self.amount.unit != "hours" and self.full_time is None and self.run == "total":
            yield Complaint(
                "R204",
                (),
                "an amount in full-time equivalents needs `full_time`",
                got=str(self.amount),
                expected="e.g. full_time: 37.5",
                hint="write the hours a week which the authority counts as full time",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Interruption(Requirement):
    """No gap in practice longer than a given time."""

    kind: ClassVar[str] = "interruption"

    greatest: Period = declared("Longest gap allowed.", example="P24M")
    anchor: Anchor = declared(ANCHOR_DOC)
    since: Literal["qualification", "first practice"] = declared(
        "From when on gaps matter.", default="qualification"
    )
    look_back: Period | None = declared(
        "Only gaps that reach into this time before the check point.", default=None
    )
    scope: Scope | None = declared("Which practice counts.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recency(Requirement):
    """Practice, a qualification or a registration not longer ago than a given time."""

    kind: ClassVar[str] = "recency"

    within: Period = declared("How long ago at most.", example="P2Y")
    counts: tuple[Literal["practice", "qualification", "registration"], ...] = declared(
        "What counts as recent; any of them is enough.", default=("practice",), at_least=1
    )
    anchor: Anchor = declared(ANCHOR_DOC, default="after last practice day")
    scope: Scope | None = declared("Which practice counts.", default=None)
    registrations: RegistrationScope | None = declared(
        "Which registrations count, where registration is counted.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class UpdatingCap:
    """A kind of updating that may make up only a share of the required amount."""

    how: UpdatingHow = declared("Kind of updating.")
    share: Share = declared("Share of the required amount, not of what was done.", example="1/2")


@dataclass(frozen=True, slots=True, kw_only=True)
class SupervisorConditions:
    """Whom supervised practice must be supervised by."""

    registered_for: Period | None = declared("On the register for at least.", default=None)
    same_profession: bool | None = declared("Must be of the same profession.", default=None)
    not_sanctioned: bool | None = declared(
        "Must be free of proceedings and sanctions.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class UpdatingOwed(Requirement):
    """An amount of updating, within a completion window before the check point."""

    kind: ClassVar[str] = "updating"

    amount: Amount = declared("How much, in hours or days.", example="30 days")
    hours_a_day: Hours | None = declared(
        "Hours that make one day; needed when the amount is in days.", default=None
    )
    within: Period | None = declared(
        "All of it must lie within this time before the check point.", default=None
    )
    allowed: tuple[UpdatingHow, ...] | None = declared(
        "Kinds that count; all if left out.", default=None
    )
    caps: tuple[UpdatingCap, ...] = declared("Kinds of which only a share counts.", default=())
    supervisor: SupervisorConditions | None = declared(
        "Whom supervised practice must be supervised by.", default=None
    )

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.amount.unit not in {"hours", "days"}:
            yield Complaint(
                "R205",
                ("amount",),
                "updating is measured in hours or days",
                got=str(self.amount),
                expected="e.g. 30 days with hours_a_day: 7",
            )
        elif self.amount.unit == "days" and self.hours_a_day is None:
            yield Complaint(
                "R206",
                (),
                "an amount of updating in days needs `hours_a_day`",
                got=str(self.amount),
                expected="e.g. hours_a_day: 7",
            )
