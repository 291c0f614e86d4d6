"""The facts of a case, changed where they stand."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.desk.access import get_case, members_only
from comity.desk.cases.fact_forms import Conflict, Spot, asking
from comity.desk.cases.fact_saving import saved
from comity.desk.cases.shown import (
    answer_context,
    asked_title,
    casework_of,
    chosen_title,
    frame,
    typed_in,
)
from comity.service.casework_offers import offers_of
from comity.service.editing import (
    SINGLE,
    Edited,
    Refused,
    changed_entry,
    record_of,
    removed_entry,
    with_none,
)
from comity.service.editing_shown import shown_section, shown_sections
from comity.service.editing_words import SECTION_WORDS

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.service.casework import Casework
    from comity.store.models import Case


@members_only
@require_safe
def everything(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show all facts beside the answer that they give."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    key = chosen_title(asked_title(request), case, casework)
    context = {
        **frame(case, here="facts"),
        **answer_context(casework, key),
        "sections": shown_sections(casework.applicant, names=casework.names),
        "titles": [(each, str(each.key), None) for each in casework.titles()],
    }
    return render(request, "cases/facts.html", context)


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest, case_id: UUID, *, section: str) -> HttpResponse:
    """Ask for a new entry of a section, or take it."""
    return _fact(request, case_id, section, entry="")


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def single(request: HttpRequest, case_id: UUID, *, section: str) -> HttpResponse:
    """Show, ask for or take a section that is no list."""
    if section not in SINGLE:
        raise Http404
    return _fact(request, case_id, section, entry="")


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def one(request: HttpRequest, case_id: UUID, *, section: str, entry: str) -> HttpResponse:
    """Show, ask for or take one entry."""
    return _fact(request, case_id, section, entry=entry)


@members_only
@require_POST
def remove(request: HttpRequest, case_id: UUID, *, section: str, entry: str) -> HttpResponse:
    """Take an entry out of the file."""
    case = get_case(request, case_id, may="change")
    _check(casework_of(case), section, entry)

    def removed(current: Case) -> Edited | Refused:
        return removed_entry(current.document, section, entry=entry)

    spot = Spot(section, entry, "case/fact removed")
    return _after(request, saved(request, case, spot, make=removed), spot)


@members_only
@require_POST
def none(request: HttpRequest, case_id: UUID, *, section: str) -> HttpResponse:
    """Keep that there is nothing of a section."""
    case = get_case(request, case_id, may="change")
    if section not in SECTION_WORDS or section in SINGLE:
        raise Http404

    def emptied(current: Case) -> Edited | Refused:
        return with_none(current.document, section)

    spot = Spot(section, "", "case/facts changed")
    return _after(request, saved(request, case, spot, make=emptied, base=""), spot)


def _fact(request: HttpRequest, case_id: UUID, section: str, *, entry: str) -> HttpResponse:
    may: Any = "change" if request.method == "POST" or "edit" in request.GET else "read"
    case = get_case(request, case_id, may=may)
    casework = casework_of(case)
    if request.method == "POST" and _is_gone(casework, section, entry):
        # Somebody has taken it out meanwhile; what was typed is not lost, but offered as new.
        gone = Spot(section, "")
        return asking(request, case, gone, typed=typed_in(request), conflict=Conflict(case))
    _check(casework, section, entry)
    is_new = not entry and section not in SINGLE
    if request.method == "POST":
        return _take(request, case, Spot(section, entry))
    if is_new or "edit" in request.GET:
        return asking(request, case, Spot(section, entry))
    return _shown(request, case, Spot(section, entry))


def _is_gone(casework: Casework, section: str, entry: str) -> bool:
    is_listed = section in SECTION_WORDS and section not in SINGLE
    return bool(entry) and is_listed and record_of(casework.applicant, section, entry) is None


def _check(casework: Casework, section: str, entry: str) -> None:
    if section not in SECTION_WORDS:
        raise Http404
    if entry and record_of(casework.applicant, section, entry) is None:
        raise Http404


def _shown(request: HttpRequest, case: Case, spot: Spot) -> HttpResponse:
    """Show one entry as it is read."""
    if not request.htmx:  # type: ignore[attr-defined]  # (django_htmx)
        return redirect(f"{reverse('desk-case-facts', args=[case.pk])}#fact-{spot.section}")
    casework = casework_of(case)
    context = {
        **frame(case, here="facts"),
        "section": shown_section(casework.applicant, spot.section, names=casework.names),
        "is_back": True,
    }
    return render(request, "cases/_section.html", context)


def _take(request: HttpRequest, case: Case, spot: Spot) -> HttpResponse:
    """Take what was typed; show the form again where it cannot be."""
    typed = typed_in(request)
    offers = offers_of(casework_of(case))

    def changed(current: Case) -> Edited | Refused:
        return changed_entry(current.document, spot.section, typed, entry=spot.entry, offers=offers)

    base = request.POST.get("base", "")
    found = saved(request, case, spot, make=changed, base=base)
    if isinstance(found, Conflict):
        return asking(request, found.case, spot, typed=typed, conflict=found)
    if isinstance(found, Refused):
        return asking(request, case, spot, typed=typed, problems=found.problems)
    return _after(request, found, spot)


def _after(request: HttpRequest, found: Case | Refused | Conflict, spot: Spot) -> HttpResponse:
    """Show the section and the answer anew; where nothing was changed, why."""
    if isinstance(found, Conflict):
        return asking(request, found.case, spot, conflict=found)
    if isinstance(found, Refused):
        case = get_case(request, request.resolver_match.kwargs["case_id"])  # type: ignore[union-attr]  # (a request that came to a view)
        return asking(request, case, spot, problems=found.problems)
    if not request.htmx:  # type: ignore[attr-defined]  # (django_htmx)
        return redirect(f"{reverse('desk-case-facts', args=[found.pk])}#fact-{spot.section}")
    casework = casework_of(found)
    key = chosen_title(asked_title(request), found, casework)
    context = {
        **frame(found, here="facts"),
        **answer_context(casework, key),
        "section": shown_section(casework.applicant, spot.section, names=casework.names),
        "is_after": True,
    }
    return render(request, "cases/_after_change.html", context)
