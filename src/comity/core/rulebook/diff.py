"""What changed from one edition to the next, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from comity.core.days.calendar import iso
from comity.core.days.period import Period
from comity.core.declaring.fields import fields_of
from comity.core.declaring.shapes import (
    ListShape,
    MappingShape,
    RecordShape,
    ScalarShape,
    Shape,
    TaggedShape,
)
from comity.core.rulebook.editions import label_of, requirements_of, title_of
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.model import Edition, Title
from comity.core.rulebook.phrases import spoken, together
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


class _Values(NamedTuple):
    """Two values and the shape that both have."""

    old: object
    new: object
    shape: Shape


class _Difference(NamedTuple):
    """Two values that differ, None where there is none on one side.

    `trail` names what lies between the subject and the value, for people.
    """

    path: Path
    trail: tuple[str, ...]
    old: object
    new: object
    shape: Shape

    def inside(self, step: str | int, name: str, values: _Values) -> _Difference:
        """Return the difference one step further in, by its name for people."""
        return _Difference((*self.path, step), (*self.trail, name), *values)


_SOURCE_KEYS = frozenset(("source", "read", "sources", "note"))
_APART_IN_TITLE = frozenset(("id", "requires", "pathways"))
_APART_IN_EDITION = frozenset(("rulebook", "summary", "titles", "cases", "applies"))
_ENTRIES = {"of": "part", "requires": "part"}
_DATED = frozenset(("sittings",))
_LONGEST_VALUE = 60


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
    found = list(_titles(old, new, since))
    whole = _Subject("The edition", since="")
    found += _changed(whole, _differences(old, new, apart=_APART_IN_EDITION))
    found += _changed(whole, _applies(old, new))
    return tuple(sorted(found, key=lambda change: change.sort == "source"))


def _since(new: Edition) -> str:
    """Return for whom the new edition counts: `` (applications from 2027-01-01)``."""
    if new.applies.from_ is None:
        return ""
    event = "applications" if new.applies.by == SUBMISSION else spoken(new.applies.by)
    return f" ({event} from {new.applies.from_})"


# -------------------------------------------------------------------- titles and requirements


def _titles(old: Edition, new: Edition, since: str) -> Iterator[Change]:
    for title in new.titles:
        before = title_of(old, title.id)
        if before is None:
            yield Change("added", title.id, "", (), f"The title {title.name} is new{since}.")
        else:
            yield from _requirements(before, title, since)
            subject = _Subject(f"The title {title.name}", title.id, since=since)
            yield from _changed(subject, _differences(before, title, apart=_APART_IN_TITLE))
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
        yield from _changed(subject, _differences(old.requirement, new.requirement))
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
            differences = _differences(before[name], pathway, apart=frozenset(("requires",)))
            yield from _changed(subject, differences)
    for name, pathway in before.items():
        if name not in after:
            text = f"The pathway {pathway.label} is no longer there{since}."
            yield Change("removed", new.id, "", ("pathways",), text)


# ----------------------------------------------------------------------------------- values


def _differences(
    old: object, new: object, *, apart: frozenset[str] = frozenset()
) -> Iterator[_Difference]:
    """Yield where two records of one type differ, as deep as both have the same shape."""
    found = _Difference((), (), old, new, RecordShape(type(new)))
    yield from _in_record(found, apart=apart)


def _in_record(found: _Difference, *, apart: frozenset[str]) -> Iterator[_Difference]:
    for field in fields_of(type(found.new)):
        if field.key not in apart:
            old, new = getattr(found.old, field.name), getattr(found.new, field.name)
            name = field.key.replace("_", " ")
            yield from _compared(found.inside(field.key, name, _Values(old, new, field.shape)))


def _compared(found: _Difference) -> Iterator[_Difference]:
    _, _, old, new, shape = found
    if old == new:
        return
    if isinstance(shape, RecordShape | TaggedShape) and type(old) is type(new):
        yield from _in_record(found, apart=frozenset())
    elif isinstance(shape, MappingShape) and isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in {**old, **new}:
            values = _Values(old.get(key), new.get(key), shape.item)
            yield from _compared(found.inside(key, key, values))
    elif isinstance(shape, ListShape) and _is_of_records(shape) and _fit(old, new):
        yield from _in_list(found, shape.item)
    else:
        yield found


def _in_list(found: _Difference, item: Shape) -> Iterator[_Difference]:
    """Yield differences of entries side by side: by id or day if they have one, else by position.

    The position told is that in the new list, or in the old one of an entry that is gone.
    """
    before, after = _keyed(found.old), _keyed(found.new)
    *outer, key = found.trail
    here = found._replace(trail=tuple(outer))
    for entry in {**after, **before}:
        old, new = before.get(entry), after.get(entry)
        index = list(before if new is None else after).index(entry)
        name = _called(old if new is None else new) or _numbered(key, entry, index)
        yield from _compared(here.inside(index, name, _Values(old, new, item)))


def _numbered(key: str, entry: object, index: int) -> str:
    """Return ``band 2``, or ``sitting of 2026-05-09`` for what is known by its day."""
    noun = _ENTRIES.get(key, key.removesuffix("s"))
    if key in _DATED and isinstance(entry, int):
        return f"{noun} of {iso(entry)}"
    return f"{noun} {index + 1}"


def _keyed(entries: object) -> dict[object, object]:
    assert isinstance(entries, tuple)  # noqa: S101  (`_fit` has looked)
    return {_key(each) or index: each for index, each in enumerate(entries)}


def _key(entry: object) -> object:
    """Return by what an entry is known from edition to edition: its id, or its day."""
    return getattr(entry, "id", None) or getattr(entry, "on", None)


def _is_of_records(shape: ListShape) -> bool:
    return isinstance(shape.item, RecordShape | TaggedShape)


def _fit(old: object, new: object) -> bool:
    return isinstance(old, tuple) and isinstance(new, tuple)


def _applies(old: Edition, new: Edition) -> Iterator[_Difference]:
    """Yield a change of the event that chooses; when an edition begins is no change of its own."""
    for found in _differences(old.applies, new.applies, apart=frozenset(("from", "until"))):
        yield found._replace(path=("applies", *found.path), trail=("event that chooses it",))


# ------------------------------------------------------------------------------------ words


def _changed(subject: _Subject, differences: Iterator[_Difference]) -> Iterator[Change]:
    for found in differences:
        is_source = any(step in _SOURCE_KEYS for step in found.path)
        since = "" if is_source else subject.since
        name = ", ".join((subject.name, *found.trail[:-1]))
        sort: Sort = "source" if is_source else "changed"
        text = f"{name}: {_moved(found)}{since}."
        yield Change(sort, subject.title, subject.requirement, found.path, text)


def _moved(found: _Difference) -> str:
    """Return ``the amount goes from 24 months to 18 months``."""
    is_entry = isinstance(found.path[-1], int)
    name = found.trail[-1] if is_entry else f"the {found.trail[-1]}"
    are_many = isinstance(found.shape, ListShape | MappingShape)
    old, new = (_written(value, found.shape) for value in (found.old, found.new))
    if found.old is None or found.old == ():
        return f"{name} {'are' if are_many else 'is'} new{'' if is_entry else f': {new}'}"
    if found.new is None or found.new == ():
        gone = f"{name} {'are' if are_many else 'is'} no longer there"
        return gone if is_entry else f"{gone} (before: {old})"
    return f"{name} {'go' if are_many else 'goes'} from {old} to {new}"


def _written(value: object, shape: Shape) -> str:
    """Return a value as it stands in a file, or in a sentence where it is a requirement."""
    if isinstance(value, Requirement):
        return f'"{sentence(value)}"'
    if isinstance(shape, ListShape | MappingShape):
        return _several(value, shape)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(shape, ScalarShape) and value is not None:
        text = value.words if isinstance(value, Period) else shape.scalar.write(value)
        return text if len(text) <= _LONGEST_VALUE else f"{text[: _LONGEST_VALUE - 1]}…"
    return "nothing" if value is None else _named(value)


def _several(value: object, shape: ListShape | MappingShape) -> str:
    """Return the entries of a list, or the names of a mapping with their values."""
    if isinstance(value, Mapping):
        return together(f"{key} {_written(each, shape.item)}" for key, each in value.items())
    entries = value if isinstance(value, tuple) else ()
    return together(_written(each, shape.item) for each in entries) or "none"


def _called(value: object) -> str:
    """Return what a record is called, if it has a name."""
    names = (getattr(value, name, None) for name in ("label", "name", "test", "title", "id"))
    return next((name for name in names if isinstance(name, str)), "")


def _named(value: object) -> str:
    return _called(value) or (value if isinstance(value, str) else _said(value))


def _said(value: object) -> str:
    parts = [
        f"{field.key.replace('_', ' ')} {_written(getattr(value, field.name), field.shape)}"
        for field in fields_of(type(value))
        if getattr(value, field.name) not in (None, ())
    ]
    return ", ".join(parts)
