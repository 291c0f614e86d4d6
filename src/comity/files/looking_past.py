"""What can still be read where part of a file cannot: so that all problems are told in one run."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeVar

from comity.files.nodes import BlockNode, ListNode, Node, TextNode
from comity.files.reading import read

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from comity.core.problems import Place, Problem
    from comity.files.reading import Reading

T = TypeVar("T")
_N_ROUNDS: Final = 8
"""How often something more may turn out unreadable once its part is left out."""
_N_OUTER: Final = 2
"""Blocks whose parts stand for themselves: the file and a title, or the file and its facts."""


def problems_past(
    node: Node,
    record: type[T],
    first: Reading[T],
    *,
    find: Callable[[T, Reading[T]], Iterable[Problem]],
) -> Iterator[Problem]:
    """Yield the errors in what is left of a file of which something cannot be read.

    A requirement, a fact or another entry is left out whole where part of it cannot be read.
    What names an entry left out is not told: it may be right.

    Parameters
    ----------
    node : Node
        All that the file holds.
    record : type
        A declared dataclass.
    first : Reading
        What was found when the whole file was read, errors among it.
    find : callable
        Looks at a record once it could be read.
    """
    reading, left_out = first, frozenset[str]()
    for _round in range(_N_ROUNDS):
        if reading.value is not None:
            for problem in find(reading.value, reading):
                if problem.severity == "error" and problem.got.strip("'") not in left_out:
                    yield problem
            return
        places = {_start(each.place) for each in reading.problems if each.place is not None}
        kept, lost = _without(node, places)
        if kept is None or kept == node:
            return
        node, left_out = kept, left_out | lost
        reading = read(node, record)


def _start(place: Place) -> tuple[int, int]:
    return place.line, place.column


def _without(
    node: Node, places: set[tuple[int, int]], *, depth: int = 0
) -> tuple[Node | None, frozenset[str]]:
    """Return a node without the entries that hold one of the places, and the ids lost so.

    The outer blocks lose single keys and entries; one further inside goes whole with any of its
    parts, since its other parts may mean something else alone.
    """
    if isinstance(node, TextNode):
        return (None if _start(node.place) in places else node), frozenset()
    if isinstance(node, BlockNode):
        return _block_without(node, places, depth=depth)
    kept = [_without(item, places, depth=depth) for item in node.items]
    is_spoiled = depth > _N_OUTER and any(each is None for each, _ids in kept)
    if is_spoiled or (_start(node.place) in places and all(each for each, _ids in kept)):
        return None, _ids_in(node)
    left = tuple(each for each, _ids in kept if each is not None)
    lost = [
        _ids_in(item) if each is None else ids
        for item, (each, ids) in zip(node.items, kept, strict=True)
    ]
    return ListNode(left, node.place), frozenset().union(*lost)


def _block_without(
    node: BlockNode, places: set[tuple[int, int]], *, depth: int
) -> tuple[Node | None, frozenset[str]]:
    named = tuple(pair for pair in node.entries if _start(pair[0].place) in places)
    asked = [pair for pair in node.entries if pair not in named]
    kept = [(pair, *_without(pair[1], places, depth=depth + 1)) for pair in asked]
    is_spoiled = depth >= _N_OUTER and any(each is None for _pair, each, _ids in kept)
    if is_spoiled or (_start(node.place) in places and not named):
        return None, _ids_in(node)
    left = tuple((pair[0], each) for pair, each, _ids in kept if each is not None)
    gone = (*named, *(pair for pair, each, _ids in kept if each is None))
    lost = _ids_in(BlockNode(gone, node.place)).union(*(ids for _pair, _each, ids in kept))
    return BlockNode(left, node.place), lost


def _ids_in(node: Node) -> frozenset[str]:
    """Return all words that may be ids somewhere in a node: keys and single values."""
    if isinstance(node, ListNode):
        return frozenset().union(*(_ids_in(item) for item in node.items))
    if not isinstance(node, BlockNode):
        return frozenset()
    keys = {key.text for key, _value in node.entries}
    ids = {
        value.text
        for key, value in node.entries
        if key.text == "id" and isinstance(value, TextNode)
    }
    return frozenset(keys | ids).union(*(_ids_in(value) for _key, value in node.entries))
