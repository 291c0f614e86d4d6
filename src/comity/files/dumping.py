"""From a declared dataclass back to YAML that reads as the same."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any, Final

from comity.core.declaring.fields import fields_of, is_named_by_key
from comity.core.declaring.shapes import (
    ChoiceShape,
    ListShape,
    MappingShape,
    ScalarShape,
    Shape,
    YesNoShape,
)
from comity.core.declaring.tagged import Tagged

if TYPE_CHECKING:
    from collections.abc import Iterator

_STEP: Final = "  "
# Text that YAML leaves as it stands, for us and for editors: begins with a letter, digit or dot,
# and holds no sign that could begin a comment, a key or a list.
_PLAIN: Final = re.compile(r"[\w.][\w .()/+%~?-]*(?<! )|[\w.][\w .()/+%~?:-]*[\w)%]|-[0-9][0-9./]*")
_NOT_PLAIN: Final = re.compile(r": |null|~", re.IGNORECASE)


def dump_yaml(record: Any) -> str:
    """Return a declared dataclass as YAML, its keys in the order of their declaration.

    What has its default is left out. ``read`` makes an equal dataclass of the text.

    Parameters
    ----------
    record : object
        An instance of a declared dataclass whose texts hold no control characters.

    Returns
    -------
    str
        Ends with a line end.
    """
    return "\n".join(_block(record)) + "\n"


def _block(record: Any) -> list[str]:
    """Return the lines of a record, not indented; `{}` where all has its default."""
    lines = list(_kind_line(record))
    for declared in fields_of(type(record)):
        value = getattr(record, declared.name)
        if declared.is_required or value != declared.default:
            lines += _entry(declared.key, value, declared.shape)
    return lines or ["{}"]


def _kind_line(record: Any) -> Iterator[str]:
    if isinstance(record, Tagged) and not is_named_by_key(type(record)):
        yield f"{record.tag_key}: {_text(record.kind)}"


def _entry(key: str, value: Any, shape: Shape) -> list[str]:
    """Return the lines of a key with its value."""
    name = _text(key)
    if value is None:
        # Only `unknown` and a blank say nothing, and a required yes or no needs a word.
        return [f"{name}: unknown" if isinstance(shape, YesNoShape) else f"{name}:"]
    if isinstance(shape, ScalarShape | ChoiceShape | YesNoShape):
        first, *rest = _scalar(value, shape)
        return [f"{name}: {first}", *(_STEP + line if line else line for line in rest)]
    lines = _several(value, shape)
    if lines in (["[]"], ["{}"]):
        return [f"{name}: {lines[0]}"]
    return [f"{name}:", *(_STEP + line if line else line for line in lines)]


def _several(value: Any, shape: Shape) -> list[str]:
    if isinstance(shape, ListShape):
        lines = [line for item in value for line in _item(item, shape.item)]
        return lines or ["[]"]
    if isinstance(shape, MappingShape):
        lines = [line for key in value for line in _entry(key, value[key], shape.item)]
        return lines or ["{}"]
    return _block(value)


def _item(value: Any, shape: Shape) -> list[str]:
    """Return the lines of an entry of a list, begun with a hyphen."""
    if isinstance(shape, ScalarShape | ChoiceShape | YesNoShape):
        lines = _scalar(value, shape)
    else:
        lines = _several(value, shape)
    first, *rest = lines
    return [f"- {first}", *(_STEP + line if line else line for line in rest)]


def _scalar(value: Any, shape: ScalarShape | ChoiceShape | YesNoShape) -> list[str]:
    if isinstance(shape, YesNoShape):
        return ["yes" if value else "no"]
    if isinstance(shape, ChoiceShape):
        return [next(_text(word) for word, known in shape.values if known == value)]
    text = shape.scalar.write(value)
    return _literal(text) if "\n" in text else [_text(text)]


def _literal(text: str) -> list[str]:
    """Return a text of several lines as it stands; only its own indentation is added."""
    return ["|-", *text.split("\n")]


def _text(text: str) -> str:
    """Return a text of one line, in quotes where YAML needs them."""
    if _PLAIN.fullmatch(text) and not _NOT_PLAIN.search(text):
        return text
    return json.dumps(text, ensure_ascii=False)
