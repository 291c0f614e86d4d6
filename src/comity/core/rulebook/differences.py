"""Where two records differ, and a difference in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from comity.core.days.calendar import iso
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.declaring.fields import fields_of
from comity.core.declaring.shapes import (
    ListShape,
    MappingShape,
    RecordShape,
    ScalarShape,
    Shape,
    TaggedShape,
    YesNoShape,
)
from comity.core.rulebook.key_words import called, entry_called, one_of, with_article
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.phrases import day_said, together
from comity.core.rulebook.prose import sentence

Path = tuple[str | int, ...]
_KNOWN_BY = ("id", "on", "test", "how", "category", "categories")
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
            name = called(type(found.new), field.key)
            yield from _compared(found.inside(field.key, name, Values(old, new, field.shape)))


def _compared(found: Difference) -> Iterator[Difference]:
    _, _, old, new, shape = found
    if old == new:
        return
    if isinstance(shape, RecordShape | TaggedShape) and type(old) is type(new):
        yield from _in_record(found, apart=frozenset())
    elif isinstance(shape, MappingShape) and isinstance(old, Mapping) and isinstance(new, Mapping):
        here = found._replace(trail=found.trail[:-1])
        for key in {**old, **new}:
            values = Values(old.get(key), new.get(key), shape.item)
            yield from _compared(here.inside(key, entry_called(found.path[-1], key), values))
    elif isinstance(shape, ListShape) and _is_of_records(shape) and _fit(old, new):
        yield from _in_list(found, shape.item)
    else:
        yield found


def _in_list(found: Difference, item: Shape) -> Iterator[Difference]:
    """Yield differences of entries side by side: by what identifies them, else by position.

    The position told is that in the new list, or in the old one of an entry that is gone.
    """
    before, after = _keyed(found.old), _keyed(found.new)
    key = str(found.path[-1])
    here = found._replace(trail=found.trail[:-1])
    for entry in {**after, **before}:
        old, new = before.get(entry), after.get(entry)
        index = list(before if new is None else after).index(entry)
        name = _name_of(old if new is None else new) or _numbered(key, entry, index)
        yield from _compared(here.inside(index, name, Values(old, new, item)))


def _numbered(key: str, entry: object, index: int) -> str:
    """Return ``band 2``, or ``the sitting of 2026-05-09`` for what is known by its day."""
    noun = one_of(key)
    if key in _DATED and isinstance(entry, tuple):
        return f"the {noun} of {iso(entry[0])}"
    return f"{noun} {index + 1}"


def _keyed(entries: object) -> dict[object, object]:
    assert isinstance(entries, tuple)  # noqa: S101  (`_fit` has looked)
    found: dict[object, object] = {}
    for index, entry in enumerate(entries):
        identity = _identity(entry)
        n_before = sum(_identity(other) == identity for other in entries[:index])
        found[index if identity is None else (identity, n_before)] = entry
    return found


def _identity(entry: object) -> object:
    """Return by what an entry is known from edition to edition: id, day, name of the test, kind."""
    values = (getattr(entry, name, None) for name in _KNOWN_BY)
    return next((value for value in values if value is not None), None)


def _is_of_records(shape: ListShape) -> bool:
    return isinstance(shape.item, RecordShape | TaggedShape)


def _fit(old: object, new: object) -> bool:
    return isinstance(old, tuple) and isinstance(new, tuple)


# ------------------------------------------------------------------------------------ words


def moved(found: Difference) -> str:
    """Return ``the amount goes from 24 months to 18 months``."""
    is_entry = isinstance(found.path[-1], int)
    name = found.trail[-1] if is_entry else with_article(found.trail[-1])
    are_many = isinstance(found.shape, ListShape | MappingShape)
    old, new = (_written(value, found.shape) for value in (found.old, found.new))
    if isinstance(found.shape, YesNoShape):
        return f"{found.trail[-1]}: before {old}, now {new}"
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
        text = _text(value, shape)
        return text if len(text) <= _LONGEST_VALUE else f"{text[: _LONGEST_VALUE - 1]}…"
    return "nothing" if value is None else _named(value)


def _text(value: object, shape: ScalarShape) -> str:
    if isinstance(value, Period):
        return value.words
    return day_said(value) if isinstance(value, PartialDate) else shape.scalar.write(value)


def _several(value: object, shape: ListShape | MappingShape) -> str:
    """Return the entries of a list, or the names of a mapping with their values."""
    if isinstance(value, Mapping):
        return together(f"{key} {_written(each, shape.item)}" for key, each in value.items())
    entries = value if isinstance(value, tuple) else ()
    return together(_written(each, shape.item) for each in entries) or "none"


def _name_of(value: object) -> str:
    """Return what a record is called, if it has a name."""
    names = (getattr(value, name, None) for name in ("label", "name", "test", "title", "id"))
    return next((name for name in names if isinstance(name, str)), "")


def _named(value: object) -> str:
    return _name_of(value) or (value if isinstance(value, str) else _said(value))


def _said(value: object) -> str:
    parts = [
        f"{called(type(value), field.key)} {_written(getattr(value, field.name), field.shape)}"
        for field in fields_of(type(value))
        if getattr(value, field.name) not in (None, ())
    ]
    return ", ".join(parts)
