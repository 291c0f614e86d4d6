"""Signing in and out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib.auth import login, logout
from django.http import HttpResponseRedirect
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from comity.desk.access import anyone, member_of, signed_in
from comity.desk.accounts.forms import SignInForm
from comity.store import demo, people
from comity.store.models import Role

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse


@anyone
@sensitive_post_parameters()
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for address and password, and lead on to where the person was going."""
    if request.user.is_authenticated:
        return HttpResponseRedirect(_next(request))
    if not people.has_started():
        return redirect("desk-start")
    form = SignInForm(request.POST or None, request=request)
    if request.method == "POST" and form.is_valid() and form.account is not None:
        login(request, form.account)
        people.note_sign_in(form.account, is_in=True)
        return HttpResponseRedirect(_next(request))
    context = {"form": form, "next": request.GET.get("next", ""), **_demo()}
    return render(request, "accounts/sign_in.html", context, status=422 if form.errors else 200)


@signed_in
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """End the session."""
    people.note_sign_in(member_of(request), is_in=False)
    logout(request)
    return redirect("desk-sign-in")


def _demo() -> dict[str, Any]:
    """Return the invented people's sign-in, in the demo."""
    if not settings.DEMO:
        return {}
    people_there = ((Role.OWNER, demo.OWNER), (Role.ADVISER, demo.ADVISER))
    return {
        "demo_people": (*people_there, (Role.APPLICANT, demo.APPLICANT)),
        "demo_password": demo.PASSWORD,
    }


def _next(request: HttpRequest) -> str:
    """Return where to go on: only ever a page of ours."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else home()


def home() -> str:
    """Return the first page's address."""
    return resolve_url(settings.LOGIN_REDIRECT_URL)
