"""The sections of an applicant file, by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final

from comity.core.days.calendar import Day
from comity.core.facts.model import Applicant

Spot = tuple[str, int, str]
"""A fact of one applicant: section, index of the entry, field."""
World = Mapping[Spot, Day]
"""Partly known dates of one applicant, each taken to be one of its days."""
_SECTIONS: Final[Mapping[str, Callable[[Applicant], Sequence[Any] | None]]] = {
    "person": lambda applicant: (applicant.facts.person,),
    "qualifications": lambda applicant: applicant.facts.qualifications,
    "practice": lambda applicant: applicant.facts.practice,
    "registrations": lambda applicant: applicant.facts.registrations,
    "certificates": lambda applicant: applicant.facts.certificates,
    "stays": lambda applicant: applicant.facts.stays,
    "updating": lambda applicant: applicant.facts.updating,
    "education": lambda applicant: applicant.facts.education,
    "declarations": lambda applicant: applicant.facts.declarations,
    "papers": lambda applicant: applicant.papers,
    "language": lambda applicant: applicant.results.language,
    "examinations": lambda applicant: applicant.results.examinations,
    "reviews": lambda applicant: applicant.results.reviews,
    "progress": lambda applicant: applicant.progress,
    "payments": lambda applicant: applicant.payments,
}
SECTIONS: Final = tuple(_SECTIONS)


def entries_of(applicant: Applicant, section: str) -> Sequence[Any] | None:
    """Return the entries of a section, None while nobody has said."""
    return _SECTIONS[section](applicant)
