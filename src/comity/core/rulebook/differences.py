"""Where two records differ, and a difference in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

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
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.phrases import together
from comity.core.rulebook.prose import sentence

Path = tuple[str | int, ...]
_ENTRIES = {"of": "part", "requires": "part"}
_DATED = frozenset(("sittings",))
_LONGEST_VALUE = 60


class Values(NamedTuple):
    """Two values and the shape that both have."""

    old: object
    new: object
    shape: Shape


class Difference(NamedTuple):
    """Two values that differ, None where there is none on one side.

    `trail` names what lies between the subject and the value, for people.
    """

    path: Path
    trail: tuple[str, ...]
    old: object
    new: object
    shape: Shape

    def inside(self, step: str | int, name: str, values: Values) -> Difference:
        """Return the difference one step further in, by its name for people."""
        return Difference((*self.path, step), (*self.trail, name), *values)


def differences(
    old: object, new: object, *, apart: frozenset[str] = frozenset()
) -> Iterator[Difference]:
    """Yield where two records of one type differ, as deep as both have the same shape."""
    found = Difference((), (), old, new, RecordShape(type(new)))
    yield from _in_record(found, apart=apart)


def _in_record(found: Difference, *, apart: frozenset[str]) -> Iterator[Difference]:
    for field in fields_of(type(found.new)):
        if field.key not in apart:
            old, new = getattr(found.old, field.name), getattr(found.new, field.name)
            name = field.key.replace("_", " ")
            yield from _compared(found.inside(field.key, name, Values(old, new, field.shape)))


def _compared(found: Difference) -> Iterator[Difference]:
    _, _, old, new, shape = found
    if old == new:
        return
    if isinstance(shape, RecordShape | TaggedShape) and type(old) is type(new):
        yield from _in_record(found, apart=frozenset())
    elif isinstance(shape, MappingShape) and isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in {**old, **new}:
            values = Values(old.get(key), new.get(key), shape.item)
            yield from _compared(found.inside(key, key, values))
    elif isinstance(shape, ListShape) and _is_of_records(shape) and _fit(old, new):
        yield from _in_list(found, shape.item)
    else:
        yield found


def _in_list(found: Difference, item: Shape) -> Iterator[Difference]:
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
        yield from _compared(here.inside(index, name, Values(old, new, item)))


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


# ------------------------------------------------------------------------------------ words


def moved(found: Difference) -> str:
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
