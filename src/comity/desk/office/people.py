"""Letting people in and closing the door behind them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from comity.desk import clock
from comity.desk.access import get_case, member_of, members_only, owner_only
from comity.desk.accounts.joining import new_password_link
from comity.desk.office.forms import InviteForm, InviteMemberForm
from comity.desk.office.views import open_invitations
from comity.store import invitations, people
from comity.store.errors import StoreError
from comity.store.models import Account, Role

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.store.models import Case


@owner_only
@require_http_methods(["GET", "POST"])
def invite_member(request: HttpRequest) -> HttpResponse:
    """Make a link for a colleague."""
    form = InviteMemberForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        return _invited(request, form, role=form.cleaned_data["role"])
    return _asked(request, form)


@members_only
@require_http_methods(["GET", "POST"])
def invite_applicant(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Make a link for an applicant to their own case."""
    case = get_case(request, case_id, may="change")
    form = InviteForm(request.POST or None, initial={"name": case.name})
    if case.account is not None:
        messages.info(request, _("This applicant has an account already."))
        return redirect(f"/cases/{case.pk}")
    if request.method == "POST" and form.is_valid():
        return _invited(request, form, role=Role.APPLICANT, case=case)
    return _asked(request, form, case=case)


@owner_only
@require_POST
def set_active(request: HttpRequest, account_id: int) -> HttpResponse:
    """Close the door to a person, or open it again."""
    person = get_object_or_404(Account, pk=account_id)
    is_active = request.POST.get("active") == "yes"
    try:
        people.set_active(person, is_active=is_active, actor=member_of(request))
    except StoreError as error:
        messages.warning(request, str(error))
        return redirect("desk-office")
    said = _("{name} can sign in again.") if is_active else _("{name} is locked out from now on.")
    messages.success(request, said.format(name=person.name))
    return redirect("desk-office")


@owner_only
@require_POST
def new_password(request: HttpRequest, account_id: int) -> HttpResponse:
    """Make a link by which a person chooses a new password."""
    person = get_object_or_404(Account, pk=account_id, is_active=True)
    address = reverse("desk-new-password", args=new_password_link(person))
    people.note_password_link(person, actor=member_of(request))
    context = {
        "person": person,
        "link": request.build_absolute_uri(address),
        "is_password": True,
    }
    return render(request, "office/link.html", context)


@members_only
@require_POST
def take_back(request: HttpRequest, invitation_id: int) -> HttpResponse:
    """Make an invitation's link useless."""
    invitation = get_object_or_404(open_invitations(request), pk=invitation_id)
    invitations.revoke(invitation, actor=member_of(request), now=clock.now())
    messages.success(request, _("The invitation is taken back; its link opens nothing any more."))
    return redirect("desk-office")


def _asked(request: HttpRequest, form: InviteForm, *, case: Case | None = None) -> HttpResponse:
    context = {"form": form, "case": case}
    return render(request, "office/invite.html", context, status=422 if form.errors else 200)


def _invited(
    request: HttpRequest, form: InviteForm, *, role: str, case: Case | None = None
) -> HttpResponse:
    """Show the link, this once; only its fingerprint is kept."""
    given = form.cleaned_data
    try:
        invitation, token = invitations.invite(
            given["email"],
            name=given["name"],
            role=role,
            case=case,
            actor=member_of(request),
            now=clock.now(),
        )
    except StoreError as error:
        form.add_error(None, str(error))
        return _asked(request, form, case=case)
    address = reverse("desk-invitation", args=[token])
    context = {
        "person": invitation,
        "invitation": invitation,
        "link": request.build_absolute_uri(address),
    }
    return render(request, "office/link.html", context)
