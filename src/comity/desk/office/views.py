"""The office's page: what stands on its papers, and who works in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from comity.desk import clock
from comity.desk.access import member_of, members_only, owner_only
from comity.desk.office.forms import OfficeForm
from comity.store.errors import StoreError
from comity.store.models import Account, Invitation, Office, Role
from comity.store.people import change_office

if TYPE_CHECKING:
    from django.db.models import QuerySet
    from django.http import HttpRequest, HttpResponse


@members_only
@require_safe
def office(request: HttpRequest) -> HttpResponse:
    """Show settings, people and open invitations."""
    context = {
        "the_office": get_object_or_404(Office, pk=1),
        "people": Account.objects.exclude(role=Role.APPLICANT).order_by("-is_active", "name"),
        "n_applicants": Account.objects.filter(role=Role.APPLICANT, is_active=True).count(),
        "invitations": open_invitations(request),
    }
    return render(request, "office/office.html", context)


@owner_only
@require_http_methods(["GET", "POST"])
def office_change(request: HttpRequest) -> HttpResponse:
    """Change the settings; who comes second sees what the first one saved."""
    current = get_object_or_404(Office, pk=1)
    form = OfficeForm(request.POST) if request.method == "POST" else OfficeForm.of(current)
    if request.method == "POST" and form.is_valid():
        base = form.cleaned_data["base_version"]
        try:
            change_office(form.values(), base_version=base, actor=member_of(request))
        except StoreError:
            return _conflict(request, form, current)
        messages.success(request, _("The settings are saved."))
        return redirect("desk-office")
    context = {"form": form}
    return render(request, "office/change.html", context, status=422 if form.errors else 200)


def _conflict(request: HttpRequest, form: OfficeForm, current: Office) -> HttpResponse:
    """Show what was written beside what stands there now; sending again is a deliberate choice."""
    again = OfficeForm.of(current, **form.values())
    others = [
        (form.fields[name].label, getattr(current, name))
        for name, value in form.values().items()
        if getattr(current, name) != value
    ]
    context = {"form": again, "others": others}
    return render(request, "office/change.html", context, status=409)


def open_invitations(request: HttpRequest) -> QuerySet[Invitation]:
    """Return the invitations that a person may take back: an owner all, others their own."""
    found = Invitation.objects.filter(
        used_at=None, revoked_at=None, expires_at__gt=clock.now()
    ).select_related("case", "invited_by")
    account = member_of(request)
    mine = found if account.is_owner else found.filter(invited_by=account)
    return mine.order_by("-created_at")
