"""What stands in a YAML file: text, lists and blocks of keys, each with its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from comity.core.problems import Place


@dataclass(frozen=True, slots=True)
class TextNode:
    """One value, exactly as typed: `NO`, `2019` and `1:30` stay text."""

    text: str
    place: Place
    is_quoted: bool = False

    @property
    def is_blank(self) -> bool:
        """Whether nothing at all stands there."""
        return not self.text and not self.is_quoted


@dataclass(frozen=True, slots=True)
class ListNode:
    """Entries in their order."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class BlockNode:
    """Keys with their values, in the order of the file; no key stands twice."""

    entries: tuple[tuple[TextNode, Node], ...]
    place: Place

    def get(self, key: str) -> Node | None:
        """Return the value of a key, or None."""
        return next((value for name, value in self.entries if name.text == key), None)


Node: TypeAlias = TextNode | ListNode | BlockNode
