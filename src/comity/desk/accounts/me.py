"""One's own account: password, language, where one is signed in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from comity.desk import clock
from comity.desk.access import member_of, members_only, signed_in
from comity.desk.accounts.forms import LanguageForm, PasswordForm, TokenForm
from comity.store import people, tokens

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@signed_in
@require_safe
def me(request: HttpRequest) -> HttpResponse:
    """Show what one can change of one's own account."""
    return _page(request)


@signed_in
@sensitive_post_parameters()
@require_POST
def me_password(request: HttpRequest) -> HttpResponse:
    """Change the password; every other place is signed out by that."""
    account = member_of(request)
    form = PasswordForm(request.POST, account=account)
    if not form.is_valid():
        return _page(request, password_form=form)
    people.change_password(account, form.cleaned_data["new"], actor=account)
    update_session_auth_hash(request, account)
    messages.success(request, _("Your password is changed. Everywhere else you are signed out."))
    return redirect("desk-me")


@signed_in
@require_POST
def me_language(request: HttpRequest) -> HttpResponse:
    """Change the language of one's pages."""
    account = member_of(request)
    form = LanguageForm(request.POST)
    if not form.is_valid():
        return _page(request, language_form=form)
    account.language = form.cleaned_data["language"]
    account.save(update_fields=["language"])
    return redirect("desk-me")


@signed_in
@require_POST
def me_elsewhere(request: HttpRequest) -> HttpResponse:
    """Sign out everywhere but here."""
    n_ended = people.end_sessions(member_of(request), but=request.session.session_key)
    messages.success(
        request,
        ngettext(
            "You are signed out in one other place.",
            "You are signed out in %(n)d other places.",
            n_ended,
        )
        % {"n": n_ended},
    )
    return redirect("desk-me")


@members_only
@require_POST
def me_token_issue(request: HttpRequest) -> HttpResponse:
    """Issue a token and show it, this once."""
    form = TokenForm(request.POST)
    if not form.is_valid():
        return _page(request, token_form=form)
    given = form.cleaned_data
    _row, token = tokens.issue(
        member_of(request),
        label=given["label"],
        scopes=("read", "write") if given["may_write"] else ("read",),
        days=given["days"],
        now=clock.now(),
    )
    return _page(request, new_token=token)


@members_only
@require_POST
def me_token_revoke(request: HttpRequest, token_id: int) -> HttpResponse:
    """Take a token of one's own back."""
    token = member_of(request).tokens.filter(pk=token_id).first()
    if token is not None:
        tokens.revoke(token, actor=member_of(request), now=clock.now())
        messages.success(request, _("The token is taken back; it opens nothing any more."))
    return redirect("desk-me")


def _page(request: HttpRequest, **shown: Any) -> HttpResponse:  # noqa: ANN401 - forms by name
    """Return the page with whichever form was just filled in."""
    account = member_of(request)
    n_elsewhere = sum(
        each.session_key != request.session.session_key for each in people.sessions_of(account)
    )
    context = {
        "password_form": PasswordForm(account=account),
        "language_form": LanguageForm(initial={"language": account.language or "en"}),
        "token_form": TokenForm(),
        "tokens": people.open_tokens(account),
        "now": clock.now(),
        "n_elsewhere": n_elsewhere,
        **shown,
    }
    status = 422 if any(getattr(each, "errors", None) for each in shown.values()) else 200
    return render(request, "accounts/me.html", context, status=status)
