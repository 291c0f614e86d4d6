"""What was done on the way, put into the case's file with its real day, and taken out again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from comity.desk import clock
from comity.desk.access import get_case, member_of, signed_in
from comity.desk.cases.fact_forms import Conflict, Spot
from comity.desk.cases.fact_saving import saved
from comity.desk.cases.shown import frame
from comity.desk.plans.forms import DoneForm
from comity.desk.plans.shown import address_of, chosen_plan
from comity.service.editing import Edited, Refused, changed_entry, removed_entry
from comity.service.plan_shown import done_of, full_name

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.service.planning import Plan
    from comity.store.models import Case

_SECTION = "progress"


@signed_in
@require_POST
def done(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Keep that a step was taken or a milestone reached, on its real day."""
    case = get_case(request, case_id, may="change")
    plan = chosen_plan(request, case)
    form = DoneForm(request.POST, today=clock.today_at())
    label = _nameable(request, plan).get(request.POST.get("name", ""))
    if label is None:
        raise Http404
    if not form.is_valid():
        context = {
            **frame(case, here="plan"),
            "charts": False,
            "form": form,
            "label": label,
            "title_key": f"{plan.rulebook.authority.id}/{plan.title_id}",
            "back": address_of(case, plan),
        }
        return render(request, "plans/done.html", context, status=422)
    typed = {"milestone": form.cleaned_data["name"], "on": form.cleaned_data["on"].isoformat()}
    found = saved(
        request,
        case,
        Spot(_SECTION, "", "case/step done"),
        make=lambda current: _with_done(current, typed),
    )
    if isinstance(found, Refused | Conflict):
        messages.error(request, _("That could not be saved; look at the facts of the case."))
    else:
        messages.success(
            request, _("“%(what)s” is done. The plan goes on from there.") % {"what": label}
        )
    return redirect(f"{address_of(case, plan)}#next")


def _with_done(case: Case, typed: dict[str, str]) -> Edited | Refused:
    return changed_entry(case.document, _SECTION, typed)


@signed_in
@require_POST
def undone(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Take out of the file again that something was done; the history keeps it."""
    case = get_case(request, case_id, may="change")
    plan = chosen_plan(request, case)
    entry = request.POST.get("entry", "")
    is_member = member_of(request).is_member
    mine = {each.entry: each for each in done_of(plan) if is_member or each.is_applicants}
    if entry not in mine:
        raise Http404
    found = saved(
        request,
        case,
        Spot(_SECTION, entry, "case/step undone"),
        make=lambda current: _without(current, entry),
    )
    if isinstance(found, Refused | Conflict):
        messages.error(request, _("That could not be saved; look at the facts of the case."))
    else:
        what = {"what": mine[entry].label}
        messages.success(request, _("“%(what)s” is still to be done.") % what)
    return redirect(f"{address_of(case, plan)}#next")


def _without(case: Case, entry: str) -> Edited | Refused:
    try:
        return removed_entry(case.document, _SECTION, entry=entry)
    except KeyError:  # somebody else was quicker
        return Refused({})


def _nameable(request: HttpRequest, plan: Plan) -> dict[str, str]:
    """Return what may be marked as done by who asks: names in the file, with their labels.

    An applicant tells of their own steps; what others did the office writes down.
    """
    is_member = member_of(request).is_member
    named = {
        full_name(plan, each.id): each.label
        for each in plan.route.title.steps
        if not each.sits and (is_member or each.party == "applicant" or each.gets)
    }
    if is_member:
        title = plan.route.title
        named |= {full_name(plan, each.id): each.label for each in title.milestones}
    return named
