"""Answers and flags as they arrive: kept, acknowledged, refused kindly; never silently replaced."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from comity.core.exam.scoring import AnswerError, answer_to
from comity.desk import clock
from comity.desk.access import signed_in
from comity.desk.mock_exams.shown import is_part, own_sitting, sat
from comity.desk.mock_exams.sitting import question_context
from comity.service.mock_sittings import answer_words
from comity.store import sittings as store
from comity.store.errors import StaleError
from comity.store.models import GivenAnswer
from comity.store.sittings import NotBegunError, OverError

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse

    from comity.core.exam.items import Item
    from comity.core.exam.scoring import Answer
    from comity.desk.mock_exams.shown import Sat

_SAID = "mock_exams/_said.html"


@signed_in
@require_POST
def answer(request: HttpRequest, sitting_id: UUID, number: int) -> HttpResponse:
    """Keep an answer and say so."""
    shown = _own(request, sitting_id, number)
    if shown.is_practice and shown.is_answered(number):
        # What was explained cannot be answered anew: the first answer is the one that counts.
        return _go_on(request, shown, number)
    try:
        return _kept(request, shown, number)
    except AnswerError as error:
        return _amiss(request, shown, number, sentence=str(error))
    except StaleError as error:
        return _conflict(request, shown, number, error=error)
    except (OverError, NotBegunError):
        return _too_late(request, shown)


def _kept(request: HttpRequest, shown: Sat, number: int) -> HttpResponse:
    item = shown.bank.items[number - 1]
    given = _given(request, item)
    if shown.is_practice and given.is_blank:
        raise AnswerError(_("answer first, a guess will do"))
    row = store.save_answer(
        shown.sitting, item.id, given, base_version=_version(request), now=clock.instant()
    )
    if is_part(request):
        context = {"row": row, "number": number, "is_blank": given.is_blank}
        return render(request, _SAID, context)
    return _go_on(request, shown, number)


@signed_in
@require_POST
def flag(request: HttpRequest, sitting_id: UUID, number: int) -> HttpResponse:
    """Mark a question to come back to, or no longer."""
    shown = _own(request, sitting_id, number)
    is_flagged = request.POST.get("flagged") == "yes"
    item = shown.bank.items[number - 1]
    try:
        store.set_flag(shown.sitting, item.id, is_flagged=is_flagged, now=clock.instant())
    except (OverError, NotBegunError):
        return _too_late(request, shown)
    if is_part(request):
        context = {"is_flagged": is_flagged, "number": number, "sitting": shown.sitting}
        return render(request, "mock_exams/_flag.html", context)
    return redirect("desk-sitting-question", sitting_id=shown.sitting.pk, number=number)


def _own(request: HttpRequest, sitting_id: UUID, number: int) -> Sat:
    shown = sat(own_sitting(request, sitting_id))
    if not 1 <= number <= shown.n_questions:
        raise Http404
    return shown


def _given(request: HttpRequest, item: Item) -> Answer:
    lines = {
        name.removeprefix("line-"): request.POST.get(name, "")
        for name in _sent(request)
        if name.startswith("line-")
    }
    return answer_to(
        item,
        chosen=tuple(request.POST.getlist("chosen")),
        number=request.POST.get("number", ""),
        matched=lines,
    )


def _version(request: HttpRequest) -> int:
    """Return on which version an answer rests: the one it was told to replace, or was shown."""
    text = request.POST.get("over") or request.POST.get("base_version", "")
    return int(text) if text.isdecimal() and len(text) < 10 else 0  # noqa: PLR2004 - no int so long


def _go_on(request: HttpRequest, shown: Sat, number: int) -> HttpResponse:
    """Lead a page without a script to where its button says."""
    pk = shown.sitting.pk
    if shown.is_practice:
        return redirect("desk-sitting-question", sitting_id=pk, number=number)
    to = request.POST.get("go", "")
    if to == "all":
        return redirect("desk-sitting-all", sitting_id=pk)
    if to == "stay":
        return redirect("desk-sitting-question", sitting_id=pk, number=number)
    if number == shown.n_questions:
        return redirect("desk-sitting-review", sitting_id=pk)
    return redirect("desk-sitting-question", sitting_id=pk, number=number + 1)


def _amiss(request: HttpRequest, shown: Sat, number: int, *, sentence: str) -> HttpResponse:
    said = f"{sentence[:1].upper()}{sentence[1:]}."
    if is_part(request):
        return render(request, _SAID, {"amiss": said, "number": number}, status=422)
    context = {**question_context(shown, number), "amiss": said}
    return render(request, "mock_exams/question.html", context, status=422)


def _conflict(request: HttpRequest, shown: Sat, number: int, *, error: StaleError) -> HttpResponse:
    """Show what another window has answered; one's own takes its place only when asked for."""
    row = error.current
    if not isinstance(row, GivenAnswer):
        raise error
    item = shown.bank.items[number - 1]
    theirs = answer_words(item, store.answer_in(row)) or (_("nothing"),)
    mine = answer_words(item, _given(request, item)) or (_("nothing"),)
    conflict: dict[str, Any] = {"theirs": theirs, "mine": mine, "version": row.version}
    context = {"conflict": conflict, "number": number, "sitting": shown.sitting}
    if is_part(request):
        return render(request, _SAID, context, status=409)
    sent = [(name, value) for name in _sent(request) for value in request.POST.getlist(name)]
    page = {**question_context(shown, number), **context, "sent": sent}
    return render(request, "mock_exams/question.html", page, status=409)


def _sent(request: HttpRequest) -> list[str]:
    """Return the names of the fields of an answer that came with a request."""
    return [
        each for each in request.POST if each in {"chosen", "number"} or each.startswith("line-")
    ]


def _too_late(request: HttpRequest, shown: Sat) -> HttpResponse:
    """Say that the sitting has ended, and that what was saved before is counted."""
    if is_part(request):
        context = {"is_over": True, "sitting": shown.sitting}
        return render(request, _SAID, context, status=409)
    messages.warning(
        request,
        _("This answer came after the end and is not counted. Everything saved before is."),
    )
    return redirect("desk-sitting", sitting_id=shown.sitting.pk)
