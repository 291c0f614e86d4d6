"""An applicant file as plain data, for programs and for the person it is about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from comity.core.declaring.fields import fields_of
from comity.core.declaring.shapes import (
    ChoiceShape,
    ListShape,
    MappingShape,
    ScalarShape,
    Shape,
    YesNoShape,
)

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant


def applicant_as_json(applicant: Applicant) -> dict[str, Any]:
    """Return what an applicant file says, by the keys of the file.

    What has its default is left out; days are written as in the file, whole numbers are numbers,
    and what was asked for and is not known is null.
    """
    return _record(applicant)


def _record(record: object) -> dict[str, Any]:
    found = {}
    for declared in fields_of(type(record)):
        value = getattr(record, declared.name)
        if declared.is_required or value != declared.default:
            found[declared.key] = _plain(value, declared.shape)
    return found


def _plain(value: Any, shape: Shape) -> Any:  # noqa: ANN401 - the file's values are of any sort
    if value is None or isinstance(shape, YesNoShape):
        return value
    if isinstance(shape, ListShape):
        return [_plain(item, shape.item) for item in value]
    if isinstance(shape, MappingShape):
        return {key: _plain(item, shape.item) for key, item in value.items()}
    if isinstance(shape, ChoiceShape):
        return next(word for word, known in shape.values if known == value)
    if isinstance(shape, ScalarShape):
        text = shape.scalar.write(value)
        return value if isinstance(value, int) and text == str(value) else text
    return _record(value)
