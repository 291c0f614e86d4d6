"""YAML as people write it, read into nodes with places; its rarer powers are refused."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import yaml as pyyaml

from comity.core.problems import Place, Problem
from comity.files.decoding import (
    find_unreadable,
    find_unreadable_in_value,
    read_bytes,
    text_of,
)
from comity.files.nodes import BlockNode, ListNode, Node, TextNode
from comity.files.syntax import explain

MAX_DEPTH: Final = 40
MAX_NODES: Final = 20_000
# The parser in C is some 20 times faster; the one in Python stands in where there is none.
_LOADER: Final[Any] = getattr(pyyaml, "CSafeLoader", pyyaml.SafeLoader)
_LINE_END: Final = re.compile(r"\r\n|\r|\n")


class _RefusedError(Exception):
    """The file holds what no further reading can make sense of."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


@dataclass(slots=True)
class _Open:
    """A list or a block of keys that has begun and not ended."""

    place: Place
    is_block: bool
    key: TextNode | None = None
    items: list[Node] = field(default_factory=list)
    entries: list[tuple[TextNode, Node]] = field(default_factory=list)
    places: dict[str, Place] = field(default_factory=dict)


def read_tree(source: Path | bytes | str, file: str) -> tuple[Node | None, tuple[Problem, ...]]:
    """Return what stands in a YAML file, and all that is wrong with it as YAML.

    Parameters
    ----------
    source : Path, bytes or str
        Where it stands, or what stands in it.
    file : str
        What to call it in problems.

    Returns
    -------
    tuple of (Node or None, tuple of Problem)
        None where nothing can be made of it. Values stay text as it was typed.
    """
    text, problems = read_text(source, file)
    if problems:
        return None, problems
    if not text.strip():
        return None, (_empty(file),)
    builder = _Builder(file)
    try:
        for event in pyyaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except _RefusedError as refusal:
        return None, (*builder.problems, refusal.problem)
    except pyyaml.YAMLError as error:
        return None, (*builder.problems, explain(error, _LINE_END.split(text), file))
    if builder.root is None:
        return None, (_empty(file),)
    return builder.root, tuple(builder.problems)


def read_text(source: Path | bytes | str, file: str) -> tuple[str, tuple[Problem, ...]]:
    """Return the text of a file; with problems it serves only to show them."""
    if isinstance(source, str):
        text = source.removeprefix("\ufeff")
        return text, find_unreadable(text, file)
    if isinstance(source, Path):
        source, problems = read_bytes(source, file)
        if problems:
            return "", problems
    return text_of(source, file)


class _Builder:
    """Makes nodes of the parser's events, with a stack of its own: depth costs no recursion."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.root: Node | None = None
        self.problems: list[Problem] = []
        self._open: list[_Open] = []
        self._n_documents = 0
        self._n_nodes = 0

    def take(self, event: Any) -> None:
        """Take the next event."""
        if isinstance(event, pyyaml.ScalarEvent):
            self._begin_node(event)
            self._close(self._text_node(event))
        elif isinstance(event, pyyaml.CollectionStartEvent):
            self._begin_node(event)
            self._begin_collection(event)
        elif isinstance(event, pyyaml.CollectionEndEvent):
            self._end_collection()
        elif isinstance(event, pyyaml.AliasEvent):
            raise _RefusedError(_refused_power("an alias (*)", self._place(event)))
        elif isinstance(event, pyyaml.DocumentStartEvent):
            self._begin_document(event)

    def _begin_document(self, event: Any) -> None:
        self._n_documents += 1
        if self._n_documents > 1:
            place = self._place(event)
            raise _RefusedError(
                Problem(
                    "F108",
                    "a second document begins here, and a file holds one",
                    place=place,
                    got="---",
                    hint="delete the line, or put what follows in a file of its own",
                )
            )

    def _begin_node(self, event: Any) -> None:
        self._n_nodes += 1
        if self._n_nodes > MAX_NODES:
            raise _RefusedError(_too_many(self._place(event)))
        if event.anchor is not None:
            raise _RefusedError(_refused_power("an anchor (&)", self._place(event)))
        if event.tag not in (None, "!"):
            raise _RefusedError(_refused_power("a tag (!)", self._place(event)))

    def _text_node(self, event: Any) -> TextNode:
        node = TextNode(event.value, self._place(event), is_quoted=event.style not in (None, ""))
        self.problems += find_unreadable_in_value(node.text, node.place)
        return node

    def _begin_collection(self, event: Any) -> None:
        is_block = isinstance(event, pyyaml.MappingStartEvent)
        if len(self._open) == MAX_DEPTH:
            raise _RefusedError(_too_deep(self._place(event)))
        self._open.append(_Open(self._place(event), is_block))

    def _end_collection(self) -> None:
        done = self._open.pop()
        if not done.is_block:
            self._close(ListNode(tuple(done.items), done.place))
            return
        place = done.entries[0][0].place if done.entries else done.place
        self._close(BlockNode(tuple(done.entries), place))

    def _close(self, node: Node) -> None:
        """Hand a finished node to the collection that it belongs to."""
        if not self._open:
            # A file of nothing but comments is one blank text.
            self.root = None if isinstance(node, TextNode) and node.is_blank else node
            return
        parent = self._open[-1]
        if not parent.is_block:
            parent.items.append(node)
        elif parent.key is not None:
            self._add_entry(parent, parent.key, node)
            parent.key = None
        else:
            parent.key = self._checked_key(node)

    def _checked_key(self, node: Node) -> TextNode:
        if not isinstance(node, TextNode):
            raise _RefusedError(_no_key(node.place))
        if node.text == "<<" and not node.is_quoted:
            raise _RefusedError(_refused_power("a merge key (<<)", node.place))
        if not node.text.strip() or "\n" in node.text:
            raise _RefusedError(_no_key(node.place))
        return node

    def _add_entry(self, block: _Open, key: TextNode, value: Node) -> None:
        first = block.places.setdefault(key.text, key.place)
        if first is key.place:
            block.entries.append((key, value))
            return
        self.problems.append(
            Problem(
                "F106",
                "a key stands twice in one block",
                place=key.place,
                got=f"'{key.text}' again",
                hint="keep one of the two; of several entries, make a list",
                related=((first, "first time"),),
            )
        )

    def _place(self, event: Any) -> Place:
        start, end = event.start_mark, event.end_mark
        line, column = start.line + 1, start.column + 1
        ends_here = end.line == start.line and end.column > start.column
        return Place(self.file, line, column, end.column + 1 if ends_here else column + 1)


def _empty(file: str) -> Problem:
    return Problem(
        "F101",
        "the file is empty",
        place=Place(file, 0, 0),
        got="nothing but blank lines and comments",
        expected="a block of keys, as name: value",
    )


def _refused_power(what: str, place: Place) -> Problem:
    return Problem(
        "F107",
        f"YAML reads {what} here; these files do without",
        place=place,
        hint="write the value out in full; if it is text, put it in quotes",
    )


def _too_deep(place: Place) -> Problem:
    return Problem(
        "F110",
        "the file is nested too deep",
        place=place,
        got=f"more than {MAX_DEPTH} levels",
        hint="check the brackets; no file needs more than a few levels",
    )


def _too_many(place: Place) -> Problem:
    return Problem(
        "F109",
        "the file is too large to be written by people",
        place=place,
        got=f"more than {MAX_NODES:,} values".replace(",", " "),
        hint="check that it is the right file; of many applicants, give each a file",
    )


def _no_key(place: Place) -> Problem:
    return Problem(
        "F112",
        "a key must be a word or a few",
        place=place,
        expected="a word before the colon, as name: value",
    )
