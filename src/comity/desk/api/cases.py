"""A case as members read it, and the changes of its document as a whole."""

from dataclasses import replace
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from ninja import Query, Router

from comity.core.days.calendar import Day, day_from_date, iso
from comity.core.eligibility.assessment import Assessment
from comity.desk import clock
from comity.desk.access import get_case, member_of
from comity.desk.api.applicants import adviser_of, text_of
from comity.desk.api.asked import AnswerQuery, ChangedCase, ChangedDocument, Paging
from comity.desk.api.bodies import YAML
from comity.desk.api.endpoints import reading, writing
from comity.desk.api.finding import unknown_title
from comity.desk.api.plain import answered, case_data, given_data, page_of, tagged
from comity.desk.api.refusals import Kind, Refusal
from comity.desk.api.shapes import AnswerShape, CaseShape
from comity.desk.api.shapes_work import Dates, GivenPage
from comity.desk.api.versions import Based, based_on
from comity.desk.cases.shown import casework_of
from comity.service.assessing import Asked, Inputs, assess_all
from comity.service.assessment_json import assessment_data, assessments_data
from comity.service.casework import Casework
from comity.store.cases import change_document, close_case, reopen_case, set_adviser
from comity.store.converters import loaded_of
from comity.store.errors import StaleError
from comity.store.models import ApiToken, Case
from comity.store.rulebooks import loaded_in_force

router = Router(tags=["Cases"])


@router.get("/cases/{uuid:case_id}", **reading("api-case", CaseShape))
def read_case(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Return a case: its document as JSON, and what frames it. The ETag is its version."""
    case = get_case(request, case_id)
    return answered(case_data(case), version=case.version)


@router.patch("/cases/{uuid:case_id}", **writing("api-case", CaseShape))
def change_case(request: HttpRequest, case_id: UUID, sent: ChangedCase) -> HttpResponse:
    """Close a case, open it again, or put it in somebody's care."""
    case = get_case(request, case_id)
    actor = member_of(request)
    adviser = adviser_of(sent.adviser)
    if sent.is_closed is False and case.closed_at is not None:
        case = reopen_case(case, actor=actor)
    if "adviser" in sent.model_fields_set and adviser != case.adviser:
        case = set_adviser(case, adviser, actor=actor)
    if sent.is_closed and case.closed_at is None:
        case = close_case(case, actor=actor, reason=sent.reason.strip())
    return answered(case_data(case), version=case.version)


@router.get(
    "/cases/{uuid:case_id}/document",
    **reading("api-case-document", str, openapi_extra={"x-media-type": YAML}),
)
def read_document(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Return the applicant file as it is kept, comments included."""
    case = get_case(request, case_id)
    response = HttpResponse(case.document.encode("utf-8"), content_type=YAML)
    return tagged(response, case.version)


@router.put("/cases/{uuid:case_id}/document", **writing("api-case-document", CaseShape))
def replace_document(request: HttpRequest, case_id: UUID, sent: ChangedDocument) -> HttpResponse:
    """Put another applicant file in the place of the one there."""
    case = open_case(request, case_id)
    based = based_on(request, sent.version, standing=case.version)
    text = text_of(sent)
    changed = changed_document(request, case, text, based=based)
    return answered(case_data(changed), version=changed.version)


@router.get(
    "/cases/{uuid:case_id}/answers",
    **reading("api-case-answers", list[AnswerShape], query=AnswerQuery),
)
def read_answers(request: HttpRequest, case_id: UUID, asked: Query[AnswerQuery]) -> HttpResponse:
    """Return the answers on all titles or some: the same JSON as of `comity assess --json`."""
    case = get_case(request, case_id)
    answers = _confirmed(case, asked) if asked.confirmed_only else _kept(case, asked)
    if not answers and (asked.title or asked.authority):
        raise unknown_title("/".join(filter(None, (asked.authority, asked.title))))
    return answered(assessments_data(answers))


def _kept(case: Case, asked: AnswerQuery) -> list[Assessment]:
    """Return answers as the desk's pages work them out, which keep them while they hold."""
    casework = replace(casework_of(case), on=_day(asked))
    return [
        casework.answer(each.key, asked.assumption)
        for each in casework.titles()
        if asked.title in {None, each.key.title} and asked.authority in {None, each.key.authority}
    ]


def _confirmed(case: Case, asked: AnswerQuery) -> list[Assessment]:
    """Return answers that count only what its issuer has confirmed."""
    answers = assess_all(
        Inputs((loaded_of(case),), loaded_in_force(), ()),
        Asked(_day(asked), asked.title, asked.assumption, confirmed_only=True),
        today_at=clock.today_at,
    )
    return [each for each in answers if asked.authority in {None, each.authority}]


def _day(asked: AnswerQuery) -> Day | None:
    return None if asked.on is None else day_from_date(asked.on)


@router.get("/cases/{uuid:case_id}/dates", **reading("api-case-dates", Dates))
def read_dates(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Return each title's open dates under both assumptions, and the days to keep in mind."""
    casework = casework_of(get_case(request, case_id))
    answers = casework.answers()
    found = [_open(each) for each in (*answers, *casework.answers("stops"))]
    return answered({"open": found, "coming": _coming(casework, answers)})


def _open(answer: Assessment) -> dict[str, object]:
    said = assessment_data(answer)
    keys = ("authority", "title", "authority_name", "title_name", "assumption", "windows")
    return {key: said[key] for key in keys}


def _coming(casework: Casework, answers: tuple[Assessment, ...]) -> list[dict[str, object]]:
    return [
        {
            "day": iso(each.day),
            "sort": each.sort,
            "subject": each.subject,
            "is_past": each.is_past,
            "is_about": each.is_about,
            "entry": each.entry,
        }
        for each in casework.coming_dates(answers)
    ]


@router.get("/cases/{uuid:case_id}/given", **reading("api-case-given", GivenPage, query=Paging))
def list_given(request: HttpRequest, case_id: UUID, asked: Query[Paging]) -> HttpResponse:
    """Return what was given out of a case, the newest first."""
    case = get_case(request, case_id)
    rows = case.given.select_related("given_by").defer("content", "basis").order_by("-pk")
    found, numbers = page_of(rows, asked)
    return answered({**numbers, "items": [given_data(each) for each in found]})


# --------------------------------------------------------------------------- for all changes


def open_case(request: HttpRequest, case_id: UUID) -> Case:
    """Return a case that may be changed."""
    case = get_case(request, case_id)
    if case.closed_at is not None:
        raise Refusal(Kind.CLOSED, "open the case again first; nothing was changed")
    return case


def changed_document(
    request: HttpRequest,
    case: Case,
    text: str,
    *,
    based: Based,
    detail: dict[str, object] | None = None,
) -> Case:
    """Return a case with another document, recorded with the token that brought it."""
    try:
        return change_document(
            case,
            text,
            base_version=based.version,
            actor=member_of(request),
            detail={**(detail or {}), "token": token_of(request).pk},
        )
    except StaleError as error:
        raise based.stale(standing_of(error.current)) from error


def standing_of(current: object) -> dict[str, object]:
    """Return what stands in a case now, for who came second."""
    if not isinstance(current, Case):
        msg = f"{current!r} is no case"
        raise TypeError(msg)
    data = case_data(current)
    return {name: data[name] for name in ("id", "version", "document", "changed_at")}


def token_of(request: HttpRequest) -> ApiToken:
    """Return the token that was shown; only behind the door."""
    token = getattr(request, "auth", None)
    if not isinstance(token, ApiToken):
        msg = f"{request.path} was reached without a token"
        raise TypeError(msg)
    return token
