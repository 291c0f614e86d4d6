"""What a field may hold, read from its annotation."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import dataclass, is_dataclass
from enum import StrEnum
from typing import Annotated, Any, Literal, TypeAlias, Union, get_args, get_origin

from comity.core.declaring.scalar import Scalar
from comity.core.declaring.scalars import SCALAR_BY_TYPE
from comity.core.declaring.tagged import Tagged


@dataclass(frozen=True, slots=True)
class ScalarShape:
    """One piece of text that is parsed."""

    scalar: Scalar


@dataclass(frozen=True, slots=True)
class ChoiceShape:
    """One of a few words; each stands for its value."""

    values: tuple[tuple[str, object], ...]


@dataclass(frozen=True, slots=True)
class YesNoShape:
    """``yes`` or ``no``; where nothing may be said, ``unknown`` says nothing."""

    may_be_unknown: bool


@dataclass(frozen=True, slots=True)
class ListShape:
    """Several of a kind, in order."""

    item: Shape


@dataclass(frozen=True, slots=True)
class MappingShape:
    """Several of a kind, each under a name of the writer's choice."""

    item: Shape


@dataclass(frozen=True, slots=True)
class RecordShape:
    """A block of declared keys."""

    record: type


@dataclass(frozen=True, slots=True)
class TaggedShape:
    """A block of keys that says its kind."""

    family: type[Tagged]


Shape: TypeAlias = (
    ScalarShape | ChoiceShape | YesNoShape | ListShape | MappingShape | RecordShape | TaggedShape
)


def is_optional(annotation: object) -> bool:
    """Tell whether None is among the types of an annotation."""
    return _is_union(annotation) and type(None) in get_args(annotation)


def shape_of(annotation: object) -> Shape:
    """Return the shape that an annotation asks for; None beside a type is left aside.

    Raises
    ------
    TypeError
        When no shape is known for the annotation: a mistake in the declaration.
    """
    if _is_union(annotation):
        return _shape_of_union(annotation)
    origin = get_origin(annotation)
    if origin is None:
        return _shape_of_class(annotation)
    if origin is Annotated:
        return _shape_of_annotated(annotation)
    return _shape_of_generic(annotation)


def _is_union(annotation: object) -> bool:
    return get_origin(annotation) in (Union, types.UnionType)


def _shape_of_union(annotation: object) -> Shape:
    parts = [part for part in get_args(annotation) if part is not type(None)]
    if len(parts) != 1:
        raise _no_shape(annotation)
    return YesNoShape(may_be_unknown=True) if parts[0] is bool else shape_of(parts[0])


def _shape_of_class(annotation: object) -> Shape:
    if annotation is bool:
        return YesNoShape(may_be_unknown=False)
    if not isinstance(annotation, type):
        raise _no_shape(annotation)
    if annotation in SCALAR_BY_TYPE:
        return ScalarShape(SCALAR_BY_TYPE[annotation])
    if issubclass(annotation, StrEnum):
        return ChoiceShape(tuple((member.value, member) for member in annotation))
    if issubclass(annotation, Tagged) and "kind" not in annotation.__dict__:
        return TaggedShape(annotation)
    if is_dataclass(annotation):
        return RecordShape(annotation)
    raise _no_shape(annotation)


def _shape_of_annotated(annotation: Any) -> Shape:
    scalar = next((part for part in annotation.__metadata__ if isinstance(part, Scalar)), None)
    return shape_of(get_args(annotation)[0]) if scalar is None else ScalarShape(scalar)


def _shape_of_generic(annotation: object) -> Shape:
    arguments = get_args(annotation)
    match get_origin(annotation), arguments:
        case typing_form, _ if typing_form is Literal:
            return ChoiceShape(tuple((str(value), value) for value in arguments))
        case builtin, (item, last) if builtin is tuple and last is Ellipsis:
            return ListShape(_shape_of_item(item))
        case abstract, (key, item) if abstract is Mapping and _is_text(key):
            return MappingShape(_shape_of_item(item))
    raise _no_shape(annotation)


def _shape_of_item(annotation: object) -> Shape:
    if is_optional(annotation):
        raise _no_shape(annotation)
    return shape_of(annotation)


def _is_text(annotation: object) -> bool:
    return annotation is str or (
        get_origin(annotation) is Annotated and get_args(annotation)[0] is str
    )


def _no_shape(annotation: object) -> TypeError:
    return TypeError(f"no value of a file can be declared as {annotation!r}")
