"""JSON Schema of declared dataclasses, so that editors complete and check what people write."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from comity.core.declaring.fields import DeclaredField, fields_of, is_named_by_key
from comity.core.declaring.shapes import (
    ChoiceShape,
    ListShape,
    MappingShape,
    RecordShape,
    ScalarShape,
    Shape,
    TaggedShape,
    YesNoShape,
    shape_of,
)
from comity.core.declaring.tagged import Tagged
from comity.files.nodes import BlockNode, ListNode, Node
from comity.files.reading import takes_blank

if TYPE_CHECKING:
    from collections.abc import Iterable

_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
_YES_NO: Final = [True, False, "yes", "no", "Yes", "No", "YES", "NO"]
_NULL: Final = re.compile(r"|~|null|Null|NULL")
_TRUE_OR_FALSE: Final = re.compile(r"true|True|TRUE|false|False|FALSE")
_INTEGER: Final = re.compile(r"[-+]?[0-9]+", re.ASCII)
_FLOAT: Final = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", re.ASCII)


def json_schema(record: type, *, title: str) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the files that hold such a record.

    What ``read`` takes, the schema takes; it knows less of dates and codes than ``read``, and
    nothing of values that contradict each other.

    Parameters
    ----------
    record : type
        A declared dataclass or a family of them.
    title : str
        What people call such a file.
    """
    definitions = _Definitions()
    root = definitions.of(shape_of(record))
    definitions.fill()
    return {
        "$schema": _DIALECT,
        "title": title,
        **root,
        "$defs": dict(sorted(definitions.done.items())),
    }


def as_editors_see(node: Node) -> Any:
    """Return what an editor makes of a node before it looks into a schema.

    By the core schema of YAML 1.2.2, section 10.3: ``2019`` is a number, ``yes`` is text.
    """
    if isinstance(node, ListNode):
        return [as_editors_see(item) for item in node.items]
    if isinstance(node, BlockNode):
        return {key.text: as_editors_see(value) for key, value in node.entries}
    return node.text if node.is_quoted else _resolved(node.text)


def _resolved(text: str) -> Any:
    if _NULL.fullmatch(text):
        return None
    if _TRUE_OR_FALSE.fullmatch(text):
        return text.lower() == "true"
    if _INTEGER.fullmatch(text):
        return int(text)
    return float(text) if _FLOAT.fullmatch(text) else text


class _Definitions:
    """The records met on the way, each defined once by its name."""

    def __init__(self) -> None:
        self.done: dict[str, Any] = {}
        self._waiting: list[type] = []

    def of(self, shape: Shape) -> dict[str, Any]:
        """Return the schema of a shape; records are referred to."""
        if isinstance(shape, ScalarShape):
            return dict(shape.scalar.schema)
        if isinstance(shape, ChoiceShape):
            return {"enum": _spellings(word for word, _ in shape.values)}
        if isinstance(shape, YesNoShape):
            return {"enum": [*_YES_NO, *(["unknown"] if shape.may_be_unknown else [])]}
        return self._of_several(shape)

    def _of_several(
        self, shape: ListShape | MappingShape | RecordShape | TaggedShape
    ) -> dict[str, Any]:
        if isinstance(shape, ListShape):
            return {"type": "array", "items": self.of(shape.item)}
        if isinstance(shape, MappingShape):
            return {"type": "object", "additionalProperties": self.of(shape.item)}
        record = shape.family if isinstance(shape, TaggedShape) else shape.record
        return self._reference(record)

    def _reference(self, record: type) -> dict[str, Any]:
        if record.__name__ not in self.done:
            self.done[record.__name__] = {}
            self._waiting.append(record)
        return {"$ref": f"#/$defs/{record.__name__}"}

    def fill(self) -> None:
        """Define all records that are referred to, those that these refer to, and so on."""
        while self._waiting:
            record = self._waiting.pop()
            shape = shape_of(record)
            is_family = isinstance(shape, TaggedShape)
            self.done[record.__name__] = self._family(record) if is_family else self._record(record)

    def _family(self, family: type[Tagged]) -> dict[str, Any]:
        """Return the schema of a block that is decided by its kind, or by the key that says it.

        Decided, not tried one after the other: families hold themselves, and trying each member
        at each level would take a time that grows with the power of the depth.
        """
        members = family.members()
        named = [kind for kind, member in members.items() if is_named_by_key(member)]
        said = {
            "properties": {family.tag_key: {"enum": list(members)}},
            "required": [family.tag_key],
        }
        return {
            "type": "object",
            "anyOf": [said, *({"required": [kind]} for kind in named)],
            "allOf": [
                {"if": _decides(family.tag_key, member), "then": self._reference(member)}
                for member in members.values()
            ],
        }

    def _record(self, record: type) -> dict[str, Any]:
        fields = fields_of(record)
        properties = {declared.key: self._property(declared) for declared in fields}
        required = [declared.key for declared in fields if declared.is_required]
        if issubclass(record, Tagged):
            properties = {record.tag_key: {"const": record.kind}, **properties}
            required = [record.kind if is_named_by_key(record) else record.tag_key, *required]
        return {
            "type": "object",
            "description": (record.__doc__ or "").partition("\n")[0],
            "properties": properties,
            "required": list(dict.fromkeys(required)),
            "additionalProperties": False,
        }

    def _property(self, declared: DeclaredField) -> dict[str, Any]:
        schema = _bounded(self.of(declared.shape), declared)
        if isinstance(declared.shape, ListShape) and _is_one_text(declared.shape.item):
            schema = {"anyOf": [schema, self.of(declared.shape.item)]}
        if not declared.is_required or declared.may_be_none or takes_blank(declared.shape):
            schema = {"anyOf": [*schema.get("anyOf", [schema]), {"type": "null"}]}
        described = {"description": declared.doc, **schema}
        if declared.example is not None:
            described["examples"] = [_resolved(declared.example)]
        return described


def _decides(tag_key: str, member: type[Tagged]) -> dict[str, Any]:
    said = {"properties": {tag_key: {"const": member.kind}}, "required": [tag_key]}
    if not is_named_by_key(member):
        return said
    return {"anyOf": [said, {"required": [member.kind], "not": {"required": [tag_key]}}]}


def _spellings(words: Iterable[str]) -> list[Any]:
    """Return words as typed and as editors read them without quotes."""
    found: list[Any] = []
    for word in words:
        found += [form for form in (word, _resolved(word)) if not _holds(found, form)]
    return found


def _holds(found: list[Any], form: Any) -> bool:
    return any(known == form and type(known) is type(form) for known in found)


def _is_one_text(shape: Shape) -> bool:
    return isinstance(shape, ScalarShape | ChoiceShape | YesNoShape)


def _bounded(schema: dict[str, Any], declared: DeclaredField) -> dict[str, Any]:
    """Return the schema with what it can say of the least and greatest value."""
    if schema.get("type") == "array":
        bounds = {"minItems": declared.at_least, "maxItems": declared.at_most}
    elif "integer" in schema.get("type", ()):
        bounds = {"minimum": declared.at_least, "maximum": declared.at_most}
    else:
        bounds = {}
    return {**schema, **{name: bound for name, bound in bounds.items() if bound is not None}}
