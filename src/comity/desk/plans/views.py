"""A case's plan as it is read: the page at once, the plan itself as soon as it is worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_safe

from comity.desk.access import get_case, member_of, signed_in
from comity.desk.cases.shown import asked_title, frame
from comity.desk.plans.made import CannotPlan, plan_of, titles_of
from comity.desk.plans.shown import chosen, plan_context, trial_form
from comity.desk.plans.words import said

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse


@signed_in
@require_safe
def plan(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the frame of a plan's page, which fetches the plan; without scripts the whole of it."""
    case = get_case(request, case_id)
    asked = asked_title(request)
    context: dict[str, Any] = {
        **frame(case, here="plan"),
        "query": urlencode({"title": asked}) if asked else "",
        "is_whole": "whole" in request.GET,
    }
    if context["is_whole"]:
        context |= plan_context(request, case)
    return render(request, "plans/plan.html", context)


@signed_in
@require_safe
def shown(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show a plan, as a part of the page."""
    case = get_case(request, case_id)
    return render(request, part_of(request), plan_context(request, case))


def part_of(request: HttpRequest) -> str:
    """Return the template of a plan for who reads it."""
    return "plans/_plan.html" if member_of(request).is_member else "plans/_own.html"


@signed_in
@require_safe
def what_if(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show what other wishes would change; nothing is saved."""
    case = get_case(request, case_id)
    title = chosen(request, titles_of(case))
    if title is None:
        raise Http404
    before = plan_of(case, title)
    context: dict[str, Any] = {"case": case, "title": title, "problem": "", "said": None}
    if isinstance(before, CannotPlan):
        context["problem"] = before.sentence
        return _tried(request, context)
    form = trial_form(before, request.GET)
    context["trial_form"] = form
    if not form.is_valid():
        return _tried(request, context, status=422)
    after = plan_of(case, title, trial=form.trial())
    if isinstance(after, CannotPlan):
        context["problem"] = after.sentence
    else:
        context["said"] = said(before, after, form.trial())
    return _tried(request, context)


def _tried(request: HttpRequest, context: dict[str, Any], status: int = 200) -> HttpResponse:
    if request.htmx:  # type: ignore[attr-defined]  # (django_htmx)
        return render(request, "plans/_tried.html", context, status=status)
    context |= {**frame(context["case"], here="plan"), "charts": False}
    return render(request, "plans/what_if.html", context, status=status)
