"""The facts of a case, changed where they stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.desk.access import get_case, member_of, members_only
from comity.desk.cases.shown import (
    answer_context,
    asked_title,
    casework_of,
    chosen_title,
    frame,
    typed_in,
)
from comity.service.casework import offers_of
from comity.service.editing import (
    SINGLE,
    WHOLE,
    Edited,
    Refused,
    changed_entry,
    controls_of,
    mark_of,
    record_of,
    removed_entry,
    with_none,
)
from comity.service.editing_shown import shown_entry, shown_section, shown_sections
from comity.service.editing_words import SECTION_WORDS
from comity.store.cases import change_document
from comity.store.errors import StaleError
from comity.store.models import Case

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.service.casework import Casework
    from comity.service.editing_fields import Control, FieldProblem

_TRIES: Final = 20
"""Others may be saving too; each of them makes one try of ours fail at most."""


@dataclass(frozen=True, slots=True)
class Conflict:
    """Somebody else has changed the same entry: what stands there now, beside what was typed."""

    case: Case


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

    spot = _Spot(section, entry, "case/fact removed")
    return _after(request, _saved(request, case, spot, make=removed), spot)


@members_only
@require_POST
def none(request: HttpRequest, case_id: UUID, *, section: str) -> HttpResponse:
    """Keep that there is nothing of a section."""
    case = get_case(request, case_id, may="change")
    if section not in SECTION_WORDS or section in SINGLE:
        raise Http404

    def emptied(current: Case) -> Edited | Refused:
        return with_none(current.document, section)

    spot = _Spot(section, "", "case/facts changed")
    return _after(request, _saved(request, case, spot, make=emptied, base=""), spot)


@dataclass(frozen=True, slots=True)
class _Spot:
    """Which entry is worked on, and what the history calls it."""

    section: str
    entry: str
    action: str = "case/facts changed"


def _fact(request: HttpRequest, case_id: UUID, section: str, *, entry: str) -> HttpResponse:
    may: Any = "change" if request.method == "POST" or "edit" in request.GET else "read"
    case = get_case(request, case_id, may=may)
    casework = casework_of(case)
    if request.method == "POST" and _is_gone(casework, section, entry):
        # Somebody has taken it out meanwhile; what was typed is not lost, but offered as new.
        gone = _Spot(section, "")
        return _asking(request, case, gone, typed=typed_in(request), conflict=Conflict(case))
    _check(casework, section, entry)
    is_new = not entry and section not in SINGLE
    if request.method == "POST":
        return _take(request, case, _Spot(section, entry))
    if is_new or "edit" in request.GET:
        return _asking(request, case, _Spot(section, entry))
    return _shown(request, case, _Spot(section, entry))


def _is_gone(casework: Casework, section: str, entry: str) -> bool:
    is_listed = section in SECTION_WORDS and section not in SINGLE
    return bool(entry) and is_listed and record_of(casework.applicant, section, entry) is None


def _check(casework: Casework, section: str, entry: str) -> None:
    if section not in SECTION_WORDS:
        raise Http404
    if entry and record_of(casework.applicant, section, entry) is None:
        raise Http404


# ------------------------------------------------------------------------------------- asking


def _asking(
    request: HttpRequest,
    case: Case,
    spot: _Spot,
    *,
    typed: Mapping[str, str] | None = None,
    problems: Mapping[str, FieldProblem] | None = None,
    conflict: Conflict | None = None,
) -> HttpResponse:
    """Show the form of an entry; after a refusal with what was typed and what is amiss."""
    casework = casework_of(case)
    controls = controls_of(
        casework.applicant, spot.section, entry=spot.entry, offers=offers_of(casework)
    )
    is_new = not spot.entry and spot.section not in SINGLE
    context = {
        **frame(case, here="facts"),
        "words": SECTION_WORDS[spot.section],
        "section": spot.section,
        "entry": spot.entry,
        "name": _name(casework, spot),
        "is_new": is_new,
        "base": mark_of(casework.applicant, spot.section, spot.entry),
        "fields": [_field(each, typed, problems) for each in controls],
        "whole": (problems or {}).get(WHOLE),
        "n_amiss": len(problems or {}),
        "theirs": _differing(controls, typed) if conflict else None,
        "address": _address(case, spot),
        "trying": _trying(case, spot),
        "back": reverse("desk-case-facts", args=[case.pk]),
    }
    status = 409 if conflict else 422 if problems else 200
    template = "cases/_fact_form.html" if request.htmx else "cases/fact_form.html"  # type: ignore[attr-defined]  # (django_htmx)
    return render(request, template, context, status=status)


def _field(
    control: Control,
    typed: Mapping[str, str] | None,
    problems: Mapping[str, FieldProblem] | None,
) -> dict[str, Any]:
    value = control.value if typed is None else typed.get(control.name, control.value)
    found = (problems or {}).get(control.name)
    return {
        "control": control,
        "value": value,
        "chosen": tuple(each.strip() for each in value.split(";")),
        "id": f"f-{control.name.replace('.', '-')}",
        "error": "" if found is None else found.sentence,
    }


def _differing(
    controls: tuple[Control, ...], typed: Mapping[str, str] | None
) -> list[tuple[str, str, str]]:
    """Return label, what stands there now and what was typed, where they differ."""
    mine = typed or {}
    return [
        (each.label, each.value, mine[each.name])
        for each in controls
        if each.name in mine and _bare(mine[each.name]) != _bare(each.value)
    ]


def _bare(text: str) -> str:
    """Return what an answer comes to: nothing ticked and "none" are the same."""
    return "" if text.strip() == "none" else " ".join(text.split())


def _name(casework: Casework, spot: _Spot) -> str:
    found = shown_entry(casework.applicant, spot.section, entry=spot.entry, names=casework.names)
    return found.name if found else ""


def _address(case: Case, spot: _Spot) -> str:
    if spot.entry:
        return reverse("desk-case-facts-one", args=[case.pk, spot.section, spot.entry])
    name = "desk-case-facts-section" if spot.section in SINGLE else "desk-case-facts-new"
    return reverse(name, args=[case.pk, spot.section])


def _trying(case: Case, spot: _Spot) -> str:
    """Return where what is typed is tried without being saved."""
    if spot.entry:
        return reverse("desk-case-what-if-entry", args=[case.pk, spot.section, spot.entry])
    return reverse("desk-case-what-if-section", args=[case.pk, spot.section])


def _shown(request: HttpRequest, case: Case, spot: _Spot) -> HttpResponse:
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


# -------------------------------------------------------------------------------------- taking


def _take(request: HttpRequest, case: Case, spot: _Spot) -> HttpResponse:
    """Take what was typed; show the form again where it cannot be."""
    typed = typed_in(request)
    offers = offers_of(casework_of(case))

    def changed(current: Case) -> Edited | Refused:
        return changed_entry(current.document, spot.section, typed, entry=spot.entry, offers=offers)

    base = request.POST.get("base", "")
    found = _saved(request, case, spot, make=changed, base=base)
    if isinstance(found, Conflict):
        return _asking(request, found.case, spot, typed=typed, conflict=found)
    if isinstance(found, Refused):
        return _asking(request, case, spot, typed=typed, problems=found.problems)
    return _after(request, found, spot)


def _saved(
    request: HttpRequest,
    case: Case,
    spot: _Spot,
    *,
    make: Callable[[Case], Edited | Refused],
    base: str | None = None,
) -> Case | Refused | Conflict:
    """Save a change on the document as it stands; `base` is the entry as the form showed it.

    When somebody has changed other entries meanwhile, the change is made on theirs.
    """
    current = case
    for _number in range(_TRIES):
        before = casework_of(current)
        stands = mark_of(before.applicant, spot.section, spot.entry)
        if base is not None and spot.entry and stands != base:
            return Conflict(current)
        if base is not None and spot.section in SINGLE and stands != base:
            return Conflict(current)
        found = make(current)
        if isinstance(found, Refused):
            return found
        try:
            return change_document(
                current,
                found.text,
                base_version=current.version,
                actor=member_of(request),
                action=spot.action,
                detail=_detail(before, found, spot),
            )
        except StaleError as error:
            if not isinstance(error.current, Case):
                raise
            current = error.current
    return Conflict(current)


def _detail(before: Casework, after: Edited, spot: _Spot) -> dict[str, Any]:
    """Return what the history says of a change: the entry before and after, as people read it."""
    entry = spot.entry or after.entry
    old = shown_entry(before.applicant, spot.section, entry=entry, names=before.names)
    new = shown_entry(after.applicant, spot.section, entry=entry, names=before.names)
    known = new or old
    return {
        "section": spot.section,
        "entry": entry,
        "name": known.name if known else SECTION_WORDS[spot.section].heading,
        "before": _as_lines(old),
        "after": _as_lines(new),
    }


def _as_lines(entry: Any) -> list[list[str]]:  # noqa: ANN401
    if entry is None:
        return []
    lines = [list(line) for line in entry.lines]
    if entry.evidence_said:
        lines.append([_("How it is known"), entry.evidence_said])
    return lines


def _after(request: HttpRequest, found: Case | Refused | Conflict, spot: _Spot) -> HttpResponse:
    """Show the section and the answer anew; where nothing was changed, why."""
    if isinstance(found, Conflict):
        return _asking(request, found.case, spot, conflict=found)
    if isinstance(found, Refused):
        case = get_case(request, request.resolver_match.kwargs["case_id"])  # type: ignore[union-attr]  # (a request that came to a view)
        return _asking(request, case, spot, problems=found.problems)
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
