"""Results of real examinations, put into the case's file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from comity.desk.access import get_case, members_only
from comity.desk.cases.fact_forms import Conflict, Spot
from comity.desk.cases.fact_saving import saved
from comity.desk.cases.shown import frame
from comity.desk.plans.forms import ResultForm
from comity.desk.plans.shown import address_of, attempts_of, chosen_plan
from comity.service.editing import WHOLE, Edited, Refused, changed_entry

if TYPE_CHECKING:
    from uuid import UUID

    from django.forms import Form
    from django.http import HttpRequest, HttpResponse

    from comity.store.models import Case

_SECTION = "examinations"


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def result(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the form for a result, and keep what is typed into it."""
    is_sent = request.method == "POST"
    case = get_case(request, case_id, may="change" if is_sent else "read")
    plan = chosen_plan(request, case)
    examinations = [(each.id, each.name) for each in plan.route.title.examinations]
    if not examinations:
        raise Http404
    form = ResultForm(request.POST if is_sent else None, examinations=examinations)
    if is_sent and form.is_valid():
        found = saved(
            request,
            case,
            Spot(_SECTION, "", "case/result entered"),
            make=lambda current: _with_result(current, form.typed()),
        )
        if not isinstance(found, Refused | Conflict):
            messages.success(request, _("The result is kept. The plan goes on from there."))
            return redirect(f"{address_of(case, plan)}#examination")
        put_beside(form, found)
    context: dict[str, Any] = {
        **frame(case, here="plan"),
        "charts": False,
        "form": form,
        "title_key": f"{plan.rulebook.authority.id}/{plan.title_id}",
        "title_name": plan.route.title.name,
        "n_sat": sum(each.number is not None for each in attempts_of(plan)),
        "back": address_of(case, plan),
    }
    return render(request, "plans/result.html", context, status=422 if form.errors else 200)


def _with_result(case: Case, typed: dict[str, str]) -> Edited | Refused:
    return changed_entry(case.document, _SECTION, typed)


def put_beside(form: Form, found: Refused | Conflict) -> None:
    """Put what cannot be taken beside its field."""
    if isinstance(found, Conflict):
        form.add_error(None, _("Somebody else is working on this case; try once more."))
        return
    for name, problem in found.problems.items():
        field = name if name in form.fields and name != WHOLE else None
        form.add_error(field, problem.sentence)
