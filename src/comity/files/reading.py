"""From the nodes of a file to a declared dataclass, with a problem for each thing amiss."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Generic, TypeVar, cast

from comity.core.declaring.fields import (
    Complaint,
    DeclaredField,
    Path,
    complaints_of,
    fields_of,
    is_named_by_key,
)
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
from comity.core.problems import Place, Problem, sorted_by_place
from comity.files import misreadings
from comity.files.misreadings import Asked
from comity.files.nodes import BlockNode, ListNode, Node, TextNode
from comity.files.wording import quoted

if TYPE_CHECKING:
    from collections.abc import Mapping

T = TypeVar("T")
_YES_AND_NO: Final = {"yes": True, "true": True, "no": False, "false": False}
_NOTHING: Final = frozenset(("", "~", "null", "Null", "NULL"))


class _Unread:
    """Stands for a value that could not be made; its problem is told."""


_UNREAD: Final = _Unread()


@dataclass(frozen=True, slots=True)
class Reading(Generic[T]):
    """What a file says, what is wrong with it, and where each value stands.

    Parameters
    ----------
    value : object or None
        None where there is an error.
    problems : tuple of Problem
        By place.
    places : mapping
        From paths such as ``("facts", "practice", 0, "start")`` to places.
    """

    value: T | None
    problems: tuple[Problem, ...]
    places: Mapping[Path, Place]

    def place_of(self, path: Path) -> Place | None:
        """Return the place of a value, or of the nearest value that holds it."""
        return place_of(path, self.places)


def place_of(path: Path, places: Mapping[Path, Place]) -> Place | None:
    """Return the place of a path, or of the longest part of it that has one."""
    steps = range(len(path), -1, -1)
    return next((places[path[:n]] for n in steps if path[:n] in places), None)


def read(node: Node, record: type[T], *, sorts: Mapping[str, type] | None = None) -> Reading[T]:
    """Return the record that stands in a file.

    Parameters
    ----------
    node : Node
        All that the file holds.
    record : type
        A declared dataclass, or a family of them.
    sorts : mapping, optional
        Records that whole files may hold, by what people call such a file; with it, a file of
        another sort is called by its name.

    Returns
    -------
    Reading
        With all problems found in one go.
    """
    misplaced = misreadings.find_other_sort(node, record, sorts or {})
    if misplaced is not None:
        return Reading(None, (misplaced,), {(): node.place})
    reader = _Reader()
    value = reader.value(node, shape_of(record), Asked("the file", ()))
    places = {path: found.place for path, found in reader.nodes.items()}
    return Reading(
        None if value is _UNREAD else cast("T", value), sorted_by_place(reader.problems), places
    )


@dataclass(slots=True)
class _Reader:
    """Collects problems, and the node of each path, while values are made."""

    problems: list[Problem] = field(default_factory=list)
    nodes: dict[Path, Node] = field(default_factory=dict)

    def value(self, node: Node, shape: Shape, asked: Asked) -> object:
        """Return the value of a node in a shape, or `_UNREAD`."""
        self.nodes[asked.path] = node
        if isinstance(node, TextNode) and node.is_blank and not takes_blank(shape):
            return self._refuse(misreadings.blank(node.place, asked))
        if isinstance(shape, ScalarShape):
            return self._scalar(node, shape, asked)
        if isinstance(shape, ChoiceShape):
            return self._choice(node, shape, asked)
        if isinstance(shape, YesNoShape):
            return self._yes_or_no(node, shape, asked)
        return self._several(node, shape, asked)

    def _refuse(self, problem: Problem) -> _Unread:
        self.problems.append(problem)
        return _UNREAD

    # ------------------------------------------------------------------ one piece of text

    def _scalar(self, node: Node, shape: ScalarShape, asked: Asked) -> object:
        scalar = shape.scalar
        if not isinstance(node, TextNode):
            return self._refuse(misreadings.not_text(node, asked, scalar.noun))
        try:
            value = scalar.parse(node.text if scalar.is_text else node.text.strip())
        except ValueError as error:
            return self._refuse(misreadings.unparsed(node, asked, scalar, hint=str(error)))
        problem = misreadings.find_out_of_bounds(node, asked, scalar, value=value)
        return value if problem is None else self._refuse(problem)

    def _choice(self, node: Node, shape: ChoiceShape, asked: Asked) -> object:
        values = dict(shape.values)
        if not isinstance(node, TextNode):
            return self._refuse(misreadings.not_text(node, asked, "a word"))
        if node.text in values:
            return values[node.text]
        return self._refuse(misreadings.no_choice(node, asked, tuple(values)))

    def _yes_or_no(self, node: Node, shape: YesNoShape, asked: Asked) -> object:
        words = {**_YES_AND_NO, "unknown": None} if shape.may_be_unknown else _YES_AND_NO
        if not isinstance(node, TextNode):
            return self._refuse(misreadings.not_text(node, asked, "yes or no"))
        if node.text.lower() in words:
            return words[node.text.lower()]
        return self._refuse(misreadings.not_yes_or_no(node, asked))

    # ------------------------------------------------------------------------------ several

    def _several(
        self, node: Node, shape: ListShape | MappingShape | RecordShape | TaggedShape, asked: Asked
    ) -> object:
        if isinstance(shape, ListShape):
            return self._list(node, shape, asked)
        if isinstance(shape, MappingShape):
            return self._mapping(node, shape, asked)
        if isinstance(shape, RecordShape):
            return self._record(node, shape.record, asked)
        return self._tagged(node, shape, asked)

    def _list(self, node: Node, shape: ListShape, asked: Asked) -> object:
        one = isinstance(shape.item, ScalarShape | ChoiceShape | YesNoShape)
        items: tuple[object, ...]
        if isinstance(node, TextNode) and one:
            items = (self.value(node, shape.item, asked.entry(0)),)
        elif isinstance(node, ListNode):
            items = tuple(
                self.value(item, shape.item, asked.entry(n)) for n, item in enumerate(node.items)
            )
        else:
            return self._refuse(misreadings.not_list(node, asked))
        if _UNREAD in items:
            return _UNREAD
        problem = misreadings.find_wrong_length(node, asked, len(items))
        return items if problem is None else self._refuse(problem)

    def _mapping(self, node: Node, shape: MappingShape, asked: Asked) -> object:
        if not isinstance(node, BlockNode):
            return self._refuse(misreadings.not_block(node, asked))
        values = {
            key.text: self.value(value, shape.item, asked.under(key.text))
            for key, value in node.entries
        }
        return _UNREAD if _UNREAD in values.values() else values

    # ------------------------------------------------------------------------------- blocks

    def _tagged(self, node: Node, shape: TaggedShape, asked: Asked) -> object:
        if not isinstance(node, BlockNode):
            return self._refuse(misreadings.not_block(node, asked))
        family = shape.family
        members = family.members()
        kind = node.get(family.tag_key)
        if kind is None:
            named = [
                key.text
                for key, _ in node.entries
                if key.text in members and is_named_by_key(members[key.text])
            ]
            if len(named) != 1:
                return self._refuse(misreadings.no_kind(node, family, named))
            return self._record(node, members[named[0]], asked)
        if isinstance(kind, TextNode) and kind.text in members:
            return self._record(node, members[kind.text], asked)
        return self._refuse(misreadings.unknown_kind(kind, family))

    def _record(self, node: Node, record: type, asked: Asked) -> object:
        if not isinstance(node, BlockNode):
            return self._refuse(misreadings.not_block(node, asked))
        n_before = len(self.problems)
        self.problems += misreadings.find_unknown_keys(node, record)
        self.problems += misreadings.find_missing_keys(node, record)
        values = self._values(node, record, asked.path)
        if len(self.problems) > n_before:
            return _UNREAD
        value = record(**values)
        self.problems += [
            self._problem_of(complaint, asked.path) for complaint in complaints_of(value)
        ]
        return value if len(self.problems) == n_before else _UNREAD

    def _values(self, node: BlockNode, record: type, path: Path) -> dict[str, object]:
        nodes = {key.text: value for key, value in node.entries}
        return {
            declared.name: self._field(nodes[declared.key], declared, path)
            for declared in fields_of(record)
            if declared.key in nodes
        }

    def _field(self, node: Node, declared: DeclaredField, path: Path) -> object:
        asked = Asked(f'"{declared.key}"', (*path, declared.key), declared)
        if declared.name != declared.key:
            # Complaints of the core speak of fields, people of keys.
            self.nodes[(*path, declared.name)] = node
        if says_nothing(node, declared):
            self.nodes[asked.path] = node
            return None if declared.is_required else declared.default
        return self.value(node, declared.shape, asked)

    def _problem_of(self, complaint: Complaint, path: Path) -> Problem:
        """Return the problem of a complaint, at the place of the value that it speaks of."""
        found = self.nearest((*path, *complaint.path))
        is_there = (*path, *complaint.path) in self.nodes and isinstance(found, TextNode)
        return Problem(
            complaint.code,
            complaint.message,
            place=found.place,
            got=complaint.got or (quoted(found) if is_there else ""),
            expected=complaint.expected,
            hint=complaint.hint,
            related=tuple(
                (self.nearest((*path, *other)).place, says) for other, says in complaint.related
            ),
        )

    def nearest(self, path: Path) -> Node:
        """Return the node of a path, or of the longest part of it that stands in the file."""
        steps = range(len(path), -1, -1)
        return next(self.nodes[path[:n]] for n in steps if path[:n] in self.nodes)


def takes_blank(shape: Shape) -> bool:
    """Tell whether nothing at all is a value."""
    return isinstance(shape, ScalarShape) and shape.scalar.takes_blank


def says_nothing(node: Node, declared: DeclaredField) -> bool:
    """Tell whether a key is left blank where leaving it out would do, too."""
    if not isinstance(node, TextNode) or node.is_quoted:
        return False
    if declared.is_required and not declared.may_be_none:
        return False
    is_text = isinstance(declared.shape, ScalarShape) and declared.shape.scalar.is_text
    return node.is_blank if is_text else node.text in _NOTHING
