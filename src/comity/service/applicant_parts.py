"""Where the facts of an applicant stand, and the applicant with one of them known."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final, cast

from comity.core.eligibility.question_words import NAMED_BY
from comity.core.facts.model import (
    Certificate,
    Declaration,
    EducationUnits,
    ExaminationResult,
    LanguageResult,
    Paper,
    Payment,
    PracticeSpell,
    Progress,
    Qualification,
    Registration,
    Stay,
    Updating,
)
from comity.core.facts.sections import entries_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.core.facts.model import Applicant

RECORDS: Final[Mapping[str, type]] = {
    "qualifications": Qualification,
    "practice": PracticeSpell,
    "registrations": Registration,
    "certificates": Certificate,
    "stays": Stay,
    "updating": Updating,
    "education": EducationUnits,
    "declarations": Declaration,
    "papers": Paper,
    "language": LanguageResult,
    "examinations": ExaminationResult,
    "progress": Progress,
    "payments": Payment,
}
"""What an entry of each section is."""
_RESULTS: Final = {"language", "examinations"}
_TOP: Final = {"papers", "progress", "payments"}


def place_of(section: str) -> tuple[str, ...]:
    """Return the keys under which a section stands in the file."""
    if section in _TOP:
        return (section,)
    return ("results" if section in _RESULTS else "facts", section)


def with_answer(applicant: Applicant, path: str, value: object) -> Applicant:
    """Return the applicant with a fact known.

    Parameters
    ----------
    applicant : Applicant
        As known so far.
    path : str
        A path of `missing_facts`.
    value : object
        What the field holds; for a section, the names of its entries.
    """
    section, *rest = path.split("/")
    if section == "person":
        known: dict[str, Any] = {rest[0]: value}
        person = replace(applicant.facts.person, **known)
        return replace(applicant, facts=replace(applicant.facts, person=person))
    entries = tuple(entries_of(applicant, section) or ())
    if not rest:
        return _with_section(applicant, section, _entries(section, cast("Sequence[str]", value)))
    if section == "declarations" and all(entry.id != rest[0] for entry in entries):
        return _with_section(
            applicant, section, (*entries, Declaration(id=rest[0], answer=bool(value)))
        )
    name = "answer" if section == "declarations" else rest[1]
    changed = tuple(
        replace(entry, **{name: value}) if entry.id == rest[0] else entry for entry in entries
    )
    return _with_section(applicant, section, changed)


def _with_section(applicant: Applicant, section: str, entries: Sequence[Any]) -> Applicant:
    part = place_of(section)[0]
    changed: dict[str, Any] = {section: tuple(entries)}
    if part == section:
        return replace(applicant, **changed)
    inner: dict[str, Any] = {part: replace(getattr(applicant, part), **changed)}
    return replace(applicant, **inner)


def _entries(section: str, names: Sequence[str]) -> tuple[Any, ...]:
    """Return a new entry for each name, each with an id of its own."""
    found: dict[str, Any] = {}
    for name in names:
        base = identifier_of(name) or section
        number = sum(key == base or key.startswith(f"{base}-") for key in found)
        key = base if base not in found else f"{base}-{number + 1}"
        while key in found:
            number += 1
            key = f"{base}-{number + 1}"
        found[key] = RECORDS[section](id=key, **{NAMED_BY[section]: name})
    return tuple(found.values())


def identifier_of(name: str) -> str:
    """Return an id made of a name; empty where no letter or digit can stand in one.

    Examples
    --------
    >>> identifier_of("City Hospital, Ward 3"), identifier_of("شهادة")
    ('city-hospital-ward-3', '')
    """
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:40].rstrip("-")
