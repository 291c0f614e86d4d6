"""What needs a person now: the first page of those who work in the office."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from comity.desk import clock
from comity.desk.access import member_of, signed_in
from comity.desk.needs.found import found_for, has_outdated
from comity.desk.needs.words import URGENCIES, Said, said
from comity.service.needs import in_order
from comity.store.models import Case
from comity.store.rulebooks import in_force_key

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.http import HttpRequest, HttpResponse

    from comity.core.days.calendar import Day
    from comity.service.needs import Group
    from comity.store.models import Account

IN_A_GROUP: Final = 12
AT_MOST: Final = 60
AT_MOST_IN_ONE: Final = 200
MINE: Final = "mine"
OFFICE: Final = "office"


@dataclass(frozen=True, slots=True)
class Shown:
    """A group as the page has it; `has_more` where not all of it is shown."""

    urgency: str
    heading: str
    entries: tuple[Said, ...]
    has_more: bool


@signed_in
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Show members what needs them; lead an applicant to their own case."""
    account = member_of(request)
    if not account.is_member:
        return _own_case(request, account)
    whose = _whose(request, account)
    only = request.GET.get("group", "")
    mine = account if whose == MINE else None
    found = found_for(mine, at_most=AT_MOST_IN_ONE if only else AT_MOST)
    today = clock.today_at()
    groups = in_order(found.needs, today=today)
    context = {
        "groups": list(_shown(groups, today, only)),
        "only": only,
        "whose": whose,
        "n_uncompared": found.n_uncompared,
        "is_refreshing": has_outdated(),
        "has_rules": bool(in_force_key()),
        "has_cases": Case.objects.exists(),
    }
    return render(request, "needs/needs.html", context)


def _whose(request: HttpRequest, account: Account) -> str:
    """Return whose cases are asked for; a person with cases sees their own first."""
    asked = request.GET.get("whose")
    if asked in {MINE, OFFICE}:
        return asked
    has_own = Case.objects.filter(adviser=account, closed_at=None).exists()
    return MINE if has_own else OFFICE


def _shown(groups: tuple[Group, ...], today: Day, only: str) -> Iterator[Shown]:
    for group in groups:
        if only not in {"", group.urgency}:
            continue
        first = group.needs if only else group.needs[:IN_A_GROUP]
        yield Shown(
            group.urgency,
            str(URGENCIES[group.urgency]),
            tuple(said(need, today=today) for need in first),
            has_more=len(first) < len(group.needs),
        )


def _own_case(request: HttpRequest, account: Account) -> HttpResponse:
    case = Case.objects.only("pk").filter(account=account).first()
    if case is not None:
        return redirect("desk-case", case_id=case.pk)
    return render(request, "needs/no_case.html")
