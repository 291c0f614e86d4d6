"""A fact put into a case's document, on whatever stands there now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.utils.translation import gettext as _

from comity.desk.access import member_of
from comity.desk.cases.fact_forms import Conflict, Spot
from comity.desk.cases.shown import casework_of
from comity.service.editing import SINGLE, Edited, Refused, mark_of
from comity.service.editing_shown import shown_entry
from comity.service.editing_words import SECTION_WORDS
from comity.store.cases import change_document
from comity.store.errors import StaleError
from comity.store.models import Case

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpRequest

    from comity.service.casework import Casework

_TRIES: Final = 20
"""Others may be saving too; each of them makes one try of ours fail at most."""


def saved(
    request: HttpRequest,
    case: Case,
    spot: Spot,
    *,
    make: Callable[[Case], Edited | Refused],
    base: str | None = None,
) -> Case | Refused | Conflict:
    """Save a change on the document as it stands; `base` is the entry as the form showed it.

    When somebody has changed other entries meanwhile, the change is made on theirs.
    """
    current = case
    for _number in range(_TRIES):
        before = casework_of(current)
        stands = mark_of(before.applicant, spot.section, spot.entry)
        if base is not None and spot.entry and stands != base:
            return Conflict(current)
        if base is not None and spot.section in SINGLE and stands != base:
            return Conflict(current)
        found = make(current)
        if isinstance(found, Refused):
            return found
        try:
            return change_document(
                current,
                found.text,
                base_version=current.version,
                actor=member_of(request),
                action=spot.action,
                detail=_detail(before, found, spot),
            )
        except StaleError as error:
            if not isinstance(error.current, Case):
                raise
            current = error.current
    return Conflict(current)


def _detail(before: Casework, after: Edited, spot: Spot) -> dict[str, Any]:
    """Return what the history says of a change: the entry before and after, as people read it."""
    entry = spot.entry or after.entry
    old = shown_entry(before.applicant, spot.section, entry=entry, names=before.names)
    new = shown_entry(after.applicant, spot.section, entry=entry, names=before.names)
    known = new or old
    return {
        "section": spot.section,
        "entry": entry,
        "name": known.name if known else SECTION_WORDS[spot.section].heading,
        "before": _as_lines(old),
        "after": _as_lines(new),
    }


def _as_lines(entry: Any) -> list[list[str]]:  # noqa: ANN401
    if entry is None:
        return []
    lines = [list(line) for line in entry.lines]
    if entry.evidence_said:
        lines.append([_("How it is known"), entry.evidence_said])
    return lines
