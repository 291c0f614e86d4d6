"""What is to be done in a case, what the office notes, and what was done."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from ninja import Query, Router

from comity.desk.access import get_case, member_of
from comity.desk.api.asked import ActionQuery, ChangedAction, NewAction, NewNote, Paging
from comity.desk.api.cases import open_case
from comity.desk.api.endpoints import reading, writing
from comity.desk.api.plain import action_data, answered, note_data, page_of, record_data
from comity.desk.api.shapes_work import (
    ActionPage,
    ActionShape,
    HistoryPage,
    NotePage,
    NoteShape,
)
from comity.desk.api.versions import Based, based_on
from comity.store import cases
from comity.store.audit import name_of
from comity.store.errors import StaleError
from comity.store.models import Account, Action, AuditRecord

router = Router(tags=["Work on a case"])


@router.get(
    "/cases/{uuid:case_id}/actions", **reading("api-case-actions", ActionPage, query=ActionQuery)
)
def list_actions(request: HttpRequest, case_id: UUID, asked: Query[ActionQuery]) -> HttpResponse:
    """Return what is to be done in a case, what is due first; what is done on request."""
    rows = get_case(request, case_id).actions.order_by("due", "pk")
    if asked.state != "all":
        rows = rows.filter(done_at__isnull=asked.state == "open")
    found, numbers = page_of(rows, asked)
    return answered({**numbers, "items": [action_data(each) for each in found]})


@router.post(
    "/cases/{uuid:case_id}/actions", **writing("api-case-actions", ActionShape, status=201)
)
def add_action(request: HttpRequest, case_id: UUID, sent: NewAction) -> HttpResponse:
    """Keep something to do."""
    case = open_case(request, case_id)
    action = cases.add_action(
        case,
        sent.text.strip(),
        actor=member_of(request),
        holder=sent.holder,
        due=sent.due,
        is_for_applicant=sent.is_for_applicant,
    )
    return answered(action_data(action), status=201, version=action.version)


@router.patch(
    "/cases/{uuid:case_id}/actions/{int:action_id}", **writing("api-case-action", ActionShape)
)
def change_action(
    request: HttpRequest, case_id: UUID, action_id: int, *, sent: ChangedAction
) -> HttpResponse:
    """Change something to do, mark it as done, or as still to do."""
    case = open_case(request, case_id)
    action = case.actions.filter(pk=action_id).first()
    if action is None:
        raise Http404
    based = based_on(request, sent.version, standing=action.version)
    changed = _with(request, action, sent, based=based)
    return answered(action_data(changed), version=changed.version)


def _with(request: HttpRequest, action: Action, sent: ChangedAction, *, based: Based) -> Action:
    """Return an action with what was sent; the first step checks the version."""
    actor = member_of(request)
    named = sent.model_fields_set - {"version", "is_done"}
    columns = {name: getattr(sent, name) for name in named}
    # Only a day can be taken away; null for the others says: as it is.
    columns = {name: each for name, each in columns.items() if each is not None or name == "due"}
    try:
        action = cases.change_action(action, base_version=based.version, actor=actor, **columns)
    except StaleError as error:
        if not isinstance(error.current, Action):
            raise
        raise based.stale(action_data(error.current)) from error
    if sent.is_done is None:
        return action
    step = cases.finish_action if sent.is_done else cases.reopen_action
    return step(action, actor=actor)


@router.get("/cases/{uuid:case_id}/notes", **reading("api-case-notes", NotePage, query=Paging))
def list_notes(request: HttpRequest, case_id: UUID, asked: Query[Paging]) -> HttpResponse:
    """Return the office's notes on a case, the newest first."""
    rows = get_case(request, case_id).notes.select_related("author").order_by("-pk")
    found, numbers = page_of(rows, asked)
    return answered({**numbers, "items": [note_data(each) for each in found]})


@router.post("/cases/{uuid:case_id}/notes", **writing("api-case-notes", NoteShape, status=201))
def add_note(request: HttpRequest, case_id: UUID, sent: NewNote) -> HttpResponse:
    """Keep a note; applicants do not see it."""
    case = open_case(request, case_id)
    note = cases.add_note(case, sent.text, actor=member_of(request))
    return answered(note_data(note), status=201)


@router.get(
    "/cases/{uuid:case_id}/history", **reading("api-case-history", HistoryPage, query=Paging)
)
def list_history(request: HttpRequest, case_id: UUID, asked: Query[Paging]) -> HttpResponse:
    """Return the audit trail of a case, the newest first."""
    case = get_case(request, case_id)
    rows = AuditRecord.objects.filter(case_id=case.pk).order_by("-sequence")
    found, numbers = page_of(rows, asked)
    people = {name_of(each): each for each in Account.objects.only("pk", "name")}
    return answered({**numbers, "items": [record_data(each, people) for each in found]})
