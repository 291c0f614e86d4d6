"""How problems call what stands in a file: quoted, shortened, listed, and what was meant."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Final

from comity.files.nodes import ListNode, Node, TextNode

if TYPE_CHECKING:
    from collections.abc import Sequence

_MAX_SHOWN: Final = 60
_MAX_LISTED: Final = 12
# Comparing with a longer word costs time and finds nothing.
_MAX_COMPARED: Final = 80


def shortened(text: str) -> str:
    """Return a text short enough for a message."""
    return text if len(text) <= _MAX_SHOWN else f"{text[: _MAX_SHOWN - 1]}…"


def quoted(node: Node) -> str:
    """Return what stands there, as a message shows it."""
    if isinstance(node, TextNode):
        return f"'{shortened(node.text)}'"
    return "a list" if isinstance(node, ListNode) else "a block of keys"


def listed(words: Sequence[str]) -> str:
    """Return words as people list them: "a, b or c"."""
    shown = [shortened(word) for word in words[:_MAX_LISTED]]
    if len(words) > _MAX_LISTED:
        return f"{', '.join(shown)}, …"
    return " or ".join(filter(None, (", ".join(shown[:-1]), shown[-1])))


def nearest(word: str, known: Sequence[str]) -> str | None:
    """Return the known word that was probably meant."""
    lowered = {name.lower(): name for name in known}
    typed = word.lower()[:_MAX_COMPARED]
    found = get_close_matches(typed.replace("-", "_"), lowered, n=1)
    found = found or get_close_matches(typed, lowered, n=1)
    return lowered[found[0]] if found else None
