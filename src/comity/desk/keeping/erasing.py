"""Erasing a case, and what stays of those that were erased."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from comity.desk.access import get_case, member_of, owner_only
from comity.desk.cases.shown import frame
from comity.desk.keeping.forms import EraseForm
from comity.store import erasing
from comity.store.audit import name_of
from comity.store.models import Account, Tombstone

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.store.models import Case


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def erase(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Say what goes and what stays, ask once more, and erase."""
    case = get_case(request, case_id)
    form = EraseForm(request.POST if request.method == "POST" else None, case=case)
    if request.method != "POST":
        return _asked(request, case, form)
    if case.legal_hold:
        return _asked(request, case, form, status=409)
    if not form.is_valid():
        return _asked(request, case, form, status=422)
    try:
        erasing.erase(case, reason=form.cleaned_data["reason"], actor=member_of(request))
    except erasing.LegalHoldError as error:
        form.add_error(None, str(error))
        return _asked(request, case, form, status=409)
    messages.success(request, _("The case is erased. What stays of it stands below."))
    return redirect("desk-case-data-erased")


def _asked(request: HttpRequest, case: Case, form: EraseForm, *, status: int = 200) -> HttpResponse:
    context = {
        **frame(case, here="data"),
        "charts": False,
        "form": form,
        "n_notes": case.notes.count(),
        "n_actions": case.actions.count(),
        "n_consents": case.consents.count(),
        "n_given": case.given.count(),
    }
    return render(request, "keeping/erase.html", context, status=status)


@owner_only
@require_safe
def erased(request: HttpRequest) -> HttpResponse:
    """Show the tombstones: that there was a case, when it went and why; nothing of the person."""
    people = {name_of(each): each.name for each in Account.objects.only("pk", "name")}
    stones = Tombstone.objects.order_by("-erased_at")
    rows = [(each, people.get(each.erased_by, each.erased_by)) for each in stones]
    return render(request, "keeping/erased.html", {"rows": rows})
