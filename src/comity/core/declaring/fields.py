"""How a dataclass says what its fields mean, and what its values contradict."""

from __future__ import annotations

import dataclasses
from dataclasses import MISSING, dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final, NamedTuple, get_type_hints

from comity.core.declaring.shapes import Shape, is_optional, shape_of

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.core.declaring.tagged import Tagged

_KEY: Final = "comity"
Path = tuple[str | int, ...]


class Complaint(NamedTuple):
    """What a dataclass finds wrong with its values taken together.

    A declared dataclass may define ``complaints(self)``, which yields these. The path leads from
    the dataclass to the value, as ``("end",)``; the reader finds its place in the file, and puts
    the text that stands there where `got` is left empty. `related` holds the paths of the other
    values of a conflict, each with a word on what stands there.
    """

    code: str
    path: Path
    message: str
    got: str = ""
    expected: str = ""
    hint: str = ""
    related: tuple[tuple[Path, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Meaning:
    """What `declared` says of a field."""

    doc: str
    key: str | None
    example: str | None
    at_least: Any
    at_most: Any


@dataclass(frozen=True, slots=True)
class DeclaredField:
    """A field of a declared dataclass, with all that reader, schema and reference need.

    Parameters
    ----------
    name, key : str
        Its name in Python and in the file; the same unless declared otherwise.
    doc : str
        One sentence.
    shape : Shape
        What may stand there.
    is_required : bool
        Whether the key must stand in the file.
    may_be_none : bool
        Whether None is among its values.
    default : object
        The value of a key left out; ``dataclasses.MISSING`` where it is required.
    example : str or None
        A text that would do.
    at_least, at_most : object
        The least and greatest value; of a list, the least and greatest number of entries.
    """

    name: str
    key: str
    doc: str
    shape: Shape
    is_required: bool
    may_be_none: bool
    default: object
    example: str | None
    at_least: Any
    at_most: Any


def declared(
    doc: str,
    *,
    default: object = MISSING,
    example: str | None = None,
    key: str | None = None,
    at_least: object = None,
    at_most: object = None,
) -> Any:
    """Return a dataclass field that says what it means to reader, schema and reference.

    Parameters
    ----------
    doc : str
        One sentence for editors and for the reference.
    default : object
        Value of a key left out; without it the key is required.
    example : str or None
        A text that would do, where that of its type would not show enough.
    key : str or None
        Key in the file where it cannot be the field's name (``all``, ``not``).
    at_least, at_most : object
        Least and greatest value, or number of entries of a list.
    """
    metadata = {_KEY: Meaning(doc, key, example, at_least, at_most)}
    if isinstance(default, dict):
        return dataclasses.field(default_factory=default.copy, metadata=metadata)
    return dataclasses.field(default=default, metadata=metadata)


def fields_of(record: type) -> tuple[DeclaredField, ...]:
    """Return the declared fields of a dataclass, in the order in which they are written.

    A field that is not declared is no part of the file and must have a default.

    Raises
    ------
    TypeError
        When a field has neither a declaration nor a default, or a type no file can hold.
    """
    return _fields_of(record)


@cache
def _fields_of(record: type) -> tuple[DeclaredField, ...]:
    hints = get_type_hints(record, include_extras=True)
    fields = dataclasses.fields(record)
    bare = [
        field.name for field in fields if _KEY not in field.metadata and _default(field) is MISSING
    ]
    if bare:
        message = f"{record.__qualname__} does not say what its fields mean: {bare}"
        raise TypeError(message)
    return tuple(
        _declared_field(field, hints[field.name]) for field in fields if _KEY in field.metadata
    )


def is_named_by_key(member: type[Tagged]) -> bool:
    """Tell whether one of a member's keys says its kind, so that the kind need not be said."""
    return any(declared.key == member.kind for declared in fields_of(member))


def complaints_of(value: object) -> Iterable[Complaint]:
    """Return what a record finds wrong with its own values; nothing where it does not look."""
    look = getattr(value, "complaints", None)
    return () if look is None else look()


def _declared_field(field: dataclasses.Field[Any], annotation: object) -> DeclaredField:
    meaning: Meaning = field.metadata[_KEY]
    default = _default(field)
    if is_optional(annotation) and default not in (MISSING, None):
        message = f"{field.name} may be None, so None is the only default that can be written out"
        raise TypeError(message)
    return DeclaredField(
        name=field.name,
        key=meaning.key or field.name,
        doc=meaning.doc,
        shape=shape_of(annotation),
        is_required=default is MISSING,
        may_be_none=is_optional(annotation),
        default=default,
        example=meaning.example,
        at_least=meaning.at_least,
        at_most=meaning.at_most,
    )


def _default(field: dataclasses.Field[Any]) -> object:
    return field.default if field.default_factory is MISSING else field.default_factory()
