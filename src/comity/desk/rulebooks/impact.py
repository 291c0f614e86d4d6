"""Whom an edition touches, looked at a part of the office at a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import urlencode
from uuid import UUID

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_safe

from comity.core.days.calendar import date_from_day, day_from_date
from comity.desk import clock
from comity.desk.access import members_only
from comity.desk.rulebooks.looking import read, stored
from comity.service.impact import step_to, touched
from comity.store.converters import applicant_of
from comity.store.errors import UnreadableError
from comity.store.models import Case
from comity.store.rulebooks import rulebooks_in_force

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse, QueryDict

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.service.affected import Affected
    from comity.service.impact import Step
    from comity.store.models import StoredEdition

AT_ONCE: Final = 40
"""Cases looked at in one request: some two seconds' work."""


@dataclass(frozen=True, slots=True)
class Touched:
    """An applicant with another answer, and the case to open."""

    case: Case
    affected: Affected


@dataclass(frozen=True, slots=True)
class So:
    """How far the look has come: behind which case, how many were seen, how many are touched."""

    after: UUID | None = None
    n_seen: int = 0
    n_touched: int = 0


@members_only
@require_safe
def impact(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Say whose answers change; the first part at once, the others as they are worked out."""
    found = stored(authority, edition)
    step = _step(found, _day(request.GET))
    context = _looked_at(found, step, _so_far(request.GET))
    return render(request, "rulebooks/impact.html", context)


@members_only
@require_safe
def part(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Return the next part."""
    found = stored(authority, edition)
    step = _step(found, _day(request.GET))
    return render(
        request, "rulebooks/_impact_part.html", _looked_at(found, step, _so_far(request.GET))
    )


def _step(found: StoredEdition, on: Day | None) -> Step:
    edition = read(found)
    if edition is None:
        raise Http404
    today = clock.today_at(edition.authority.time_zone)
    return step_to(edition, rulebooks_in_force(), today=today, on=on)


def _day(asked: QueryDict) -> Day | None:
    try:
        return day_from_date(date.fromisoformat(asked.get("on", "")))
    except ValueError:
        return None


def _so_far(asked: QueryDict) -> So:
    try:
        return So(
            UUID(str(asked.get("after", ""))),
            int(asked.get("seen", "0")),
            int(asked.get("touched", "0")),
        )
    except ValueError:
        return So()


def _looked_at(found: StoredEdition, step: Step, so: So) -> dict[str, Any]:
    """Return the next part of the cases with another answer, and where it goes on."""
    cases = Case.objects.filter(closed_at=None).order_by("pk")
    n_all = cases.count()
    if so.after is not None:
        cases = cases.filter(pk__gt=so.after)
    several = list(cases[:AT_ONCE])
    those = [] if step.old is None else _touched(several, step)
    seen = So(
        several[-1].pk if several else so.after,
        so.n_seen + len(several),
        so.n_touched + len({each.case.pk for each in those}),
    )
    is_last = len(several) < AT_ONCE or step.old is None
    return {
        "stored": found,
        "step": step,
        "on": date_from_day(step.days.on),
        "those": those,
        "n_all": n_all,
        "n_seen": seen.n_seen,
        "n_touched": seen.n_touched,
        "is_last": is_last,
        "rest": "" if is_last else urlencode(_address(step, seen)),
    }


def _address(step: Step, seen: So) -> dict[str, str]:
    return {
        "on": date_from_day(step.days.on).isoformat(),
        "after": str(seen.after),
        "seen": str(seen.n_seen),
        "touched": str(seen.n_touched),
    }


def _touched(cases: list[Case], step: Step) -> list[Touched]:
    by_reference: dict[str, Case] = {}
    applicants: list[Applicant] = []
    for case in cases:
        try:
            applicants.append(applicant_of(case))
        except UnreadableError:  # shown on the case's own page
            continue
        by_reference[applicants[-1].applicant] = case
    return [Touched(by_reference[each.applicant], each) for each in touched(step, applicants)]
