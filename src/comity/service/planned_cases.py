"""Worked cases of plans: the day on which a described applicant reaches a milestone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.core.days.calendar import iso
from comity.core.plan.building import build
from comity.core.plan.taken import HOURS_A_WEEK, Taken
from comity.files.public_holidays import UnknownCountryError
from comity.service.planning_holidays import holidays_from

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.core.plan.building import Route
    from comity.core.rulebook.model import Case, Rulebook


def wrong_days(case: Case, rulebook: Rulebook) -> Iterator[tuple[str, str, str]]:
    """Yield each milestone whose planned day is not the one expected, with both days in words.

    Planned is from the day on which the case is asked, every step taking its likely time and
    examinations passed at the first sitting.
    """
    if not case.plan:
        return
    route = _route(case, rulebook)
    if route is None:
        return
    for milestone, expected in case.plan.items():
        found = _day_of(route, milestone)
        if found != expected:
            yield milestone, "no day" if found is None else iso(found), iso(expected)


def _route(case: Case, rulebook: Rulebook) -> Route | None:
    """Return the plan of a case; None where a country's holidays are not known."""
    start = case.on if case.today is None else case.today
    try:
        holidays = holidays_from(rulebook.editions, start)
    except UnknownCountryError:
        return None
    minutes = case.applicant.preferences.hours_a_week or HOURS_A_WEEK
    days = {country: each.days for country, each in holidays.items()}
    taken = Taken(start, study_minutes_a_week=minutes, holidays=days)
    return build(case.applicant, rulebook, case.title, taken=taken)


def _day_of(route: Route, milestone: str) -> Day | None:
    return route.day_of(route.milestones.get(milestone, milestone))
