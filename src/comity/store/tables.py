"""Many applicants at once: taken in from a table, and given out as one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.files.dumping import dump_yaml
from comity.service.spans import spans_of
from comity.store import audit, spans
from comity.store.converters import digest_of, file_of, sound_applicant
from comity.store.errors import StaleError, StoreError
from comity.store.marks import rows_of
from comity.store.models import Case, Mark, PlannedDay
from comity.store.planned import rows_after
from comity.store.rulebooks import digest_in_force, in_force_key, rulebooks_of
from comity.store.spans import WorkedOut
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from uuid import UUID

    from comity.core.facts.model import Applicant
    from comity.store.models import Account

_AT_ONCE: Final = 500
_RECORDS_AT_ONCE: Final = 200
"""So many records go into one transaction, so that others need not wait long for the lock."""


@dataclass(frozen=True, slots=True)
class Change:
    """What a table changes of a case.

    Parameters
    ----------
    case : Case
        As it was looked at.
    text : str
        Its whole new document.
    before, after : tuple of (str, str)
        What the history shows: each column that differs, with its value.
    """

    case: Case
    text: str
    before: tuple[tuple[str, str], ...]
    after: tuple[tuple[str, str], ...]


def take_in(
    new: Sequence[Applicant],
    changes: Sequence[Change] = (),
    *,
    source: str,
    actor: Account | None,
    adviser: Account | None = None,
) -> int:
    """Take applicants into the office and change others, all or none; each has its record.

    Parameters
    ----------
    new : sequence of Applicant
        Sound ones, whose ids the office does not have.
    changes : sequence of Change
        Of cases that are there.
    source : str
        The table's name, for the history.
    actor : Account or None
        Who does it.
    adviser : Account, optional
        In whose care the new cases are.

    Returns
    -------
    int
        How many cases were taken in or changed.

    Raises
    ------
    StaleError
        When one of the cases was changed meanwhile; carries it as it is.
    StoreError
        When the office has one of the ids already.
    """
    changed = [sound_applicant(each.text, file_of(each.case)) for each in changes]
    worked_out = list(_worked_out([*new, *changed]))  # before the lock: it takes longest
    with writing():
        _refuse_known([each.applicant for each in new])
        _add(new, worked_out[: len(new)], source=source, actor=actor, adviser=adviser)
        pairs = zip(changes, changed, worked_out[len(new) :], strict=True)
        for change, applicant, found in pairs:
            _change(change, applicant, found, actor=actor)
        detail = {"name": source, "added": len(new), "changed": len(changes)}
        audit.record("office/table taken in", actor=actor, detail=detail)
    return len(new) + len(changes)


def _worked_out(applicants: Sequence[Applicant]) -> Iterator[WorkedOut]:
    key = in_force_key()
    rests_on, rulebooks = digest_in_force(key), rulebooks_of(key)
    for first in range(0, len(applicants), _AT_ONCE):
        for found in spans_of(applicants[first : first + _AT_ONCE], rulebooks):
            yield WorkedOut(found, rests_on)


def _refuse_known(references: Sequence[str]) -> None:
    known = Case.objects.filter(reference__in=references).values_list("reference", flat=True)
    first = known.order_by("reference").first()
    if first is not None:
        msg = f"the office has an applicant with the id {first} by now; nothing was taken in"
        raise StoreError(msg)


def _add(
    applicants: Sequence[Applicant],
    worked_out: Sequence[WorkedOut],
    *,
    source: str,
    actor: Account | None,
    adviser: Account | None,
) -> None:
    cases = [
        Case(
            reference=applicant.applicant,
            name=applicant.name or "",
            document=dump_yaml(applicant),
            adviser=adviser,
            spans_of=found.rests_on,
        )
        for applicant, found in zip(applicants, worked_out, strict=True)
    ]
    Case.objects.bulk_create(cases, batch_size=_AT_ONCE)
    pairs = list(zip(cases, applicants, strict=True))
    Mark.objects.bulk_create(
        (row for case, applicant in pairs for row in rows_of(case, applicant)), batch_size=_AT_ONCE
    )
    rulebooks = rulebooks_of(in_force_key())
    PlannedDay.objects.bulk_create(
        (row for case, applicant in pairs for row in rows_after(case, applicant, rulebooks)),
        batch_size=_AT_ONCE,
    )
    for case, found in zip(cases, worked_out, strict=True):
        spans.keep(case, found)
        detail = {
            "after": case.document,
            "name": source,
            "sha256": digest_of(case.document),
            "rests_on": found.rests_on,
        }
        audit.record("case/added", actor=actor, case=case, detail=detail)


def _change(
    change: Change, applicant: Applicant, found: WorkedOut, *, actor: Account | None
) -> None:
    current = Case.objects.select_for_update().filter(pk=change.case.pk).first()
    if current is None:
        msg = f"the case {change.case.reference} is no longer there; nothing was taken in"
        raise StoreError(msg)
    if current.version != change.case.version:
        raise StaleError(current)
    current.document = change.text
    current.version += 1
    current.name = applicant.name or ""
    spans.keep(current, found)
    current.save()
    detail = {
        "before": change.before,
        "after": change.after,
        "version": current.version,
        "sha256": digest_of(change.text),
        "rests_on": found.rests_on,
    }
    audit.record("case/facts changed", actor=actor, case=current, detail=detail)


def note_given(
    cases: Sequence[UUID], *, form: str, sha256: str, recipient: str, actor: Account | None
) -> None:
    """Record that a table with some cases is given out: once for each, and once for the office.

    Call it before the table leaves. Whoever asks who got what of a case finds it in its history.
    """
    for first in range(0, len(cases), _RECORDS_AT_ONCE):
        some = cases[first : first + _RECORDS_AT_ONCE]
        with writing():
            for case in Case.objects.filter(pk__in=some).only("pk").order_by("pk"):
                detail = {"recipient": recipient, "sha256": sha256, "as": f"row of a {form} table"}
                audit.record("given/export", actor=actor, case=case, detail=detail)
    with writing():
        total = {"as": f"{form} table", "n_cases": len(cases), "sha256": sha256}
        audit.record("office/table given out", actor=actor, detail=total)
