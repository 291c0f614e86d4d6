"""Requirements in sentences that an adviser can lay beside the authority's own text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from comity.core.rulebook import (
    saying_combined,
    saying_person,
    saying_practice,
    saying_results,
)
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import Bands
from comity.core.rulebook.phrases import closed, opened
from comity.core.rulebook.saying import EMPLOYERS, check_point, clause, opening, phrase, readings
from comity.core.rulebook.saying_combined import length_of

SUBMISSION = "submission"
WORDS = (saying_combined, saying_person, saying_practice, saying_results)
"""Each of these modules enters the words of its kinds when it is imported."""

_HEADINGS = {
    "when": "Applies only where this holds: ",
    "unless": "Does not apply where this holds: ",
    "remedial": "Remedial work, once it is owed: ",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line of prose: its number, empty for a remark, and how deep it stands."""

    text: str
    number: str = ""
    depth: int = 0


def sentence(requirement: Requirement, *, at: str = SUBMISSION) -> str:
    """Return what a requirement asks, in one sentence that can stand alone.

    Parameters
    ----------
    requirement : Requirement
        Of any kind.
    at : str
        Milestone at which it is checked where it does not say itself.

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
    return opened(clause(requirement, at))


def lines(requirement: Requirement, *, at: str = SUBMISSION, number: str = "1") -> tuple[Line, ...]:
    """Return a requirement and its parts as numbered lines, with how each is read day by day.

    Parameters
    ----------
    requirement : Requirement
        Of any kind.
    at : str
        Milestone at which it is checked where it does not say itself.
    number : str
        Its number; its parts add theirs after a point.
    """
    return tuple(_lines(requirement, at, Line("", number)))


def _lines(requirement: Requirement, at: str, here: Line) -> Iterator[Line]:
    point = check_point(requirement, at)
    yield replace(here, text=_first_line(requirement, point))
    for text in readings(requirement, point):
        yield Line(closed(text), depth=here.depth + 1)
    for position, (heading, part) in enumerate(_blocks(requirement), start=1):
        below = Line(heading, f"{here.number}.{position}", here.depth + 1)
        if part is None:
            yield below
        else:
            first, *rest = _lines(part, point, below)
            yield replace(first, text=f"{heading}{first.text}")
            yield from rest


def _blocks(requirement: Requirement) -> Iterator[tuple[str, Requirement | None]]:
    """Yield the parts in order, each with the words before it; None where nothing is owed."""
    for step, part in requirement.parts():
        if step[0] != "bands":
            yield _HEADINGS.get(str(step[0]), ""), part
    for band in requirement.bands if isinstance(requirement, Bands) else ():
        label = f" ({band.label})" if band.label else ""
        heading = f"{opened(length_of(band))}{label}: "
        if not band.requires:
            yield f"{heading}nothing is owed.", None
        for part in band.requires:
            yield heading, part


def _first_line(requirement: Requirement, point: str) -> str:
    opens = opening(requirement, point)
    by = EMPLOYERS if requirement.demanded_by == "employers" else ""
    if opens:
        return f"{opened(f'{by}{opens}')}:"
    return closed(opened(f"{by}{phrase(requirement, point)}"))
