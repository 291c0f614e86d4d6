"""Cases: every change with its spans and its record in one transaction."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING, Any

from django.db.models import Min
from django.utils import timezone

from comity.store import audit, spans
from comity.store.converters import digest_of, file_of, sound_applicant
from comity.store.errors import StaleError, StoreError
from comity.store.models import Action, Case, Holder, Note
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from comity.core.facts.model import Applicant
    from comity.store.models import Account
    from comity.store.spans import WorkedOut

__all__ = [
    "StaleError",
    "add_action",
    "add_case",
    "add_note",
    "change_action",
    "change_document",
    "close_case",
    "finish_action",
    "reopen_action",
    "reopen_case",
    "set_adviser",
    "set_legal_hold",
]


def add_case(
    text: str, *, actor: Account | None, adviser: Account | None = None, file: str = "applicant"
) -> Case:
    """Take an applicant file into the office.

    Parameters
    ----------
    text : str
        The file, comments included; it is kept as it is.
    actor : Account or None
        Who does it.
    adviser : Account, optional
        In whose care the case is.
    file : str, optional
        What to call the text in problems.

    Raises
    ------
    UnreadableError
        When it is no sound applicant file.
    StoreError
        When the office has an applicant of this id.
    """
    applicant = sound_applicant(text, file)
    worked_out = spans.work_out(applicant)
    case = Case(document=text, adviser=adviser)
    _name(case, applicant)
    with writing():
        _refuse_double(case)
        case.spans_of = worked_out.rests_on
        case.save(force_insert=True)
        spans.keep(case, worked_out)
        detail = {"after": text, "sha256": digest_of(text), "rests_on": worked_out.rests_on}
        audit.record("case/added", actor=actor, case=case, detail=detail)
    return case


def change_document(
    case: Case,
    text: str,
    *,
    base_version: int,
    actor: Account | None,
    action: str = "case/facts changed",
    detail: Mapping[str, Any] | None = None,
) -> Case:
    """Put a text in the place of a case's document.

    Parameters
    ----------
    case : Case
        Any copy of it.
    text : str
        The whole new document.
    base_version : int
        The version it was made from.
    actor : Account or None
        Who does it.
    action : str
        What the history calls it.
    detail : mapping, optional
        What else the history should hold; what lines changed is recorded anyway.

    Raises
    ------
    StaleError
        When the document is no longer at `base_version`; carries the case as it is.
    UnreadableError, StoreError
        When the text is no sound applicant file, or takes another applicant's id.
    """
    _refuse_stale(_current(case), base_version)  # before the longer work, and again under the lock
    applicant = sound_applicant(text, file_of(case))
    worked_out = spans.work_out(applicant)
    with writing():
        current = _current(case, is_locked=True)
        _refuse_stale(current, base_version)
        changes = _lines_changed(current.document, text)
        if changes:
            _put(current, applicant, text=text, worked_out=worked_out)
            recorded = {
                "lines": changes,
                "version": current.version,
                "sha256": digest_of(text),
                "rests_on": worked_out.rests_on,
            }
            audit.record(action, actor=actor, case=current, detail={**(detail or {}), **recorded})
    return current


def _put(case: Case, applicant: Applicant, *, text: str, worked_out: WorkedOut) -> None:
    case.document = text
    case.version += 1
    _name(case, applicant)
    _refuse_double(case)
    spans.keep(case, worked_out)
    case.save()


def _name(case: Case, applicant: Applicant) -> None:
    """Repeat in columns what is searched."""
    case.reference = applicant.applicant
    case.name = applicant.name or ""


def _refuse_double(case: Case) -> None:
    if Case.objects.filter(reference=case.reference).exclude(pk=case.pk).exists():
        msg = f"the office has an applicant with the id {case.reference}; give this one another id"
        raise StoreError(msg)


def _lines_changed(before: str, after: str) -> list[str]:
    """Return the lines taken away (``-``) and put in (``+``), each run after its place (``@@``)."""
    lines = difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
    changed = [line for line in lines if not line.startswith(("---", "+++"))]
    return changed if changed or before == after else ["@@ line ends @@"]


def _refuse_stale(current: Case, base_version: int) -> None:
    if current.version != base_version:
        raise StaleError(current)


def _current(case: Case, *, is_locked: bool = False) -> Case:
    rows = Case.objects.select_for_update() if is_locked else Case.objects.all()
    found = rows.filter(pk=case.pk).first()
    if found is None:
        msg = "the case is no longer there"
        raise StoreError(msg)
    return found


# ---------------------------------------------------------------------------------- the office


def set_adviser(case: Case, adviser: Account | None, *, actor: Account | None) -> Case:
    """Put a case in somebody's care."""
    detail = {"before": audit.name_of(case.adviser), "after": audit.name_of(adviser)}
    return _changed(case, "case/adviser changed", actor=actor, detail=detail, adviser=adviser)


def close_case(case: Case, *, actor: Account | None, reason: str = "") -> Case:
    """Close a case: it stays, out of the lists, until its time is over."""
    now = timezone.now()
    return _changed(case, "case/closed", actor=actor, detail={"reason": reason}, closed_at=now)


def reopen_case(case: Case, *, actor: Account | None) -> Case:
    """Take a closed case up again."""
    return _changed(case, "case/reopened", actor=actor, detail={}, closed_at=None)


def set_legal_hold(case: Case, reason: str, *, actor: Account | None) -> Case:
    """Forbid erasing a case, for a reason; an empty one allows it again."""
    detail = {"before": case.legal_hold, "after": reason}
    return _changed(
        case, "case/legal hold changed", actor=actor, detail=detail, legal_hold=reason.strip()
    )


def _changed(
    case: Case, action: str, *, actor: Account | None, detail: Mapping[str, Any], **columns: object
) -> Case:
    with writing():
        current = _current(case, is_locked=True)
        for name, value in columns.items():
            setattr(current, name, value)
        current.save(update_fields=[*columns, "changed_at"])
        audit.record(action, actor=actor, case=current, detail=detail)
    return current


def add_note(case: Case, text: str, *, actor: Account | None) -> Note:
    """Keep a note beside a case."""
    with writing():
        current = _current(case, is_locked=True)
        note = Note.objects.create(case=current, text=text, author=actor)
        audit.record("case/note added", actor=actor, case=current, detail={"text": text})
    return note


# ----------------------------------------------------------------------------------- next actions


def add_action(
    case: Case,
    text: str,
    *,
    actor: Account | None,
    holder: str = Holder.ADVISER,
    due: date | None = None,
    is_for_applicant: bool = False,
) -> Action:
    """Keep something to do in a case."""
    with writing():
        current = _current(case, is_locked=True)
        action = Action.objects.create(
            case=current, text=text, holder=holder, due=due, is_for_applicant=is_for_applicant
        )
        _action_done("case/action added", action, actor=actor)
    return action


def change_action(
    action: Action, *, base_version: int, actor: Account | None, **columns: object
) -> Action:
    """Change the text, holder, due or is_for_applicant of something to do.

    Raises
    ------
    StaleError
        When somebody else has changed it since `base_version`.
    """
    return _action_changed(
        action, "case/action changed", base_version=base_version, actor=actor, columns=columns
    )


def finish_action(action: Action, *, actor: Account | None) -> Action:
    """Mark something as done; what is done stays as it was done first."""
    columns = {} if action.done_at else {"done_at": timezone.now()}
    return _action_changed(action, "case/action done", actor=actor, columns=columns)


def reopen_action(action: Action, *, actor: Account | None) -> Action:
    """Mark something as still to do."""
    columns = {"done_at": None} if action.done_at else {}
    return _action_changed(action, "case/action reopened", actor=actor, columns=columns)


def _action_changed(
    action: Action,
    what: str,
    *,
    actor: Account | None,
    columns: Mapping[str, Any],
    base_version: int | None = None,
) -> Action:
    with writing():
        current = Action.objects.select_for_update().filter(pk=action.pk).first()
        if current is None:
            msg = "the action is no longer there"
            raise StoreError(msg)
        if base_version not in {None, current.version}:
            raise StaleError(current)
        changed = {
            name: value for name, value in columns.items() if getattr(current, name) != value
        }
        if changed:
            for name, value in changed.items():
                setattr(current, name, value)
            current.version += 1
            current.save()
            _action_done(what, current, actor=actor)
    return current


def _action_done(what: str, action: Action, *, actor: Account | None) -> None:
    """Record what was done with an action, and repeat the case's next day in its column."""
    case = action.case
    open_ones = case.actions.filter(done_at=None)
    case.next_day = open_ones.aggregate(day=Min("due"))["day"]
    case.save(update_fields=["next_day", "changed_at"])
    detail = {
        "id": action.pk,
        "text": action.text,
        "holder": action.holder,
        "due": action.due,
        "is_for_applicant": action.is_for_applicant,
        "done_at": action.done_at,
    }
    audit.record(what, actor=actor, case=case, detail=detail)
