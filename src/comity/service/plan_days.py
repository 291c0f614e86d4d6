"""The days of plans that go into calendars: what to do, sittings, milestones; labels, no facts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.service.plan_shown import full_name
from comity.service.planning_next import next_actions

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Title
    from comity.service.planning import Plan

AFTER: Final = "after"
"""Begins the last part of the key of what comes after the licence."""


@dataclass(frozen=True, slots=True)
class DayOf:
    """A day of a plan.

    Parameters
    ----------
    authority, title : str
        Ids of what is planned.
    key : str
        By which it is known again when its day moves.
    day : Day
        The day.
    label : str
        What people read: a step's or milestone's label, never a fact about the person.
    """

    authority: str
    title: str
    key: str
    day: Day
    label: str


def has_begun(applicant: Applicant, authority: str, title: Title) -> bool:
    """Tell whether anything has been done for a title: a step taken, an examination entered for."""
    tried = {each.examination for each in applicant.results.examinations or ()}
    if any(each.id in tried for each in title.examinations):
        return True
    return any(True for _each in happened_of(applicant, authority, title.id))


def happened_of(applicant: Applicant, authority: str, title: str) -> Iterator[tuple[str, Day]]:
    """Yield the steps and milestones of a title that have happened, named in full in the file."""
    for each in applicant.progress:
        *before, name = each.milestone.split("/")
        if before == [authority, title]:
            yield name, each.on.latest


def days_of(plan: Plan) -> tuple[DayOf, ...]:
    """Return the days of a plan that are still to come, one a thing to do."""
    found = {each.key: each for each in _days(plan) if each.day >= plan.wishes.start}
    return tuple(sorted(found.values(), key=lambda each: (each.day, each.key)))


def _days(plan: Plan) -> Iterator[DayOf]:
    def at(kind: str, day: Day, label: str) -> DayOf:
        key = full_name(plan, kind)
        return DayOf(plan.rulebook.authority.id, plan.title_id, key, day, label)

    if not plan.is_possible:
        return
    for order in plan.orders:
        label = plan.route.network[order.paper].label
        yield at(f"do/{order.paper}", order.recommended.order_on, label)
    for each in next_actions(plan):
        yield at(f"do/{each.step}", each.day, each.label)
    for step, label, closes, on in _sittings(plan):
        yield at(f"enter/{step}", closes, f"Last day to enter: {label}")
        yield at(f"sit/{step}", on, label)
    labels = {each.id: each.label for each in plan.route.title.milestones}
    for name, spread in plan.milestones.items():
        if spread.p50 is not None:
            yield at(f"reach/{name}", spread.p50, labels[name])


def _sittings(plan: Plan) -> Iterator[tuple[str, str, Day, Day]]:
    """Yield the next sitting of each examination, with the last day to enter for it."""
    for each in plan.route.planned:
        sittings = plan.route.network[each.id].sittings
        start = plan.times[each.id].start.p50
        if sittings is None or start is None:
            continue
        sitting = next((s for s in sittings.dates if s.closes >= start), None)
        if sitting is not None:
            yield each.id, each.label, sitting.closes, sitting.on
