"""From an applicant and a title to the network of what is left to do.

What is done, and what proves a requirement that is met anyway, is left out. Milestones are steps
that take no time and lie on days on which what is checked at them holds. A paper that is at hand
but will have lapsed by then comes back into the network, so that the plan is looked at again until
nothing changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import FOREVER
from comity.core.eligibility.inquiry import Inquiry, Question
from comity.core.plan.calendars import Calendars
from comity.core.plan.checkpoints import checked
from comity.core.plan.earliest import earliest_plan
from comity.core.plan.laying_out import Layout
from comity.core.rulebook.editions import days_of, first_milestone, title_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.core.plan.checkpoints import Checked
    from comity.core.plan.earliest import Schedule
    from comity.core.plan.laying_out import Planned
    from comity.core.plan.network import Network
    from comity.core.plan.taken import Taken
    from comity.core.rulebook.model import Edition, Rulebook, Title

_ROUNDS: Final = 6
"""Papers may chase each other; what has not settled by then is told as it stands."""


@dataclass(frozen=True, slots=True)
class Route:
    """What is left to do for one applicant and title.

    Parameters
    ----------
    network : Network
        The steps, milestones among them.
    edition, title : Edition, Title
        That apply on the planned day of the first milestone.
    planned : tuple of Planned
        The steps that people are shown, in the network's order.
    milestones : mapping
        From milestones ahead to the steps of the network at whose end they are reached.
    checked : tuple of Checked
        What the authority checks, and when it holds.
    left_out : mapping
        Steps that need not be taken, each with why.
    schedule : Schedule or None
        The earliest plan; None where there is none.
    """

    network: Network
    edition: Edition
    title: Title
    planned: tuple[Planned, ...]
    milestones: Mapping[str, str]
    checked: tuple[Checked, ...]
    left_out: Mapping[str, str]
    schedule: Schedule | None

    def day_of(self, step: str) -> Day | None:
        """Return the day on which a step ends in the earliest plan."""
        if self.schedule is None or step not in self.network.position:
            return None
        return self.schedule.ends[self.network.position[step]]

    @property
    def first(self) -> str:
        """The step of the network at which the title's first milestone is reached."""
        first = first_milestone(self.title)
        return self.milestones.get(first, next(iter(self.milestones.values()), ""))

    @property
    def last(self) -> str:
        """The step at which the last milestone of the plan is reached."""
        return next(reversed(tuple(self.milestones.values())), "")


def build(applicant: Applicant, rulebook: Rulebook, title: str, *, taken: Taken) -> Route:
    """Return the network of what is left for an applicant.

    Parameters
    ----------
    applicant : Applicant
        The file of facts.
    rulebook : Rulebook
        All editions of one authority.
    title : str
        Id of the title.
    taken : Taken
        What is taken for granted.

    Raises
    ------
    LookupError
        When no edition has the title.
    """
    asked = Inquiry(applicant, rulebook, Question(title, taken.start, taken.start))
    route = _settled(asked, asked.chosen.edition, taken=taken)
    submission = route.day_of(route.first)
    later = None if submission is None else _edition_on(rulebook, title, submission)
    if submission is None or later is None or later is route.edition:
        return route
    then = Inquiry(applicant, rulebook, Question(title, submission, taken.start))
    found = _settled(then, later, taken=taken)
    day = found.day_of(found.first)
    return route if day is None or _edition_on(rulebook, title, day) is not later else found


def _edition_on(rulebook: Rulebook, title: str, day: Day) -> Edition | None:
    """Return the newest edition with the title that applies on a day of submission."""
    for edition in reversed(rulebook.editions):
        if day in days_of(edition.applies).possible and title_of(edition, title) is not None:
            return edition
    return None


def _settled(inquiry: Inquiry, edition: Edition, *, taken: Taken) -> Route:
    """Return the network once it says what its own plan needs."""
    title = title_of(edition, inquiry.chosen.title.id) or inquiry.chosen.title
    layout = Layout(
        inquiry.applicant,
        edition,
        title,
        Calendars.of(edition, taken.holidays, blocked=taken.blocked),
        checked(inquiry),
        taken,
    )
    again = frozenset(e.id for e in layout.checked if e.is_failing or e.is_unknown)
    first = route = _route(layout, again)
    for _ in range(_ROUNDS):
        lapsed = _lapsed(route) - again
        if not lapsed:
            break
        again |= lapsed
        route = _route(layout, again)
    return first if route.schedule is None else route


def _route(layout: Layout, again: frozenset[str]) -> Route:
    laid = layout.laid_out(again)
    return Route(
        laid.network,
        layout.edition,
        layout.title,
        laid.planned,
        laid.milestones,
        layout.checked,
        laid.left_out,
        earliest_plan(laid.network),
    )


def _lapsed(route: Route) -> frozenset[str]:
    """Return what holds now and no longer on the day of its check, and can be had again."""
    found = set()
    for each in route.checked:
        step = route.milestones.get(each.at)
        day = None if step is None else route.day_of(step)
        # Without a plan anything that ends may be what stands in its way.
        is_over = any(end < FOREVER for _start, end in each.runs) if day is None else None
        if each.can_be_fetched_anew and (is_over if day is None else not each.holds(day)):
            found.add(each.id)
    return frozenset(found)
