"""Single facts changed where they stand: the file around them, comments included, stays."""

import difflib
from collections.abc import Mapping
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from ninja import Router

from comity.desk.api.asked import ChangedFact, NoneOfIt
from comity.desk.api.cases import changed_document, open_case, standing_of
from comity.desk.api.endpoints import writing
from comity.desk.api.plain import answered, case_data
from comity.desk.api.refusals import Kind, Refusal, as_written, problem
from comity.desk.api.shapes import CaseShape
from comity.desk.api.versions import Based, based_on
from comity.desk.cases.shown import casework_of
from comity.service.casework_offers import offers_of
from comity.service.editing import (
    SINGLE,
    Edited,
    Refused,
    changed_entry,
    controls_of,
    record_of,
    removed_entry,
    with_none,
)
from comity.service.editing_fields import FieldProblem
from comity.service.editing_shown import shown_entry
from comity.service.editing_words import SECTION_WORDS
from comity.store.models import Case

router = Router(tags=["Facts"])
_SECTION = "/cases/{uuid:case_id}/facts/{section}"


@router.post(_SECTION, **writing("api-case-facts-section", CaseShape, status=201))
def add_fact(
    request: HttpRequest, case_id: UUID, section: str, *, sent: ChangedFact
) -> HttpResponse:
    """Add an entry to a section that is a list, such as practice."""
    case = _found(request, case_id, section)
    if section in SINGLE:
        raise Http404
    based = _based(request, case, sent.version)
    return _changed(request, case, _typed(case, section, sent), based=based, at=(section, ""))


@router.patch(_SECTION, **writing("api-case-facts-section", CaseShape))
def change_single(
    request: HttpRequest, case_id: UUID, section: str, *, sent: ChangedFact
) -> HttpResponse:
    """Change fields of a section that is no list: about, person or preferences."""
    case = _found(request, case_id, section)
    if section not in SINGLE:
        raise Http404
    based = _based(request, case, sent.version)
    return _changed(request, case, _typed(case, section, sent), based=based, at=(section, ""))


@router.put(f"{_SECTION}/none", **writing("api-case-facts-none", CaseShape))
def none_of_it(
    request: HttpRequest, case_id: UUID, section: str, *, sent: NoneOfIt
) -> HttpResponse:
    """Keep that there is nothing of a section: asked, and none; a section that is filled stays."""
    case = _found(request, case_id, section)
    if section in SINGLE:
        raise Http404
    based = _based(request, case, sent.version)
    edited = with_none(case.document, section)
    return _changed(request, case, edited, based=based, at=(section, ""))


@router.patch(f"{_SECTION}/{{entry}}", **writing("api-case-facts-entry", CaseShape))
def change_fact(
    request: HttpRequest, case_id: UUID, section: str, *, entry: str, sent: ChangedFact
) -> HttpResponse:
    """Change fields of one entry; what is not named stays."""
    case = _found(request, case_id, section, entry=entry)
    based = _based(request, case, sent.version)
    edited = _typed(case, section, sent, entry=entry)
    return _changed(request, case, edited, based=based, at=(section, entry))


@router.delete(f"{_SECTION}/{{entry}}", **writing("api-case-facts-entry", CaseShape))
def remove_fact(request: HttpRequest, case_id: UUID, section: str, *, entry: str) -> HttpResponse:
    """Take one entry out; the version goes into If-Match."""
    case = _found(request, case_id, section, entry=entry)
    based = _based(request, case, None)
    edited = removed_entry(case.document, section, entry=entry)
    return _changed(request, case, edited, based=based, at=(section, entry))


def _found(request: HttpRequest, case_id: UUID, section: str, *, entry: str = "") -> Case:
    """Return a case that may be changed and has such a section, and the entry if one is named."""
    case = open_case(request, case_id)
    if section not in SECTION_WORDS:
        raise Http404
    if entry and (section in SINGLE or _is_missing(case, section, entry)):
        raise Http404
    return case


def _is_missing(case: Case, section: str, entry: str) -> bool:
    return record_of(casework_of(case).applicant, section, entry) is None


def _based(request: HttpRequest, case: Case, sent: int | None) -> Based:
    """Return the version a change was made from, which has to stand there still."""
    based = based_on(request, sent, standing=case.version)
    if based.version != case.version:
        raise based.stale(standing_of(case))
    return based


def _typed(case: Case, section: str, sent: ChangedFact, *, entry: str = "") -> Edited | Refused:
    """Return the file with fields as they were typed."""
    casework = casework_of(case)
    offers = offers_of(casework)
    controls = controls_of(casework.applicant, section, entry=entry, offers=offers)
    _check_names(sent.fields, {each.name for each in controls})
    typed = {name: _as_typed(value) for name, value in sent.fields.items()}
    return changed_entry(case.document, section, typed, entry=entry, offers=offers)


def _as_typed(value: str | list[str] | None) -> str:
    if isinstance(value, list):
        return "; ".join(each.replace(";", ",") for each in value if each.strip())
    return value or ""


def _check_names(sent: Mapping[str, object], known: set[str]) -> None:
    mended = tuple(_unknown(name, known) for name in sent if name not in known)
    if mended:
        raise Refusal(Kind.NOT_VALID, "some fields are not known; nothing was changed", mended)


def _unknown(name: str, known: set[str]) -> dict[str, object]:
    close = difflib.get_close_matches(name, known, n=1)
    return problem(
        "A102",
        "an entry of this section has no such field",
        at=f"body/fields/{name}",
        got=as_written(name),
        expected=f"one of {', '.join(sorted(known))}",
        hint=f"did you mean {close[0]}?" if close else "",
    )


def _changed(
    request: HttpRequest, case: Case, edited: Edited | Refused, *, based: Based, at: tuple[str, str]
) -> HttpResponse:
    """Keep an edited file, or say why it cannot be."""
    if isinstance(edited, Refused):
        mended = tuple(_refused(name, each) for name, each in edited.problems.items())
        raise Refusal(Kind.NOT_VALID, "some fields cannot be taken; nothing was changed", mended)
    section, entry = at[0], at[1] or edited.entry
    names = casework_of(case).names
    shown = shown_entry(edited.applicant, section, entry=entry, names=names)
    name = shown.name if shown else SECTION_WORDS[section].heading
    detail: dict[str, object] = {"section": section, "entry": entry, "name": name}
    changed = changed_document(request, case, edited.text, based=based, detail=detail)
    status = 201 if request.method == "POST" else 200
    return answered(case_data(changed), status=status, version=changed.version)


def _refused(name: str, found: FieldProblem) -> dict[str, object]:
    return problem(
        "A104",
        found.rule or "this cannot be taken",
        at=f"body/fields/{name}" if name else "body/fields",
        got=found.found,
        expected=found.expected,
        hint=found.hint,
    )
