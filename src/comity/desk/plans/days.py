"""The days that stand in a calendar: kept ones, and those of cases that have moved on."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import iso
from comity.desk import clock
from comity.desk.plans.made import FEW_DRAWS, CannotPlan, plan_of, titles_of
from comity.files.calendar_feed import Event, calendar_text
from comity.service.needs import BEHIND_DAYS
from comity.service.plan_titles import followed
from comity.store.errors import UnreadableError
from comity.store.models import Case, PlannedDay
from comity.store.planned import keep_plans, rests_on
from comity.store.rulebooks import digest_in_force

if TYPE_CHECKING:
    from collections.abc import Iterable
    from uuid import UUID

    from comity.store.models import CalendarFeed

SECONDS: Final = 3.0
"""So long plans are worked out anew while a calendar waits; the others have their turn later."""
_ALARM_DAYS: Final = 3
_CAUTION: Final = (
    "A plan, not a promise: days move as things go on. The authority decides; check its current"
    " text."
)


def calendar_of(feed: CalendarFeed) -> str:
    """Return the text of a calendar: labels of steps, and for members whose they are."""
    cases = Case.objects.filter(closed_at=None)
    if feed.account is not None:
        cases, name = cases.filter(adviser=feed.account), "Comity: cases in my care"
    else:
        cases, name = cases.filter(feeds=feed), "Comity: my way to the licence"
    refresh(cases.order_by("changed_at").values_list("pk", flat=True))
    today = clock.today_at()
    rows = PlannedDay.objects.filter(case__in=cases.values("pk"), day__gte=today - BEHIND_DAYS)
    for_member = feed.account is not None
    events = [
        _event(row, for_member=for_member) for row in rows.select_related("case").order_by("day")
    ]
    return calendar_text(events, name=name)


def refresh(cases: Iterable[UUID]) -> None:
    """Work the days of cases out anew where they have moved on, for as long as one may wait."""
    until = monotonic() + SECONDS
    basis = rests_on(digest_in_force(), clock.today_at())
    for number, pk in enumerate(cases):
        if number and monotonic() > until:
            return
        case = Case.objects.filter(pk=pk).exclude(planned_of=basis).first()
        if case is not None:
            _keep(case, basis)


def _keep(case: Case, basis: str) -> None:
    try:
        titles = followed(titles_of(case))
    except UnreadableError:  # shown on the case's own page
        return
    made = [plan_of(case, each, draws=FEW_DRAWS) for each in titles]
    plans = [each for each in made if not isinstance(each, CannotPlan)]
    keep_plans(case, plans, basis=basis, today=clock.today_at())


def _event(row: PlannedDay, *, for_member: bool) -> Event:
    who = short_name(row.case) if for_member else ""
    return Event(
        f"{row.case_id}/{row.key}",
        row.day,
        f"{who}: {row.label}" if who else row.label,
        f"{_CAUTION}\nAs planned on {iso(row.as_of)}.",
        row.as_of,
        _ALARM_DAYS,
    )


def short_name(case: Case) -> str:
    """Return a name short enough for a calendar: the first name and an initial."""
    first, *more = case.name.split() or [case.reference]
    return f"{first} {more[-1][0]}." if more else first
