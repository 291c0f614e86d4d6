"""Payments made, put into the case's file; a second one for the same thing is asked about first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from comity.desk import clock
from comity.desk.access import get_case, members_only
from comity.desk.cases.fact_forms import Spot
from comity.desk.cases.fact_saving import saved
from comity.desk.cases.shown import frame
from comity.desk.plans.forms import PaymentForm
from comity.desk.plans.results import put_beside
from comity.desk.plans.shown import address_of, chosen_plan
from comity.desk.templatetags.desk import day as in_words
from comity.service.editing import Edited, Refused, changed_entry
from comity.service.plan_payments import paid_before, purposes_of
from comity.store.converters import applicant_of
from comity.store.models import Case

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

_SECTION = "payments"


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def payment(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the form for a payment, and keep what is typed into it."""
    is_sent = request.method == "POST"
    case = get_case(request, case_id, may="change" if is_sent else "read")
    plan = chosen_plan(request, case)
    form = PaymentForm(
        request.POST if is_sent else None, purposes=purposes_of(plan), today=clock.today_at()
    )
    if is_sent and form.is_valid() and not _is_twice(form, case):
        found = saved(
            request,
            case,
            Spot(_SECTION, "", "case/payment entered"),
            make=lambda current: _with_payment(current, form.typed()),
        )
        if isinstance(found, Case):
            messages.success(request, _("The payment is kept. The budget goes on from there."))
            return redirect(f"{address_of(case, plan)}#payments")
        put_beside(form, found)
    context: dict[str, Any] = {
        **frame(case, here="plan"),
        "charts": False,
        "form": form,
        "title_key": f"{plan.rulebook.authority.id}/{plan.title_id}",
        "title_name": plan.route.title.name,
        "back": address_of(case, plan),
    }
    return render(request, "plans/payment.html", context, status=422 if form.errors else 200)


def _is_twice(form: PaymentForm, case: Case) -> bool:
    """Tell whether the same was paid before and nobody said that it is meant; ask then."""
    if form.cleaned_data["again"]:
        return False
    attempt = form.cleaned_data["attempt"]
    before = paid_before(applicant_of(case), form.named, attempt)
    if not before:
        return False
    words = {"amount": before[0].amount, "day": in_words(before[0].on)}
    form.add_error(
        None,
        _(
            "This was paid before: %(amount)s on %(day)s. Nothing is saved yet. If it is another"
            " attempt, say which; if it was paid by mistake, ask for it back."
        )
        % words,
    )
    form.ask_again()
    return True


def _with_payment(case: Case, typed: dict[str, str]) -> Edited | Refused:
    return changed_entry(case.document, _SECTION, typed)
