"""Requirements in sentences that an adviser can lay beside the authority's own text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from comity.core.days.calendar import iso
from comity.core.rulebook import (
    saying_combined,
    saying_person,
    saying_practice,
    saying_results,
)
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.combining import Bands, Not
from comity.core.rulebook.kinds.scoring import Points
from comity.core.rulebook.model import Document
from comity.core.rulebook.naming import named
from comity.core.rulebook.phrases import closed, given, opened, run_on, spoken, unstopped
from comity.core.rulebook.saying import EMPLOYERS, check_point, clause, opening, phrase, readings
from comity.core.rulebook.saying_combined import length_of, points_of

SUBMISSION = "submission"
_NO_DOCUMENTS: Mapping[str, Document] = MappingProxyType({})
_NO_NAMES: Mapping[str, str] = MappingProxyType({})
WORDS = (saying_combined, saying_person, saying_practice, saying_results)
"""Each of these modules enters the words of its kinds when it is imported."""

_HEADINGS = {
    "when": "Applies only where this holds: ",
    "unless": "Does not apply where this holds: ",
    "remedial": "Remedial work, once it is owed: ",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of prose: its number, empty for a remark, how deep it stands, and whose it is."""

    text: str
    number: str = ""
    depth: int = 0
    id: str = ""


@dataclass(frozen=True, slots=True)
class _Around:
    """What a requirement's words take from around it."""

    at: str
    documents: Mapping[str, Document]


def sentence(
    requirement: Requirement,
    *,
    at: str = SUBMISSION,
    names: Mapping[str, str] = _NO_NAMES,
    examinations: Mapping[str, str] = _NO_NAMES,
) -> str:
    """Return what a requirement asks, in one sentence that can stand alone.

    Parameters
    ----------
    requirement : Requirement
        Of any kind.
    at : str
        Milestone at which it is checked where it does not say itself.
    names : mapping
        Names people read for ids of authorities and codes of countries.
    examinations : mapping
        Names of examinations by id.

    Returns
    -------
    str
        Begins with a capital letter and has no full stop, so that it may stand in a table.

    Examples
    --------
    >>> from comity.core.rulebook.kinds.qualifying import NationalityHeld
    >>> sentence(NationalityHeld(countries=("XA", "XB")))
    'Nationality of XA or XB'
    """
    return opened(clause(named(requirement, names, examinations=examinations), at))


def lines(
    requirement: Requirement,
    *,
    at: str = SUBMISSION,
    number: str = "1",
    documents: Mapping[str, Document] = _NO_DOCUMENTS,
    names: Mapping[str, str] = _NO_NAMES,
    examinations: Mapping[str, str] = _NO_NAMES,
) -> tuple[Line, ...]:
    """Return a requirement and its parts as numbered lines, with how each is read day by day.

    Parameters
    ----------
    requirement : Requirement
        Of any kind.
    at : str
        Milestone at which it is checked where it does not say itself.
    number : str
        Its number; its parts add theirs after a point.
    documents : mapping
        The edition's documents by id, so that sources are said by their titles.
    names : mapping
        Names people read for ids of authorities and codes of countries.
    examinations : mapping
        Names of examinations by id.
    """
    shown = named(requirement, names, examinations=examinations)
    return tuple(_lines(shown, _Around(at, documents), Line("", number)))


def cited(source: Source, documents: Mapping[str, Document] = _NO_DOCUMENTS) -> str:
    """Return a source as one cites it: document, section, edition, day of reading, address.

    The address of a listed document stands in the list of sources and is not said again.
    """
    listed = documents.get(source.document)
    edition = source.edition or (listed.edition if listed else None)
    read = source.read if source.read is not None else (listed.read if listed else None)
    return run_on(
        unstopped(listed.title if listed else source.document),
        given(source.section, str),
        given(edition, str),
        given(read, lambda day: f"read on {iso(day)}"),
        given(source.url, str),
        by=", ",
    )


def _lines(requirement: Requirement, around: _Around, here: Line) -> Iterator[Line]:
    point = check_point(requirement, around.at)
    yield replace(here, text=_first_line(requirement, point), id=requirement.id or "")
    said = (*_readings(requirement, point), *_remarks(requirement, around))
    for text in said:
        yield Line(closed(text), depth=here.depth + 1)
    if _is_said_inside(requirement, point):
        return
    for position, (heading, part) in enumerate(_blocks(requirement), start=1):
        below = Line(heading, f"{here.number}.{position}", here.depth + 1)
        if part is None:
            yield below
        else:
            first, *rest = _lines(part, replace(around, at=point), below)
            yield replace(first, text=f"{heading}{first.text}")
            yield from rest


def _remarks(requirement: Requirement, around: _Around) -> tuple[str, ...]:
    """Return where it is checked, by which event its edition is chosen, and where it is written."""
    sentences = (
        given(requirement.at, lambda at: f"Checked at {spoken(at)}"),
        given(
            requirement.applies_by, lambda event: f"The day of {spoken(event)} chooses the edition"
        ),
        given(requirement.note, lambda note: f"Note: {note}"),
        given(requirement.source, lambda source: f"Source: {cited(source, around.documents)}"),
    )
    return tuple(sentence for sentence in sentences if sentence)


def _blocks(requirement: Requirement) -> Iterator[tuple[str, Requirement | None]]:
    """Yield the parts in order, each with the words before it; None where nothing is owed."""
    for step, part in requirement.parts():
        if step[0] == "of" and isinstance(requirement, Points):
            yield f"{points_of(requirement.of[int(step[1])].points)}: ", part
        elif step[0] != "bands":
            yield _HEADINGS.get(str(step[0]), ""), part
    for band in requirement.bands if isinstance(requirement, Bands) else ():
        label = f" ({band.label})" if band.label else ""
        heading = f"{opened(length_of(band))}{label}: "
        if not band.requires:
            yield f"{heading}nothing is owed.", None
        for part in band.requires:
            yield heading, part


def _is_said_inside(requirement: Requirement, point: str) -> bool:
    """Tell whether what must not hold is one thing, said on the line that says so."""
    return isinstance(requirement, Not) and not opening(requirement.of, point)


def _readings(requirement: Requirement, point: str) -> tuple[str, ...]:
    """Return how it is read, with how the one thing is read that must not hold."""
    own = readings(requirement, point)
    if isinstance(requirement, Not) and _is_said_inside(requirement, point):
        return (*own, *readings(requirement.of, check_point(requirement.of, point)))
    return own


def _first_line(requirement: Requirement, point: str) -> str:
    opens = opening(requirement, point)
    if _is_said_inside(requirement, point):
        opens = ""
    by = EMPLOYERS if requirement.demanded_by == "employers" else ""
    if opens:
        return f"{opened(f'{by}{opens}')}:"
    return closed(opened(f"{by}{phrase(requirement, point)}"))
