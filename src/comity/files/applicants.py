"""Applicants from their files."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from comity.core.facts.checks import check_applicant
from comity.core.facts.model import Applicant
from comity.core.facts.plausible import doubts
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.files.looking_past import problems_past
from comity.files.reading import Reading, place_of, read
from comity.files.rulebooks import SORTS
from comity.files.yaml import read_text, read_tree

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from comity.core.days.calendar import Day
    from comity.core.declaring import Complaint


@dataclass(frozen=True, slots=True)
class LoadedApplicant:
    """What stood in an applicant file.

    Parameters
    ----------
    file : str
        As the user named it.
    applicant : Applicant or None
        None where nothing could be made of the file.
    problems : tuple of Problem
        By place.
    places : mapping
        From paths such as ``("facts", "practice", 0, "start")`` to places.
    text : str
        What stands in the file, to show problems.
    """

    file: str
    applicant: Applicant | None
    problems: tuple[Problem, ...]
    places: Mapping[tuple[str | int, ...], Place]
    text: str

    def place_of(self, path: tuple[str | int, ...]) -> Place | None:
        """Return the place of a value, or of the nearest value that holds it."""
        return place_of(path, self.places)

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work; warnings do not."""
        return not has_errors(self.problems)


def load_applicant(path: Path) -> LoadedApplicant:
    """Return the applicant of a file, with all that is wrong with it."""
    text, problems = read_text(path, str(path))
    if problems:
        return LoadedApplicant(str(path), None, problems, {}, text)
    return read_applicant(text, str(path))


def read_applicant(text: str, file: str) -> LoadedApplicant:
    """Return the applicant that stands in a text; `file` is what to call it in problems."""
    node, problems = read_tree(text, file)
    if node is None:
        return LoadedApplicant(file, None, problems, {}, text)
    reading = read(node, Applicant, sorts=SORTS)
    if reading.value is None:
        found = problems_past(node, Applicant, reading, find=_complaints)
    else:
        found = _complaints(reading.value, reading)
    problems = sorted_by_place((*problems, *reading.problems, *found))
    return LoadedApplicant(file, reading.value, problems, reading.places, text)


def _complaints(applicant: Applicant, reading: Reading[Applicant]) -> Iterator[Problem]:
    for complaint in check_applicant(applicant):
        yield _problem(complaint, reading, applicant)


def doubts_about(loaded: LoadedApplicant, *, today: Day) -> tuple[Problem, ...]:
    """Return a warning for each value that can hardly be meant."""
    if loaded.applicant is None:
        return ()
    found = (
        replace(_problem(each, loaded, loaded.applicant), severity="warning")
        for each in doubts(loaded.applicant, today=today)
    )
    return tuple(found)


def _problem(
    complaint: Complaint, reading: Reading[Applicant] | LoadedApplicant, applicant: Applicant
) -> Problem:
    value: object = applicant
    for step in complaint.path:
        value = getattr(value, step) if isinstance(step, str) else value[step]  # type: ignore[index]
    return Problem(
        complaint.code,
        complaint.message,
        place=reading.place_of(complaint.path),
        got=f"'{complaint.got or value}'",
        expected=complaint.expected,
        hint=complaint.hint,
        related=tuple((reading.places[path], says) for path, says in complaint.related),
    )
