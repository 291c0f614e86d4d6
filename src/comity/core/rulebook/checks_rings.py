"""The check for rings: requirements that hold because they hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from comity.core.rulebook.editions import Path, everything_in, target_of
from comity.core.rulebook.findings import Finding, Related
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import SameAs
from comity.core.rulebook.model import Edition, Title


class _Edge(NamedTuple):
    """From a requirement to one on whose days it depends, with the place that says so."""

    to: Path
    says_at: Path | None
    word: str = ""


@dataclass(slots=True)
class _Search:
    """A search in depth that remembers the way it came."""

    edges: dict[Path, list[_Edge]]
    way: list[_Edge] = field(default_factory=list)
    done: set[Path] = field(default_factory=set)
    rings: dict[frozenset[Path], list[_Edge]] = field(default_factory=dict)

    def visit(self, node: Path) -> None:
        """Follow all edges of a node; an edge back onto the way closes a ring."""
        for edge in self.edges.get(node, ()):
            on_way = [each.to for each in self.way]
            if edge.to in on_way:
                ring = [*self.way[on_way.index(edge.to) + 1 :], edge]
                self.rings.setdefault(frozenset(each.to for each in ring), ring)
            elif edge.to not in self.done:
                self.way.append(edge)
                self.visit(edge.to)
                self.way.pop()
        self.done.add(node)


def find_rings(edition: Edition) -> Iterator[Finding]:
    """Yield each ring through `same as` and `deems` once, with all its places."""
    names: dict[Path, str] = {}
    search = _Search(_edges(edition, names))
    for node in names:
        search.way = [_Edge(node, None)]
        search.visit(node)
    for ring in search.rings.values():
        yield _ring(ring, names)


def _edges(edition: Edition, names: dict[Path, str]) -> dict[Path, list[_Edge]]:
    edges: dict[Path, list[_Edge]] = {}
    for index, title in enumerate(edition.titles):
        base: Path = ("titles", index)
        for listed in everything_in(title):
            here = (*base, *listed.path)
            names[here] = listed.requirement.id or ""
            edges[here] = [_Edge((*here, *step), None) for step, _ in listed.requirement.parts()]
            edges[here] += _same_as(edition, title, (listed.requirement, here))
            edges[here] += _deemed(title, base, name=listed.requirement.id)
    return edges


def _same_as(edition: Edition, title: Title, where: tuple[Requirement, Path]) -> Iterator[_Edge]:
    requirement, here = where
    if isinstance(requirement, SameAs):
        found = target_of(edition, title, name=requirement.requirement)
        if found is not None:
            place, listed = found
            index = next(n for n, each in enumerate(edition.titles) if each is place)
            says_at = (*here, "requirement")
            yield _Edge(("titles", index, *listed.path), says_at, "same as")


def _deemed(title: Title, base: Path, *, name: str | None) -> Iterator[_Edge]:
    for index, deems in enumerate(title.deems):
        for position, satisfied in enumerate(deems.satisfies):
            if satisfied == name:
                here = (*base, "deems", index)
                yield _Edge(
                    (*here, "when"), (*here, "satisfies", position), f"deemed by {deems.id}"
                )


def _ring(ring: list[_Edge], names: dict[Path, str]) -> Finding:
    """Return the finding for a ring, at the first place that takes part in it."""
    start = next(n for n, edge in enumerate(ring) if edge.says_at is not None)
    turned = [*ring[start:], *ring[:start]]
    places = [(edge.says_at, edge.word) for edge in turned if edge.says_at is not None]
    words = [names[edge.to] or edge.word for edge in turned]
    said = [word for word in words if word]
    return Finding(
        code="R119",
        path=places[0][0],
        message="requirements depend on each other in a ring, so none of them says anything",
        got=" → ".join((said[-1], *said)),
        expected="requirements that come down to facts",
        hint="say what one of them asks by itself instead of pointing to another",
        related=tuple(Related(0, path, word) for path, word in places[1:]),
    )
