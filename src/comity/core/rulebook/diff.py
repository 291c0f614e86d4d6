"""What changed from one edition to the next, in sentences."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from comity.core.rulebook.differences import Difference, differences, moved
from comity.core.rulebook.editions import label_of, requirements_of, title_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.model import Edition, Title
from comity.core.rulebook.naming import named
from comity.core.rulebook.phrases import day_said, spoken
from comity.core.rulebook.prose import SUBMISSION, sentence

Sort = Literal["added", "removed", "changed", "source"]
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that is different.

    Parameters
    ----------
    sort : str
        ``added``, ``removed`` or ``changed``; ``source`` where only the reading or the citation
        is another one and nothing that is asked.
    title : str
        Id of the title, empty for what concerns the edition as a whole.
    requirement : str
        Id of the requirement, empty for what is none.
    path : tuple
        From the requirement (or the title, or the edition) to the value, in the words of the file.
    sentence : str
        The change for people.
    """

    sort: Sort
    title: str
    requirement: str
    path: Path
    sentence: str


class _Subject(NamedTuple):
    """What a change is about: its name for people and its ids."""

    name: str
    title: str = ""
    requirement: str = ""
    since: str = ""


class _Asked(NamedTuple):
    """A requirement and of whom it is asked."""

    requirement: Requirement
    whom: str


_SOURCE_KEYS = frozenset(("source", "read", "sources", "note"))
_APART_IN_TITLE = frozenset(("id", "requires", "pathways"))
_APART_IN_EDITION = frozenset(("rulebook", "summary", "names", "titles", "cases", "applies"))


def changes(old: Edition, new: Edition) -> tuple[Change, ...]:
    """Return what changed between two editions of one authority.

    Requirements are the same if their ids are; then titles and everything else under them, and
    the edition itself. Worked cases are left aside: they ask for nothing.

    Parameters
    ----------
    old, new : Edition
        In this order.

    Returns
    -------
    tuple of Change
        What is asked first, in the new edition's order; sources and days of reading last.
    """
    since = _since(new)
    old, new = _named(old, new)
    found = list(_titles(old, new, since))
    whole = _Subject("The edition", since="")
    found += _changed(whole, differences(old, new, apart=_APART_IN_EDITION))
    found += _changed(whole, _applies(old, new))
    return tuple(sorted(found, key=lambda change: change.sort == "source"))


def _since(new: Edition) -> str:
    """Return for whom the new edition counts: `` (applications from 2027-01-01)``."""
    if new.applies.from_ is None:
        return ""
    event = "applications" if new.applies.by == SUBMISSION else spoken(new.applies.by)
    return f" ({event} from {day_said(new.applies.from_)})"


def _named(old: Edition, new: Edition) -> tuple[Edition, Edition]:
    """Return the editions with names for codes and examinations, the same ones in both."""
    names = {**old.names, **new.names}
    exams = {
        examination.id: examination.name
        for edition in (old, new)
        for title in edition.titles
        for examination in title.examinations
    }
    before, after = (
        replace(edition, titles=tuple(named(t, names, examinations=exams) for t in edition.titles))
        for edition in (old, new)
    )
    return before, after


# -------------------------------------------------------------------- titles and requirements


def _titles(old: Edition, new: Edition, since: str) -> Iterator[Change]:
    for title in new.titles:
        before = title_of(old, title.id)
        if before is None:
            yield Change("added", title.id, "", (), f"The title {title.name} is new{since}.")
        else:
            yield from _requirements(before, title, since)
            subject = _Subject(f"The title {title.name}", title.id, since=since)
            yield from _changed(subject, differences(before, title, apart=_APART_IN_TITLE))
    for title in old.titles:
        if title_of(new, title.id) is None:
            text = f"The title {title.name} is no longer there{since}."
            yield Change("removed", title.id, "", (), text)


def _requirements(old: Title, new: Title, since: str) -> Iterator[Change]:
    before, after = _by_id(old), _by_id(new)
    for name, found in after.items():
        subject = _Subject(label_of(found.requirement), new.id, name, since)
        if name in before:
            yield from _requirement(before[name], found, subject)
        else:
            text = f"{subject.name} is new: {sentence(found.requirement)}{since}."
            yield Change("added", new.id, name, (), text)
    for name, found in before.items():
        if name not in after:
            text = f"{label_of(found.requirement)} is no longer asked{since}."
            yield Change("removed", new.id, name, (), text)
    yield from _pathways(old, new, since)


def _requirement(old: _Asked, new: _Asked, subject: _Subject) -> Iterator[Change]:
    title, name = subject.title, subject.requirement
    if old.whom != new.whom:
        text = f"{subject.name}: before it was asked of {old.whom}, now of {new.whom}"
        yield Change("changed", title, name, ("pathways",), f"{text}{subject.since}.")
    if type(old.requirement) is type(new.requirement):
        yield from _changed(subject, differences(old.requirement, new.requirement))
    else:
        text = f"before {sentence(old.requirement)}; now {sentence(new.requirement)}"
        yield Change("changed", title, name, ("kind",), f"{subject.name}: {text}{subject.since}.")


def _by_id(title: Title) -> dict[str, _Asked]:
    return {
        each.requirement.id: _Asked(each.requirement, _whom(title, each.path))
        for each in requirements_of(title)
        if each.requirement.id is not None
    }


def _whom(title: Title, path: Path) -> str:
    if path[0] == "pathways":
        return f'those of the pathway "{title.pathways[int(path[1])].label}"'
    return "everybody"


def _pathways(old: Title, new: Title, since: str) -> Iterator[Change]:
    """Yield how the pathways themselves changed; their requirements are told by id."""
    before, after = ({each.id: each for each in title.pathways} for title in (old, new))
    for name, pathway in after.items():
        subject = _Subject(f"The pathway {pathway.label}", new.id, since=since)
        if name not in before:
            yield Change("added", new.id, "", ("pathways",), f"{subject.name} is new{since}.")
        else:
            found = differences(before[name], pathway, apart=frozenset(("requires",)))
            yield from _changed(subject, found)
    for name, pathway in before.items():
        if name not in after:
            text = f"The pathway {pathway.label} is no longer there{since}."
            yield Change("removed", new.id, "", ("pathways",), text)


def _applies(old: Edition, new: Edition) -> Iterator[Difference]:
    """Yield a change of the event that chooses; when an edition begins is no change of its own."""
    for found in differences(old.applies, new.applies, apart=frozenset(("from", "until"))):
        yield found._replace(path=("applies", *found.path), trail=("event that chooses it",))


def _changed(subject: _Subject, several: Iterator[Difference]) -> Iterator[Change]:
    for found in several:
        is_source = any(step in _SOURCE_KEYS for step in found.path)
        since = "" if is_source else subject.since
        name = ", ".join((subject.name, *found.trail[:-1]))
        sort: Sort = "source" if is_source else "changed"
        text = f"{name}: {moved(found)}{since}."
        yield Change(sort, subject.title, subject.requirement, found.path, text)
