"""What is given out of a case: briefs, messages, letters; each is kept as it was given."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from comity.brief.document import brief_pdf
from comity.brief.letter import letter_pdf
from comity.core.eligibility.discretion import case_for_discretion
from comity.core.eligibility.missing import named
from comity.desk.access import get_case, member_of, members_only, signed_in
from comity.desk.cases.brief_parts import plan_pages, readiness_page
from comity.desk.cases.shown import asked_title, casework_of, chosen_title, frame
from comity.desk.context import office
from comity.service.casework import FICTIONAL, in_order
from comity.service.messages import message_of
from comity.store import given as store

if TYPE_CHECKING:
    from collections.abc import Sequence
    from uuid import UUID

    from django.http import HttpRequest

    from comity.core.eligibility.assessment import Assessment
    from comity.service.casework import Casework
    from comity.store.models import Case

_PDF: Final = "application/pdf"
_TEXT: Final = "text/plain; charset=utf-8"
_ALL: Final = "all"


@signed_in
@require_POST
def brief(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Give out the brief as a PDF, on one title or on all, with plans if asked; it is kept."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    answers = _asked(request, case, casework)
    applicant = casework.applicant
    language = applicant.preferences.language or "en"
    pdf = brief_pdf(
        answers,
        applicant_name=applicant.name or case.reference,
        language=language,
        plans=plan_pages(case, answers, language=language) if "plan" in request.POST else (),
        ready=readiness_page(case, applicant, answers, language=language),
        contact=office().contact,
        notice=FICTIONAL if casework.is_fictional else "",
        facts_said=lambda paths: named(paths, applicant),
    )
    store.give(
        case,
        sort="brief",
        content=pdf,
        media_type=_PDF,
        recipient=_recipient(casework, case),
        assessments=answers,
        actor=member_of(request),
    )
    return _file(pdf, _PDF, f"brief-{case.reference}.pdf")


def _asked(request: HttpRequest, case: Case, casework: Casework) -> tuple[Assessment, ...]:
    """Return the answers that are to be given out.

    Raises
    ------
    Http404
        When no rules are read, so that there is no answer at all.
    """
    title = asked_title(request)
    if title in {"", _ALL}:
        answers = in_order(casework.answers())
    else:
        key = chosen_title(title, case, casework)
        answers = () if key is None else (casework.answer(key),)
    if not answers:
        raise Http404
    return answers


def _recipient(casework: Casework, case: Case) -> str:
    return casework.applicant.name or case.reference


def _file(content: bytes, media_type: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=media_type)
    header = content_disposition_header(as_attachment=True, filename=name)
    response.headers["Content-Disposition"] = header or "attachment"
    return response


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def message(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the answer as a message to copy; once it is taken along it is kept as given."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    answers = _asked(request, case, casework)
    text = _message(casework, answers)
    if request.method == "POST":
        _keep_text(request, case, casework, sort="message", text=text, answers=answers)
    context = {
        **frame(case, here="overview"),
        "text": text,
        "title": asked_title(request),
        "titles": casework.titles(),
        "is_kept": request.method == "POST",
    }
    is_part = request.htmx and request.method == "POST"  # type: ignore[attr-defined]  # (django_htmx)
    return render(request, "cases/_kept.html" if is_part else "cases/message.html", context)


def _message(casework: Casework, answers: Sequence[Assessment]) -> str:
    return message_of(
        answers,
        applicant=casework.applicant,
        contact=office().contact,
        is_fictional=casework.is_fictional,
    )


def _keep_text(
    request: HttpRequest,
    case: Case,
    casework: Casework,
    *,
    sort: str,
    text: str,
    answers: Sequence[Assessment],
) -> None:
    store.give(
        case,
        sort=sort,
        content=text.encode("utf-8"),
        media_type=_TEXT,
        recipient=_recipient(casework, case),
        assessments=answers,
        actor=member_of(request),
    )


@members_only
@require_http_methods(["GET", "HEAD", "POST"])
def letter(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show the draft of a letter of facts to an authority; give it out as a PDF."""
    case = get_case(request, case_id)
    casework = casework_of(case)
    key = chosen_title(asked_title(request), case, casework)
    if key is None:
        raise Http404
    answer = casework.answer(key)
    found = case_for_discretion(
        answer, applicant=casework.applicant, rulebook=casework.rulebook_of(key)
    )
    notice = FICTIONAL if casework.is_fictional else ""
    drafted = found.letter
    if request.method == "POST" and drafted is not None:
        pdf = letter_pdf(drafted, notice=notice)
        store.give(
            case,
            sort="letter",
            content=pdf,
            media_type=_PDF,
            recipient=answer.authority_name,
            assessments=(answer,),
            actor=member_of(request),
        )
        return _file(pdf, _PDF, f"letter-{case.reference}.pdf")
    context: dict[str, Any] = {
        **frame(case, here="overview"),
        "answer": answer,
        "key": str(key),
        "found": found,
        "drafted": drafted,
    }
    return render(request, "cases/letter.html", context)


@signed_in
@require_safe
def given(request: HttpRequest, case_id: UUID, given_id: int) -> HttpResponse:
    """Give back what was given out, as it was given; an applicant gets their own briefs."""
    case = get_case(request, case_id)
    rows = case.given.filter(pk=given_id)
    if not member_of(request).is_member:
        rows = rows.filter(sort="brief")
    found = rows.first()
    content = None if found is None else store.content_of(found)
    if found is None or content is None:
        raise Http404
    ending = "pdf" if found.media_type == _PDF else "txt"
    return _file(content, found.media_type, f"{found.sort}-{case.reference}-{found.pk}.{ending}")


@members_only
@require_POST
def settled(request: HttpRequest, case_id: UUID, given_id: int) -> HttpResponse:
    """Note that the recipient knows what has changed."""
    case = get_case(request, case_id, may="change")
    found = case.given.filter(pk=given_id).first()
    if found is None:
        raise Http404
    store.settle(found, actor=member_of(request))
    return redirect("desk-case", case.pk)
