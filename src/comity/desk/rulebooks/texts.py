"""Texts of editions: a blank sheet, and an old text under a new name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.store.converters import loaded_edition

if TYPE_CHECKING:
    from datetime import date

    from comity.core.problems import Place

BLANK: Final = """\
# An authority's published requirements. Lines that begin with # are remarks.
rulebook: first
authority:
  id: the-authority
  name: The Authority
  country: XA
  contact: whom applicants may write to
applies:
  from: 2026-01-01
  by: submission
read: 2026-01-01
read_again_after: 12 months
wholly_read: no
sources:
  act:
    title: The act
    read: 2026-01-01
titles:
  - id: dietitian
    name: Dietitian
    profession: "2265"
    requires:
      - id: degree
        kind: qualification
        label: Degree in dietetics
        least_level: 6
        fields: ["0915"]
        source: {document: act, section: section 1}
cases:
  - id: degree-held
    says: Somebody with the degree can apply.
    title: dietitian
    on: 2026-06-01
    applicant:
      applicant: somebody
      facts:
        qualifications:
          - {id: degree, level: 6, field: "0915", completed: 2019-06-30}
    requirements:
      degree: met
"""
"""A sheet to begin with: everything an edition needs, and nothing more."""


def with_name(text: str, name: str, *, first: date | None) -> str:
    """Return an edition's text under another id, from another first day if there is one.

    Remarks and layout stay as they are. Days are changed where the text has them: with a new first
    day, the last day of the old edition would make no sense, and is left open.
    """
    found = loaded_edition(text, "edition.yaml")
    if not found.files:
        return text
    places = found.files[0].places
    changed = _put(text, places.get(("rulebook",)), name)
    if first is None:
        return changed
    changed = _put(changed, places.get(("applies", "from")), first.isoformat())
    return _put(changed, places.get(("applies", "until")), "..")


def _put(text: str, place: Place | None, value: str) -> str:
    """Return the text with another value on a line; a remark behind the value stays."""
    if place is None:
        return text
    lines = text.splitlines(keepends=True)
    line = lines[place.line - 1]
    start = place.column - 1
    end = start + _length(line[start:])
    lines[place.line - 1] = f"{line[:start]}{value}{line[end:]}"
    return "".join(lines)


def _length(rest: str) -> int:
    """Return how long the value is with which the rest of a line begins."""
    if rest[:1] in {'"', "'"}:
        return rest.find(rest[0], 1) + 1
    return next((n for n, sign in enumerate(rest) if sign.isspace() or sign in ",}"), len(rest))
