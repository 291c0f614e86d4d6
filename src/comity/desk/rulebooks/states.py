"""An edition put in force or withdrawn, and the answers worked out anew afterwards."""

from __future__ import annotations

from contextlib import suppress
from time import monotonic
from typing import TYPE_CHECKING, Final
from uuid import UUID

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from comity.core.rulebook.diff import changes
from comity.desk import clock
from comity.desk.access import member_of, members_only
from comity.desk.rulebooks.looking import checked, stored
from comity.service.impact import step_to
from comity.store.errors import StaleError, StoreError, UnreadableError
from comity.store.models import Case
from comity.store.rulebooks import put_in_force, rulebooks_in_force, withdraw
from comity.store.spans import out_of_date
from comity.store.spans import refresh as refresh_case

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from comity.desk.rulebooks.looking import Checked

SECONDS_AT_ONCE: Final = 1.5
"""How long one request works at it, so that the page keeps answering."""
MOST_AT_ONCE: Final = 100
_MOST_SENTENCES: Final = 12


@members_only
@require_http_methods(["GET", "POST"])
def put_edition_in_force(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Show what there is to know before an edition counts; then let it count."""
    current = stored(authority, edition)
    found = checked(current.text, runs_cases=True)
    if request.method == "POST" and found.is_sound:
        current.version = _base_version(request)
        try:
            put_in_force(current, actor=member_of(request))
        except (StaleError, UnreadableError) as error:
            messages.error(request, _sentence(error))
            return redirect("desk-rulebook-force", authority=authority, edition=edition)
        messages.success(request, _("The edition is in force."))
        return redirect("desk-rulebook-refresh")
    context = {"stored": current, "found": found, **_differences(found)}
    status = 422 if request.method == "POST" else 200
    return render(request, "rulebooks/put_in_force.html", context, status=status)


def _differences(found: Checked) -> dict[str, object]:
    """Return what an edition asks otherwise than the one before it."""
    if found.edition is None:
        return {"before": None, "asked": [], "n_more": 0}
    step = step_to(found.edition, rulebooks_in_force(), today=clock.today_at())
    if step.old is None:
        return {"before": None, "asked": [], "n_more": 0}
    asked = [each.sentence for each in changes(step.old, step.new) if each.sort != "source"]
    return {
        "before": step.old,
        "asked": asked[:_MOST_SENTENCES],
        "n_more": max(0, len(asked) - _MOST_SENTENCES),
    }


@members_only
@require_POST
def withdraw_edition(request: HttpRequest, authority: str, edition: str) -> HttpResponse:
    """Let an edition no longer count."""
    current = stored(authority, edition)
    current.version = _base_version(request)
    try:
        withdraw(current, actor=member_of(request))
    except StoreError as error:
        messages.error(request, _sentence(error))
        return redirect("desk-rulebook", authority=authority, edition=edition)
    messages.success(request, _("The edition is withdrawn. No answer rests on it any more."))
    return redirect("desk-rulebook-refresh")


def _base_version(request: HttpRequest) -> int:
    base = request.POST.get("base_version", "")
    return int(base) if base.isdecimal() else 0


def _sentence(error: Exception) -> str:
    said = str(error)
    return f"{said[:1].upper()}{said[1:]}."


@members_only
@require_http_methods(["GET", "POST"])
def refresh(request: HttpRequest) -> HttpResponse:
    """Work the applicants' dates out anew, a little at a time, until all rest on what is in force.

    Lists and filters read these dates; an answer on a case's own page is always worked out.
    """
    after = _after(request.POST.get("after", "")) if request.method == "POST" else None
    if request.method == "POST":
        after = _refresh_some(after)
    left = out_of_date()
    if after is not None:
        left = left.filter(pk__gt=after)
    n_all, n_left = Case.objects.count(), left.count()
    context = {"n_all": n_all, "n_done": n_all - n_left, "n_left": n_left, "after": after or ""}
    template = "rulebooks/_refresh.html" if request.headers.get("HX-Request") else None
    return render(request, template or "rulebooks/refresh.html", context)


def _after(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None


def _refresh_some(after: UUID | None) -> UUID | None:
    """Refresh cases behind a mark for a while; return the mark of the last one."""
    until = monotonic() + SECONDS_AT_ONCE
    left = out_of_date().order_by("pk")
    if after is not None:
        left = left.filter(pk__gt=after)
    for case in left[:MOST_AT_ONCE]:
        # What cannot be read is shown on the case's own page.
        with suppress(UnreadableError):
            refresh_case(case)
        after = case.pk
        if monotonic() > until:
            break
    return after
