"""Applicants: found by filters or words, and taken in."""

import json
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from ninja import Query, Router

from comity.desk.access import member_of
from comity.desk.api.asked import Filters, NewApplicant, Search, SentDocument
from comity.desk.api.endpoints import reading, writing
from comity.desk.api.finding import found_page
from comity.desk.api.plain import answered, case_data
from comity.desk.api.refusals import Kind, Refusal, problem, problems_of
from comity.desk.api.shapes import ApplicantPage, CaseShape
from comity.desk.cases.actions import members
from comity.files.applicants import read_applicant
from comity.files.dumping import dump_yaml
from comity.store.cases import add_case
from comity.store.models import Account

router = Router(tags=["Applicants"])
FILE = "document"
"""What a sent document is called in problems."""


@router.get("/applicants", **reading("api-applicants", ApplicantPage, query=Filters))
def list_applicants(request: HttpRequest, asked: Query[Filters]) -> HttpResponse:
    """Return applicants by filters, a page at a time, with the verdicts kept for each."""
    del request
    return answered(found_page(asked))


@router.post(
    "/applicants/search",
    **reading("api-applicants-search", ApplicantPage),
)
def search_applicants(request: HttpRequest, asked: Search) -> HttpResponse:
    """Return applicants by words of their name or reference too; words stay out of addresses."""
    del request
    return answered(found_page(asked, asked.text))


@router.post("/applicants", **writing("api-applicants", CaseShape, status=201))
def add_applicant(request: HttpRequest, sent: NewApplicant) -> HttpResponse:
    """Take an applicant in: a file as YAML, or the same as JSON."""
    adviser = adviser_of(sent.adviser)
    case = add_case(text_of(sent), actor=member_of(request), adviser=adviser, file=FILE)
    response = answered(case_data(case), status=201, version=case.version)
    response.headers["Location"] = reverse("api:api-case", args=[case.pk])
    return response


def adviser_of(number: int | None) -> Account | None:
    """Return who is to have a case in their care."""
    found = None if number is None else members().filter(pk=number).first()
    if number is not None and found is None:
        mended = problem(
            "A104",
            "nobody who works in the office has this number",
            at="body/adviser",
            got=str(number),
            expected="the id of an owner or adviser who may sign in",
        )
        raise Refusal(Kind.NOT_VALID, "the adviser is not known; nothing was changed", (mended,))
    return found


def text_of(sent: SentDocument) -> str:
    """Return the applicant file that was sent: its text, or its values written down anew."""
    if (sent.text is None) == (sent.document is None):
        mended = problem("A103", "send either text or document", at="body")
        raise Refusal(Kind.NOT_VALID, "it is not clear what the document is", (mended,))
    return _written(sent.document) if sent.text is None else sent.text


def _written(document: dict[str, Any] | None) -> str:
    """Return a file of what was sent as JSON; problems name lines of it, two spaces a step."""
    text = json.dumps(document, ensure_ascii=False, indent=2)
    found = read_applicant(text, FILE)
    if found.applicant is None or not found.is_sound:
        detail = "the document cannot be taken; lines are those of it indented by two spaces"
        mended = problems_of(found.problems, at="body/document")
        raise Refusal(Kind.NOT_VALID, detail, tuple(mended))
    return dump_yaml(found.applicant)
