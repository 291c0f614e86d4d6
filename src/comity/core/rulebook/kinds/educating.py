"""Requirements about continuing education."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, Literal

from comity.core.days.period import Period
from comity.core.declaring import Complaint, Text, declared
from comity.core.rulebook.kinds.base import Requirement


@dataclass(frozen=True, slots=True, kw_only=True)
class CategoryMinimum:
    """At least so many units in one of these categories."""

    categories: tuple[Text, ...] = declared("Categories; any of them counts.", at_least=1)
    least: Fraction = declared("Units at least.")


@dataclass(frozen=True, slots=True, kw_only=True)
class CategoryCap:
    """At most so many units from these categories count."""

    categories: tuple[Text, ...] = declared("Categories, taken together.", at_least=1)
    most: Fraction = declared("Units at most.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """The time in which units are counted."""

    length: Period = declared("Length of a cycle.", example="P5Y")
    ends_on: Text = declared("Month and day on which cycles end.", example="05-31")
    first_starts: Literal["registration", "qualification", "examination"] = declared(
        "The event from which the first cycle runs.", default="registration"
    )
    first_is_long: bool = declared(
        "yes: the first cycle runs from the event to the end of the first whole cycle after it; "
        "no: it ends with the last end day that is at most one length away.",
        default=True,
    )
    which: Literal["running", "last ended"] = declared(
        "running: the cycle in which the day lies; last ended: the one that ended last before it.",
        default="running",
    )
    how_many: int = declared(
        "With `which: last ended`: in each of so many cycles that ended last.",
        default=1,
        at_least=1,
        at_most=20,
    )
    carried_over: Fraction | None = declared(
        "Of the units earned in a cycle beyond those asked, at most so many count in the next.",
        default=None,
    )

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if self.how_many > 1 and self.which == "running":
            yield Complaint(
                "R213",
                ("how_many",),
                "only one cycle is running",
                expected="which: last ended, with `how_many`",
                hint="write which: last ended to look at cycles that are over",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class ContinuingEducation(Requirement):
    """Units of continuing education in a cycle or in a trailing time, with category minima."""

    kind: ClassVar[str] = "continuing education"

    units: Fraction = declared("Units at least.", example="75")
    minima: tuple[CategoryMinimum, ...] = declared("Units in categories at least.", default=())
    caps: tuple[CategoryCap, ...] = declared("Units in categories at most.", default=())
    cycle: Cycle | None = declared("Cycle in which they are counted.", default=None)
    look_back: Period | None = declared(
        "Instead of a cycle: within this time before the check point.", default=None
    )
    examination: Text | None = declared(
        "The examination whose pass starts the first cycle.", default=None
    )

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if (self.cycle is None) == (self.look_back is None):
            yield Complaint(
                "R207",
                (),
                "units are counted either in a `cycle` or in a `look_back`",
                expected="one of the two",
            )
