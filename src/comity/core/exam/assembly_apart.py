"""Items that must not meet in a form: they name each other, or one tells the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.core.exam.writing import telling_pairs

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.exam.assembly_request import Request
    from comity.core.exam.items import Item


def kept_apart(items: Sequence[Item], request: Request) -> tuple[frozenset[int], ...]:
    """Return sets of numbers of items of which a form may hold one at most.

    Pairs are gathered into sets in which every two are a pair: one condition in place of many, and
    one from which a solver learns more.
    """
    place = {item.id: number for number, item in enumerate(items)}
    asked = tuple(frozenset(place[id_] for id_ in ids if id_ in place) for ids in request.apart)
    pairs = {frozenset(pair) for pair in _pairs(items, place)}
    if "writing" not in request.leave_aside:
        pairs |= {frozenset(pair) for pair in telling_pairs(items)}
    return (*(each for each in asked if len(each) > 1), *_gathered(pairs))


def _pairs(items: Sequence[Item], place: Mapping[str, int]) -> Iterator[tuple[int, int]]:
    for number, item in enumerate(items):
        for other in item.not_with:
            if other in place and place[other] != number:
                yield number, place[other]


def _gathered(pairs: set[frozenset[int]]) -> Iterator[frozenset[int]]:
    near: dict[int, set[int]] = {}
    for one, other in (sorted(pair) for pair in pairs):
        near.setdefault(one, set()).add(other)
        near.setdefault(other, set()).add(one)
    left = set(pairs)
    for pair in sorted(pairs, key=sorted):
        if pair not in left:
            continue
        group = set(pair)
        for other in sorted(set.intersection(*(near[each] for each in group))):
            if group <= near[other]:
                group.add(other)
        left -= {frozenset((a, b)) for a in group for b in group if a != b}
        yield frozenset(group)
