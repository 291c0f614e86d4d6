"""Rows and values of the core as plain data, in the shapes that the API promises."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from django.core.serializers.json import DjangoJSONEncoder
from django.http import HttpResponse

from comity.desk.api.refusals import problems_of
from comity.service.applicant_json import applicant_as_json
from comity.store.audit import SYSTEM, detail_of
from comity.store.converters import applicant_of, loaded_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.db.models import QuerySet

    from comity.desk.api.asked import Paging
    from comity.store.models import (
        Account,
        Action,
        AuditRecord,
        Case,
        Given,
        Note,
        StoredEdition,
    )

Data = dict[str, Any]


def answered(data: object, *, status: int = 200, version: int | None = None) -> HttpResponse:
    """Return data as JSON; its version, where it has one, as the entity tag."""
    content = json.dumps(data, ensure_ascii=False, cls=DjangoJSONEncoder)
    response = HttpResponse(
        content.encode("utf-8"), status=status, content_type="application/json; charset=utf-8"
    )
    return tagged(response, version)


def tagged(response: HttpResponse, version: int | None) -> HttpResponse:
    """Return a response with a version as its entity tag."""
    if version is not None:
        response.headers["ETag"] = f'"{version}"'
    return response


def page_of(rows: QuerySet[Any], asked: Paging) -> tuple[list[Any], Data]:
    """Return the rows of a page, and the page's own numbers."""
    return some_of(rows, asked, total=rows.count())


def some_of(rows: Any, asked: Paging, *, total: int) -> tuple[list[Any], Data]:  # noqa: ANN401
    """Return some of what can be cut, and the page's own numbers."""
    first = (asked.page - 1) * asked.per_page
    last = first + asked.per_page
    numbers = {
        "page": asked.page,
        "per_page": asked.per_page,
        "total": total,
        "next_page": asked.page + 1 if last < total else None,
    }
    return list(rows[first:last]) if first < total else [], numbers


def person(account: Account | None) -> Data | None:
    """Return somebody of the office."""
    return None if account is None else {"id": account.pk, "name": account.name}


def case_data(case: Case) -> Data:
    """Return a case with its facts."""
    return {
        "id": case.pk,
        "reference": case.reference,
        "name": case.name,
        "version": case.version,
        "document": applicant_as_json(applicant_of(case)),
        "problems": problems_of(loaded_of(case).problems),
        "adviser": person(case.adviser),
        "has_account": case.account_id is not None,
        "next_day": case.next_day,
        "created_at": case.created_at,
        "changed_at": case.changed_at,
        "closed_at": case.closed_at,
        "legal_hold": case.legal_hold,
    }


def action_data(action: Action) -> Data:
    """Return something to do."""
    return {
        "id": action.pk,
        "version": action.version,
        "text": action.text,
        "holder": action.holder,
        "due": action.due,
        "is_for_applicant": action.is_for_applicant,
        "created_at": action.created_at,
        "done_at": action.done_at,
    }


def note_data(note: Note) -> Data:
    """Return a note."""
    return {
        "id": note.pk,
        "text": note.text,
        "author": person(note.author),
        "created_at": note.created_at,
    }


def given_data(given: Given) -> Data:
    """Return what was given out, without its content."""
    return {
        "id": given.pk,
        "sort": given.sort,
        "recipient": given.recipient,
        "given_by": person(given.given_by),
        "given_at": given.given_at,
        "media_type": given.media_type,
        "sha256": given.sha256,
        "settled_at": given.settled_at,
    }


def record_data(record: AuditRecord, people: Mapping[str, Account]) -> Data:
    """Return a record of the audit trail; the program itself is nobody."""
    who = None if record.actor == SYSTEM else people.get(record.actor)
    return {
        "sequence": record.sequence,
        "at": record.at,
        "actor": person(who),
        "action": record.action,
        "detail": detail_of(record),
    }


def edition_data(edition: StoredEdition) -> Data:
    """Return an edition without its text."""
    return {
        "authority": edition.authority,
        "edition": edition.edition,
        "state": edition.state,
        "version": edition.version,
        "digest": edition.digest,
        "created_at": edition.created_at,
        "changed_at": edition.changed_at,
        "put_in_force_at": edition.put_in_force_at,
    }
