"""Which titles are open to an applicant or can be opened, and which of them somebody follows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.days.calendar import FOREVER
from comity.core.plan.building import build
from comity.core.plan.conflicts import smallest_conflict
from comity.core.plan.taken import Taken
from comity.service.plan_days import has_begun

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.core.plan.building import Route
    from comity.core.rulebook.model import Rulebook
    from comity.service.assessing import TodayAt


@dataclass(frozen=True, slots=True)
class OpenTitle:
    """A title that is open or can be opened.

    Parameters
    ----------
    rulebook, title : Rulebook, str
        The authority's, and the title's id.
    name : str
        As people read it.
    last_day : Day
        The earliest day of its last milestone; FOREVER where there is no plan as things stand.
    has_begun : bool
        Whether anything has been done for it.
    """

    rulebook: Rulebook
    title: str
    name: str
    last_day: Day
    has_begun: bool

    @property
    def key(self) -> str:
        """Return ``authority/title``."""
        return f"{self.rulebook.authority.id}/{self.title}"


def open_titles(
    applicant: Applicant, rulebooks: Sequence[Rulebook], *, today_at: TodayAt
) -> tuple[OpenTitle, ...]:
    """Return the titles that are open to an applicant or can be opened.

    Those something was done for stand first, then the one that can be reached first. Dates are
    those of the earliest plan, without chance; no plan is drawn for this.
    """
    found = list(_open(applicant, rulebooks, today_at))
    return tuple(sorted(found, key=lambda each: (not each.has_begun, each.last_day)))


def _open(
    applicant: Applicant, rulebooks: Sequence[Rulebook], today_at: TodayAt
) -> Iterator[OpenTitle]:
    for rulebook in rulebooks:
        today = today_at(rulebook.authority.time_zone)
        for name in rulebook.titles():
            route = build(applicant, rulebook, name, taken=Taken(today))
            if _can_be_opened(route):
                day = route.day_of(route.last)
                yield OpenTitle(
                    rulebook,
                    name,
                    route.title.name,
                    FOREVER if day is None else day,
                    has_begun(applicant, rulebook.authority.id, route.title),
                )


def _can_be_opened(route: Route) -> bool:
    """Tell whether there is a plan, or one once its conflict is solved."""
    if route.schedule is not None:
        return True
    days = [each.step for each in smallest_conflict(route.network) if each.sort == "days"]
    return not any(route.network[step].allowed == () for step in days)


def followed(titles: Sequence[OpenTitle]) -> tuple[OpenTitle, ...]:
    """Return the titles that somebody follows: those begun, else the one that is reached first."""
    begun = tuple(each for each in titles if each.has_begun)
    return begun or tuple(titles[:1])
