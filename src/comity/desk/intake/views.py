"""The intake: one question a page, then the answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.desk.access import get_case, member_of, signed_in
from comity.desk.context import office
from comity.desk.intake.steps import intake_of, keep_answer, last_given, take_back
from comity.service.answers import AnswerError
from comity.service.interview import DONT_KNOW, Field, close_of, sheet_for, typed_from
from comity.store.errors import StaleError, StoreError

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse, QueryDict

    from comity.core.eligibility.questions import Question
    from comity.service.intake import Intake
    from comity.store.models import Case

MOST_REASONS: Final = 5


@dataclass(frozen=True, slots=True)
class Filled:
    """A field with what was filled in, to be shown again beside what is amiss."""

    field: Field
    values: tuple[str, ...]

    @property
    def value(self) -> str:
        """What was written."""
        return self.values[0] if self.values else ""


@signed_in
@require_http_methods(["GET", "POST"])
def intake(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Ask the next question; take its answer."""
    case = get_case(request, case_id, may="change")
    running = intake_of(case)
    if not running.titles:
        return render(request, "intake/no_rules.html", {"case": case})
    question = running.next_question()
    if request.method == "POST":
        return _answered(request, case, running, question=question)
    if question is None:
        return redirect("desk-intake-answers", case_id=case.pk)
    return _asked(request, case, running, question=question)


def _asked(
    request: HttpRequest,
    case: Case,
    running: Intake,
    *,
    question: Question,
    error: str = "",
) -> HttpResponse:
    language = translation.get_language() or "en"
    sheet = sheet_for(question, running.vocabulary, language=language)
    n_titles = len(running.titles)
    context: dict[str, Any] = {
        "case": case,
        "question": question,
        "sheet": sheet,
        "fields": [
            Filled(field, tuple(request.POST.getlist(field.name))) for field in sheet.fields
        ],
        "is_buttons": any(field.sort == "yes or no" for field in sheet.fields),
        "reasons": question.because[:MOST_REASONS],
        "n_more": max(0, len(question.because) - MOST_REASONS),
        "n_titles": n_titles,
        "n_settled": n_titles - question.n_open,
        "may_go_back": last_given(case) is not None,
        "error": error,
    }
    return render(request, "intake/question.html", context, status=422 if error else 200)


def _answered(
    request: HttpRequest, case: Case, running: Intake, *, question: Question | None
) -> HttpResponse:
    if question is None or question.path != request.POST.get("path"):
        # Answered in another window, or beside by somebody else.
        messages.warning(
            request,
            _("That question is no longer open, so nothing was kept. Here is how it goes on."),
        )
        return redirect("desk-intake", case_id=case.pk)
    try:
        typed = _typed(request.POST, question, running)
        keep_answer(case, running, question, typed=typed, actor=member_of(request))
    except AnswerError as error:
        return _asked(request, case, running, question=question, error=_sentence(error))
    except StaleError:
        messages.warning(request, _stale())
    except StoreError as error:
        return _asked(request, case, running, question=question, error=_sentence(error))
    return redirect("desk-intake", case_id=case.pk)


def _typed(posted: QueryDict, question: Question, running: Intake) -> str:
    if "dont-know" in posted:
        return DONT_KNOW
    filled = {name: posted.getlist(name) for name in posted}
    language = translation.get_language() or "en"
    return typed_from(question, filled, running.vocabulary, language=language)


def _sentence(error: Exception) -> str:
    said = str(error)
    return f"{said[:1].upper()}{said[1:]}."


def _stale() -> str:
    return _("Somebody else changed this case at the same moment. Please answer once more.")


@signed_in
@require_POST
def intake_back(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Take the last answer back."""
    case = get_case(request, case_id, may="change")
    try:
        if not take_back(case, actor=member_of(request)):
            messages.info(
                request, _("There is no answer to take back; facts can be changed in the case.")
            )
    except StaleError:
        messages.warning(request, _stale())
    return redirect("desk-intake", case_id=case.pk)


@signed_in
@require_safe
def intake_answers(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Say how it stands, in plain words; a no never stands alone."""
    case = get_case(request, case_id)
    running = intake_of(case)
    question = running.next_question()
    context = {
        "case": case,
        "close": close_of(running.final_assessments()),
        "is_open": question is not None and case.closed_at is None,
        "contact": office().contact,
        "may_go_back": case.closed_at is None and last_given(case) is not None,
    }
    return render(request, "intake/answers.html", context)
