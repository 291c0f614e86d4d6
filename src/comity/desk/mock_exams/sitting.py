"""A form as it is sat: its beginning, its questions, the look back, the end and what came of it.

The time is the server's. Pages of a running sitting are made of `Question`, which knows no key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404, JsonResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from comity.core.exam.sittings import SAID_MINUTES, Standing
from comity.desk import clock
from comity.desk.access import member_of, signed_in
from comity.desk.mock_exams.practising import next_number
from comity.desk.mock_exams.shown import get_sitting, own_sitting, sat
from comity.store import sittings as store
from comity.store.models import Case

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.desk.mock_exams.shown import Sat


@signed_in
@require_safe
def sittings(request: HttpRequest) -> HttpResponse:
    """List an applicant's own sittings; members find them with the forms."""
    account = member_of(request)
    if account.is_member:
        return redirect("desk-exams")
    case = Case.objects.filter(account=account).first()
    if case is None:
        raise Http404
    rows = case.sittings.select_related("form", "case").order_by("-given_at", "-pk")
    now = clock.instant()
    shown = [(each, store.timing_of(each).standing(now)) for each in rows]
    context = {
        "case": case,
        "open": [each for each, standing in shown if standing in _OPEN],
        "over": [each for each, standing in shown if standing not in _OPEN],
    }
    return render(request, "mock_exams/sittings.html", context)


_OPEN = frozenset({Standing.NOT_BEGUN, Standing.RUNNING})


@signed_in
@require_safe
def sitting(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Show what is to be sat before it begins; lead on where one was, or to what came of it."""
    found = get_sitting(request, sitting_id)
    if member_of(request).is_member:
        return redirect("desk-exam-sitting", sitting_id=found.pk)
    shown = sat(found)
    standing = shown.timing.standing(clock.instant())
    if standing is Standing.NOT_BEGUN:
        return render(request, "mock_exams/begin.html", _frame(shown))
    if standing is Standing.RUNNING:
        return redirect("desk-sitting-question", sitting_id=found.pk, number=next_number(shown))
    return redirect("desk-sitting-result", sitting_id=found.pk)


@signed_in
@require_POST
def begin(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Let the time run."""
    found = own_sitting(request, sitting_id)
    store.begin(found, actor=member_of(request), now=clock.instant())
    if request.POST.get("as") == "list":
        return redirect("desk-sitting-all", sitting_id=found.pk)
    return redirect("desk-sitting", sitting_id=found.pk)


@signed_in
@require_safe
def question(request: HttpRequest, sitting_id: UUID, number: int) -> HttpResponse:
    """Show one question with what is answered so far."""
    shown = sat(own_sitting(request, sitting_id))
    if not shown.timing.may_answer(clock.instant()):
        return redirect("desk-sitting", sitting_id=sitting_id)
    if not 1 <= number <= shown.n_questions:
        raise Http404
    return render(request, "mock_exams/question.html", question_context(shown, number))


@signed_in
@require_safe
def everything(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Show all questions under each other."""
    shown = sat(own_sitting(request, sitting_id))
    if shown.is_practice or not shown.timing.may_answer(clock.instant()):
        return redirect("desk-sitting", sitting_id=sitting_id)
    numbers = range(1, shown.n_questions + 1)
    questions = [_asked(shown, number) for number in numbers]
    context = {**_frame(shown), "questions": questions, "as_list": True}
    return render(request, "mock_exams/all.html", context)


@signed_in
@require_safe
def review(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Show what is answered, open and flagged, before one hands in."""
    shown = sat(own_sitting(request, sitting_id))
    if not shown.timing.may_answer(clock.instant()):
        return redirect("desk-sitting", sitting_id=sitting_id)
    places = shown.places()
    context = {
        **_frame(shown),
        "places": places,
        "n_open": sum(not each.is_answered for each in places),
        "n_flagged": sum(each.is_flagged for each in places),
    }
    return render(request, "mock_exams/review.html", context)


@signed_in
@require_POST
def hand_in(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """End the sitting."""
    found = own_sitting(request, sitting_id)
    if found.began_at is None:
        return redirect("desk-sitting", sitting_id=found.pk)
    ended = store.hand_in(found, actor=member_of(request), now=clock.instant())
    if ended.handed_in_at is not None:
        messages.success(request, _("Handed in. Everything you saved is counted."))
    return redirect("desk-sitting-result", sitting_id=found.pk)


@signed_in
@require_safe
def result(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Show what came of a sitting once it has ended."""
    found = get_sitting(request, sitting_id)
    now = clock.instant()
    found = store.settle(found, now=now)
    shown = sat(found)
    if not shown.timing.is_over(now):
        return redirect("desk-sitting", sitting_id=sitting_id)
    context = {
        **_frame(shown),
        "result": shown.result(),
        "is_time_up": shown.timing.standing(now) is Standing.TIME_UP,
        "minutes_taken": shown.timing.minutes_taken(now),
    }
    return render(request, "mock_exams/result.html", context)


@signed_in
@require_safe
def time_left(request: HttpRequest, sitting_id: UUID) -> HttpResponse:
    """Say how many seconds are left, for the page's own count to be put right."""
    timing = store.timing_of(own_sitting(request, sitting_id))
    now = clock.instant()
    return JsonResponse({"seconds": timing.seconds_left(now), "over": timing.is_over(now)})


def question_context(shown: Sat, number: int) -> dict[str, Any]:
    """Return what the page of one question needs."""
    is_told = shown.is_practice and shown.is_answered(number)
    return {
        **_frame(shown),
        **_asked(shown, number),
        "places": shown.places(number),
        "before": number - 1 if number > 1 else None,
        "after": number + 1 if number < shown.n_questions else None,
        "outcome": shown.outcome(number) if is_told else None,
        "next_number": next_number(shown) if shown.is_practice else None,
    }


def _asked(shown: Sat, number: int) -> dict[str, Any]:
    row = shown.row(number)
    return {
        "question": shown.question(number),
        "version": 0 if row is None else row.version,
        "is_flagged": row is not None and row.is_flagged,
        "is_answered": shown.is_answered(number),
    }


def _frame(shown: Sat) -> dict[str, Any]:
    """Return what every page of a sitting shows."""
    now = clock.instant()
    return {
        "sitting": shown.sitting,
        "sat": shown,
        "is_practice": shown.is_practice,
        "seconds_left": shown.timing.seconds_left(now),
        "time_words": time_words(shown.timing.seconds_left(now)),
        "said_minutes": ",".join(map(str, SAID_MINUTES)),
        "minutes_allowed": _minutes(shown),
        "as_list": False,
    }


def _minutes(shown: Sat) -> int | None:
    allowed = shown.timing.allowed
    return None if allowed is None else int(allowed.total_seconds()) // 60


def time_words(seconds: int | None) -> str:
    """Return a time as hours, minutes and seconds; empty without a limit."""
    if seconds is None:
        return ""
    hours, rest = divmod(seconds, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"
