"""Calendars at secret addresses: made, shown once, taken back, and read by calendar programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.desk import clock
from comity.desk.access import anyone, get_case, member_of, members_only, signed_in
from comity.desk.cases.shown import frame
from comity.desk.plans.days import calendar_of
from comity.desk.plans.forms import CalendarForm
from comity.desk.plans.throttle import is_too_often, note_failure
from comity.store.feeds import check, feed_of_account, feed_of_case, open_feeds, revoke

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest

_TYPE = "text/calendar; charset=utf-8"


@anyone
@require_safe
def calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """Give the days of a calendar to whoever has its address; nothing else is told."""
    if is_too_often(request):
        return HttpResponse(status=429, headers={"Retry-After": "900"})
    feed = check(secret, now=clock.now())
    if feed is None:
        note_failure(request)
        raise Http404
    headers = {
        "Cache-Control": "no-store",
        "X-Robots-Tag": "noindex",
        "Content-Disposition": 'inline; filename="comity.ics"',
    }
    return HttpResponse(calendar_of(feed), content_type=_TYPE, headers=headers)


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def mine(request: HttpRequest) -> HttpResponse:
    """Show the addresses of one's own calendars, and make one."""
    account = member_of(request)
    form = CalendarForm(request.POST if request.method == "POST" else None)
    address = ""
    if form.is_bound and form.is_valid():
        _row, secret = feed_of_account(account, label=form.cleaned_data["label"])
        address, form = _address(request, secret), CalendarForm()
    context: dict[str, Any] = {
        "feeds": open_feeds(account=account),
        "form": form,
        "address": address,
    }
    return render(request, "plans/my_calendars.html", context, status=422 if form.errors else 200)


@members_only
@require_POST
def take_back_mine(request: HttpRequest, feed_id: int) -> HttpResponse:
    """Take an address of one's own back."""
    account = member_of(request)
    feed = account.feeds.filter(pk=feed_id).first()
    if feed is None:
        raise Http404
    revoke(feed, actor=account, now=clock.now())
    messages.success(request, _("The address is taken back; it opens nothing any more."))
    return redirect("desk-me-calendars")


@signed_in
@require_http_methods(["GET", "HEAD", "POST"])
def of_case(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the addresses of a case's calendar, and make one."""
    is_sent = request.method == "POST"
    case = get_case(request, case_id, may="change" if is_sent else "read")
    form = CalendarForm(request.POST if is_sent else None)
    address = ""
    if form.is_bound and form.is_valid():
        label, actor = form.cleaned_data["label"], member_of(request)
        _row, secret = feed_of_case(case, label=label, actor=actor)
        address, form = _address(request, secret), CalendarForm()
    context: dict[str, Any] = {
        **frame(case, here="plan"),
        "charts": False,
        "feeds": open_feeds(case=case),
        "form": form,
        "address": address,
    }
    return render(request, "plans/calendars.html", context, status=422 if form.errors else 200)


@signed_in
@require_POST
def take_back(request: HttpRequest, case_id: UUID, feed_id: int) -> HttpResponse:
    """Take an address of a case's calendar back, of a closed case, too."""
    case = get_case(request, case_id)
    feed = case.feeds.filter(pk=feed_id).first()
    if feed is None:
        raise Http404
    revoke(feed, actor=member_of(request), now=clock.now())
    messages.success(request, _("The address is taken back; it opens nothing any more."))
    return redirect("desk-case-plan-calendars", case.pk)


def _address(request: HttpRequest, secret: str) -> str:
    return request.build_absolute_uri(reverse("desk-calendar", args=[secret]))
