"""The form of a fact: what it asks, what was typed into it, and what is amiss."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.shortcuts import render
from django.urls import reverse

from comity.desk.cases.shown import casework_of, frame
from comity.service.casework_offers import offers_of
from comity.service.editing import SINGLE, WHOLE, controls_of, mark_of
from comity.service.editing_shown import shown_entry
from comity.service.editing_words import SECTION_WORDS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.http import HttpRequest, HttpResponse

    from comity.service.casework import Casework
    from comity.service.editing_fields import Control, FieldProblem
    from comity.store.models import Case


@dataclass(frozen=True, slots=True)
class Spot:
    """Which entry is worked on, and what the history calls it."""

    section: str
    entry: str
    action: str = "case/facts changed"


@dataclass(frozen=True, slots=True)
class Conflict:
    """Somebody else has changed the same entry: what stands there now, beside what was typed."""

    case: Case


def asking(
    request: HttpRequest,
    case: Case,
    spot: Spot,
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


def _name(casework: Casework, spot: Spot) -> str:
    found = shown_entry(casework.applicant, spot.section, entry=spot.entry, names=casework.names)
    return found.name if found else ""


def _address(case: Case, spot: Spot) -> str:
    if spot.entry:
        return reverse("desk-case-facts-one", args=[case.pk, spot.section, spot.entry])
    name = "desk-case-facts-section" if spot.section in SINGLE else "desk-case-facts-new"
    return reverse(name, args=[case.pk, spot.section])


def _trying(case: Case, spot: Spot) -> str:
    """Return where what is typed is tried without being saved."""
    if spot.entry:
        return reverse("desk-case-what-if-entry", args=[case.pk, spot.section, spot.entry])
    return reverse("desk-case-what-if-section", args=[case.pk, spot.section])
