"""Which days an edition applies on, and the ways through the requirements it lists."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from comity.core.days.calendar import FOREVER, Day
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.qualifying import Applies
from comity.core.rulebook.model import Edition, Rulebook, Title

Path = tuple[str | int, ...]
RENEWAL = "renewal"
"""Id of the milestone at which renewal is checked in titles that declare it."""


class Days(NamedTuple):
    """A run of days, half-open; empty when `start` is not before `end`."""

    start: Day
    end: Day

    def __contains__(self, day: object) -> bool:
        """Tell whether a day lies in the run."""
        return isinstance(day, int) and self.start <= day < self.end


class Applicability(NamedTuple):
    """The days on which an edition applies for certain, and those on which it may."""

    certain: Days
    possible: Days


@dataclass(frozen=True, slots=True)
class Listed:
    """A requirement where it stands.

    Parameters
    ----------
    path : tuple
        From the title to the requirement, in the words of the file.
    requirement : Requirement
        Itself.
    source : Source or None
        Its own, or that of the nearest requirement (or pathway, deeming, renewal) around it.
    at : str
        Milestone whose day must lie in its days: its own, that of the requirement around it, or
        the title's first.
    is_top : bool
        Whether it is listed under the title, a pathway or the renewal, not inside another.
    is_condition : bool
        Whether it, or a requirement around it, only says when something applies.
    """

    path: Path
    requirement: Requirement
    source: Source | None
    at: str
    is_top: bool = True
    is_condition: bool = False


class _Around(NamedTuple):
    """What a requirement takes over from what stands around it."""

    source: Source | None
    at: str
    is_condition: bool = False


def days_of(applies: Applies) -> Applicability:
    """Return the days on which an edition applies, for certain and possibly.

    Without a first day it has always applied, without a last day (or with `..`) it goes on. With
    an unknown end only its first day is certain: an edition applies on one day at least.
    """
    first, last = applies.from_, applies.until
    latest_start = first.latest if first else 0
    earliest_start = first.earliest if first else 0
    if last is None or last.is_open:
        ends = (FOREVER, FOREVER)
    else:
        ends = (max(last.earliest, latest_start) + 1, max(last.latest, earliest_start) + 1)
    return Applicability(
        certain=Days(latest_start, min(ends[0], FOREVER)),
        possible=Days(earliest_start, min(ends[1], FOREVER)),
    )


def ordered(editions: Iterable[Edition]) -> tuple[Edition, ...]:
    """Return editions by the first day on which they may apply, then by id."""
    return tuple(
        sorted(editions, key=lambda each: (days_of(each.applies).possible.start, each.rulebook))
    )


def edition_by_id(rulebook: Rulebook, edition_id: str) -> Edition | None:
    """Return the edition with that id, or None."""
    return next((each for each in rulebook.editions if each.rulebook == edition_id), None)


def certain_on(rulebook: Rulebook, day: Day) -> tuple[Edition, ...]:
    """Return the editions which apply on a day for certain, oldest first."""
    return tuple(each for each in rulebook.editions if day in days_of(each.applies).certain)


def possible_on(rulebook: Rulebook, day: Day) -> tuple[Edition, ...]:
    """Return the editions which may apply on a day, oldest first."""
    return tuple(each for each in rulebook.editions if day in days_of(each.applies).possible)


def title_of(edition: Edition, title_id: str) -> Title | None:
    """Return the title with that id, or None."""
    return next((title for title in edition.titles if title.id == title_id), None)


def first_milestone(title: Title) -> str:
    """Return the milestone at which requirements are checked unless they say."""
    return title.milestones[0].id


def label_of(requirement: Requirement) -> str:
    """Return the name people read: the label, or one made of the id or the kind.

    Examples
    --------
    >>> from comity.core.rulebook.kinds.qualifying import NationalityHeld
    >>> label_of(NationalityHeld(id="eligible-nationality", countries=("XA",)))
    'Eligible nationality'
    """
    text = requirement.label or (requirement.id or requirement.kind).replace("-", " ")
    return text[:1].upper() + text[1:]


def full_id(authority: str, *, title: str, requirement: str) -> str:
    """Return the id under which a requirement is known from edition to edition."""
    return f"{authority}/{title}/{requirement}"


def walk(requirement: Requirement, path: Path = ()) -> Iterator[tuple[Path, Requirement]]:
    """Yield a requirement and all inside it, outermost first, each with its path."""
    yield path, requirement
    for step, part in requirement.parts():
        yield from walk(part, (*path, *step))


def requirements_of(title: Title) -> Iterator[Listed]:
    """Yield the requirements listed under a title and its pathways, in the file's order."""
    at = first_milestone(title)
    for index, requirement in enumerate(title.requires):
        yield _listed(("requires", index), requirement, _Around(None, at))
    for position, pathway in enumerate(title.pathways):
        for index, requirement in enumerate(pathway.requires):
            path = ("pathways", position, "requires", index)
            yield _listed(path, requirement, _Around(pathway.source, at))


def renewal_of(title: Title) -> Iterator[Listed]:
    """Yield the requirements that renewal asks; its milestone is `renewal` if there is one."""
    if title.renewal is not None:
        has_its_own = any(each.id == RENEWAL for each in title.milestones)
        at = RENEWAL if has_its_own else first_milestone(title)
        around = _Around(title.renewal.source, at)
        for index, requirement in enumerate(title.renewal.requires):
            yield _listed(("renewal", "requires", index), requirement, around)


def conditions_of(title: Title) -> Iterator[Listed]:
    """Yield the conditions of pathways, of deemings and of the licence."""
    at = first_milestone(title)
    for index, pathway in enumerate(title.pathways):
        if pathway.when is not None:
            path: Path = ("pathways", index, "when")
            yield _listed(path, pathway.when, _Around(pathway.source, at, is_condition=True))
    for index, deems in enumerate(title.deems):
        path = ("deems", index, "when")
        yield _listed(path, deems.when, _Around(deems.source, at, is_condition=True))
    for index, condition in enumerate(title.grants.conditions if title.grants else ()):
        path = ("grants", "conditions", index, "when")
        yield _listed(path, condition.when, _Around(None, at, is_condition=True))


def inside(listed: Listed) -> Iterator[Listed]:
    """Yield a listed requirement and all inside it, each with what it takes over."""
    yield listed
    around = _Around(listed.source, listed.at, listed.is_condition)
    for step, part in listed.requirement.parts():
        is_condition = listed.is_condition or step[0] in {"when", "unless"}
        taken_over = around._replace(is_condition=is_condition)
        yield from inside(_listed((*listed.path, *step), part, taken_over, is_top=False))


def everything_in(title: Title) -> Iterator[Listed]:
    """Yield every requirement of a title wherever it stands: listed, inside, or a condition."""
    for several in (requirements_of(title), renewal_of(title), conditions_of(title)):
        for listed in several:
            yield from inside(listed)


def requirement_by_id(title: Title, requirement_id: str) -> Listed | None:
    """Return the requirement with that id wherever it stands in a title, or None."""
    return next(
        (each for each in everything_in(title) if each.requirement.id == requirement_id), None
    )


def target_of(edition: Edition, title: Title, *, name: str) -> tuple[Title, Listed] | None:
    """Return what `same as` points to: an id in its own title, or title/id; None if nowhere."""
    title_id, slash, requirement_id = name.rpartition("/")
    place = title_of(edition, title_id) if slash else title
    found = requirement_by_id(place, requirement_id) if place else None
    return (place, found) if place and found else None


def _listed(
    path: Path, requirement: Requirement, around: _Around, *, is_top: bool = True
) -> Listed:
    return Listed(
        path=path,
        requirement=requirement,
        source=requirement.source or around.source,
        at=requirement.at or around.at,
        is_top=is_top and not around.is_condition,
        is_condition=around.is_condition,
    )
