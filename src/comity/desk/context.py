"""What every page needs around its own matter: the office, the day, the ways to go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from django.conf import settings
from django.urls import NoReverseMatch, reverse
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext_lazy as _

from comity.desk import clock
from comity.store.models import Account, Case, Office

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.http import HttpRequest
    from django.utils.functional import _StrPromise


@dataclass(frozen=True, slots=True)
class Way:
    """A link of the navigation."""

    label: str | _StrPromise
    address: str
    is_here: bool


# Label, URL name, beginnings of the addresses which belong to it.
_MEMBERS: Final = (
    (_("Needs you"), "desk-home", ()),
    (_("Applicants"), "desk-applicants", ("/applicants", "/cases")),
    (_("Rulebooks"), "desk-rulebooks", ("/rulebooks",)),
    (_("Mock exams"), "desk-exams", ("/exams",)),
    (_("Office"), "desk-office", ("/office",)),
)


def shell(request: HttpRequest) -> dict[str, Any]:
    """Return what base.html shows: office, demo's day, navigation; worked out when asked for."""
    return {
        "office": SimpleLazyObject(office),
        "demo_day": clock.demo_day(),
        "ways": SimpleLazyObject(lambda: tuple(_ways(request))),
        "languages": settings.LANGUAGES,
    }


def office() -> Office:
    """Return the office; one without a name before the first start."""
    return Office.objects.filter(pk=1).first() or Office(name="Comity")


def _ways(request: HttpRequest) -> Iterator[Way]:
    account = getattr(request, "user", None)
    if not isinstance(account, Account):
        return
    if not account.is_member:
        yield from _own_case(account, request)
        return
    for label, name, beginnings in _MEMBERS:
        try:
            address = reverse(name)
        except NoReverseMatch:
            continue
        is_here = request.path == address or request.path.startswith(beginnings or "\0")
        yield Way(label, address, is_here)


def _own_case(account: Account, request: HttpRequest) -> Iterator[Way]:
    case = Case.objects.only("pk").filter(account=account).first()
    if case is not None:
        yield Way(_("My case"), "/", request.path.startswith(f"/cases/{case.pk}"))
        if case.sittings.exists():
            yield Way(_("Practice"), reverse("desk-sittings"), request.path.startswith("/sittings"))
