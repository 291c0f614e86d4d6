"""Following a link: an invitation, or a new password."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.tokens import default_token_generator
from django.shortcuts import redirect, render
from django.utils.http import urlsafe_base64_decode, urlsafe_base64_encode
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters, sensitive_variables
from django.views.decorators.http import require_http_methods

from comity.desk import clock
from comity.desk.access import anyone
from comity.desk.accounts.forms import JoinForm, NewPasswordForm
from comity.desk.accounts.starting import BACKEND
from comity.store import invitations
from comity.store.errors import StoreError
from comity.store.models import Account
from comity.store.people import change_password

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@anyone
@sensitive_post_parameters()
@sensitive_variables("token")
@require_http_methods(["GET", "POST"])
def invitation(request: HttpRequest, token: str) -> HttpResponse:
    """Let an invited person in, who chooses a password."""
    invited = invitations.find(token, now=clock.now())
    if invited is None:
        return _no_longer(request)
    form = JoinForm(request.POST or None, email=invited.email, name=invited.name)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            account = invitations.accept(
                token, password=given["password"], name=given["name"], now=clock.now()
            )
        except StoreError as error:
            form.add_error(None, str(error))
        else:
            login(request, account, backend=BACKEND)
            return redirect("/")
    context = {"form": form, "invitation": invited}
    return render(request, "accounts/invitation.html", context, status=422 if form.errors else 200)


@anyone
@sensitive_post_parameters()
@sensitive_variables("token")
@require_http_methods(["GET", "POST"])
def new_password(request: HttpRequest, who: str, token: str) -> HttpResponse:
    """Let a person who forgot their password choose another one."""
    account = _account_of(who)
    if account is None or not default_token_generator.check_token(account, token):
        return _no_longer(request)
    form = NewPasswordForm(request.POST or None, account=account)
    if request.method == "POST" and form.is_valid():
        change_password(account, form.cleaned_data["new"], actor=account)
        messages.success(request, _("Your password is changed. You can sign in with it now."))
        return redirect("desk-sign-in")
    context = {"form": form, "account": account}
    return render(
        request, "accounts/new_password.html", context, status=422 if form.errors else 200
    )


def new_password_link(account: Account) -> tuple[str, str]:
    """Return what a link for a new password carries: whose, and a token that serves once."""
    who = urlsafe_base64_encode(str(account.pk).encode("ascii"))
    return who, default_token_generator.make_token(account)


def _account_of(who: str) -> Account | None:
    try:
        key = int(urlsafe_base64_decode(who))
    except ValueError:
        return None
    return Account.objects.filter(pk=key, is_active=True).first()


def _no_longer(request: HttpRequest) -> HttpResponse:
    return render(request, "accounts/no_longer.html", status=404)
