"""What has to be done on the way to a licence, by whom, and how long it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, get_args

from comity.core.days.period import Period
from comity.core.declaring import (
    Complaint,
    Country,
    Date,
    Estimate,
    Hours,
    Identifier,
    Text,
    declared,
)
from comity.core.rulebook.kinds.base import Source

Weekday = Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
WEEKDAYS: tuple[Weekday, ...] = get_args(Weekday)
"""From Monday on."""
APPLICANT = "applicant"
"""Who is a party of every edition, listed or not, and acts on any day unless it says otherwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Somebody who acts on the way to the licence, and the days on which they work."""

    id: Identifier = declared("Id, which steps use.", example="council")
    label: Text = declared("Name people read.")
    who: Literal["applicant", "adviser", "employer", "school", "authority"] = declared(
        "What they are to the applicant."
    )
    weekend: tuple[Weekday, ...] = declared(
        "Days of the week on which they do not work; an empty list: they act on any day.",
        default=("Saturday", "Sunday"),
    )
    holidays_of: Country | None = declared("Country whose public holidays they keep.", default=None)
    holidays: tuple[Date, ...] = declared("Further days on which they do not work.", default=())

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with the values taken together."""
        if len(set(self.weekend)) == len(WEEKDAYS):
            yield Complaint(
                "P111",
                ("weekend",),
                "a weekend of all seven days leaves nobody a day to work on",
                got="seven days",
                expected="six days of the week at most",
                hint="write weekend: [] for somebody who acts on any day",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeLimit:
    """A step has to be done before too long a time has passed."""

    after: Identifier = declared("Step or milestone from which the time runs.")
    period: Period = declared("How long.", example="3 months")
    late: Literal["reject", "forfeit", "remove"] = declared(
        "What happens when it is late: the application is rejected, the place or fee is forfeited,"
        " the applicant is removed from the register.",
        default="reject",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Gets:
    """A paper that a step gets, and how long it is good for."""

    paper: Text = declared("What it is.", example="certificate of good standing")
    lasts: Period | None = declared(
        "How long it is good for, counted from the day it comes; left out: without end.",
        default=None,
    )
    used_at: Identifier | None = declared(
        "Milestone at which it has to be good; left out: the title's first.", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Something that someone has to do."""

    id: Identifier = declared("Id.")
    label: Text = declared("What is to be done.")
    party: Text = declared("Who does it: the id of a party, or applicant.")
    after: tuple[Identifier, ...] = declared("Steps that come before.", default=())
    duration: Estimate | None = declared(
        "How long it takes once it has begun; left out: it is done in a day.", default=None
    )
    wait: Period | None = declared(
        "Begins no sooner than this long after the steps before it.", default=None
    )
    within: tuple[TimeLimit, ...] = declared("Done within these times.", default=())
    gets: Gets | None = declared("The paper that it gets.", default=None)
    sits: Identifier | None = declared("The examination that is sat in it.", default=None)
    proves: tuple[Identifier, ...] = declared(
        "Ids of requirements; once all are met the step is left out.", default=()
    )
    study: Hours | None = declared("Hours of study that it takes in all.", default=None)
    reaches: Identifier | None = declared("Milestone reached by it.", default=None)
    source: Source | None = declared("Where it is written.", default=None)
