"""A case as it is read: the overview, one answer, all answers, the comparison, the papers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from django.shortcuts import render
from django.views.decorators.http import require_safe

from comity.core.days.calendar import day_from_date
from comity.desk import clock
from comity.desk.access import get_case, member_of, members_only, signed_in
from comity.desk.cases.actions import members
from comity.desk.cases.shown import (
    answer_context,
    answers_context,
    asked_title,
    casework_of,
    chosen_title,
    frame,
    quick_verdicts,
)
from comity.service.casework import in_order
from comity.service.casework_next import Task
from comity.service.editing_shown import shown_section
from comity.service.editing_words import label_of
from comity.store.given import no_longer_holds
from comity.store.models import Action, Holder

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.service.casework import Casework
    from comity.service.editing_shown import ShownSection
    from comity.store.models import Case


@signed_in
@require_safe
def overview(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show a case: to a member the adviser's view, to its applicant their own."""
    case = get_case(request, case_id)
    if not member_of(request).is_member:
        return _own(request, case)
    casework = casework_of(case)
    quick = quick_verdicts(case, casework)
    key = chosen_title(asked_title(request), case, casework, quick=quick)
    shown = answer_context(casework, key)
    answers = [shown["answer"]] if shown["answer"] else []
    context = {
        **frame(case, here="overview"),
        **shown,
        **_office_side(case, casework),
        "titles": [(each, str(each.key), quick[each.key]) for each in casework.titles()],
        "dates": casework.coming_dates(answers),
        "no_longer": no_longer_holds(case, casework.rulebooks, clock.today_at),
    }
    return render(request, "cases/overview.html", context)


def _office_side(case: Case, casework: Casework) -> dict[str, Any]:
    """Return what the office keeps of a case beside the file."""
    return {
        "applicant": casework.applicant,
        "actions": case.actions.filter(done_at=None).order_by("due", "pk"),
        "done": case.actions.exclude(done_at=None).order_by("-done_at")[:10],
        "holders": Holder.choices,
        "members": members(),
        "notes": case.notes.select_related("author").order_by("-created_at")[:20],
        "given": case.given.order_by("-given_at")[:10],
    }


def _own(request: HttpRequest, case: Case) -> HttpResponse:
    """Show an applicant their own case: the answers in plain words and what to do next."""
    casework = casework_of(case)
    asked = Action.objects.filter(case=case, is_for_applicant=True, done_at=None).order_by("due")
    tasks = [
        Task(each.text, None if each.due is None else day_from_date(each.due)) for each in asked
    ]
    context = {
        **frame(case, here="overview"),
        "charts": False,
        "applicant": casework.applicant,
        "answers": in_order(casework.answers()),
        "things": casework.next_things(tasks),
        "asked": asked if len(tasks) > 1 else (),
        "question": casework.next_question() if casework.rulebooks else None,
        "given": case.given.filter(sort="brief").order_by("-given_at")[:5],
        "dates": [each for each in casework.coming_dates(()) if not each.is_past],
    }
    return render(request, "cases/own.html", context)


@members_only
@require_safe
def answer(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show one answer, as a part of the page."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    key = chosen_title(asked_title(request), case, casework)
    context = {**frame(case, here="overview"), **answer_context(casework, key)}
    return render(request, "cases/_answer.html", context)


@members_only
@require_safe
def answers(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the cards of all titles, as a part of the page."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    key = chosen_title(asked_title(request), case, casework)
    context = {**frame(case, here="overview"), **answers_context(casework, key)}
    return render(request, "cases/_cards.html", context)


@members_only
@require_safe
def compare(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show all titles under both assumptions."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    context = {
        **frame(case, here="compare"),
        "pairs": [(str(each.named.key), each) for each in casework.comparison()],
        "facts": casework.open_facts(),
    }
    return render(request, "cases/compare.html", context)


@signed_in
@require_safe
def papers(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the papers: what is at hand, what is awaited, what lapses when."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    dates = [each for each in casework.coming_dates(()) if "lapses" in each.sort]
    context = {
        **frame(case, here="papers"),
        "applicant": casework.applicant,
        "lists": [
            _papers_for(request, shown_section(casework.applicant, name, names=casework.names))
            for name in ("papers", "certificates")
        ],
        "dates": dates,
    }
    return render(request, "cases/papers.html", context)


def _papers_for(request: HttpRequest, section: ShownSection) -> ShownSection:
    """Return the papers for whoever reads them: measures and codes are the adviser's."""
    if member_of(request).is_member:
        return section
    plain = {label_of("papers", name) for name in ("status", "issued", "expires")}
    entries = tuple(
        replace(each, lines=tuple(line for line in each.lines if line[0] in plain))
        for each in section.entries
    )
    return replace(section, entries=entries)
