"""The marked-up text of an item as plain text, with what had to be left out."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from comity.files.qti_names import BLOCKS, INLINE

if TYPE_CHECKING:
    from comity.files.qti_xml import Element

_SPACES: Final = re.compile(r"[ \t\r]*[\t\r\n][ \t\r\n]*")
# XML holds none of these two signs: a space that only lays the file out, and the edge of a block.
_LAID_OUT: Final = "\v"
_EDGE: Final = "\f"
_AT_BREAK: Final = re.compile("\v*\n\v*")
_AT_EDGE: Final = re.compile("[\n\v ]*\f[\n\f\v ]*")
_RAISED: Final = str.maketrans("0123456789+-−", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁻")
_LOWERED: Final = str.maketrans("0123456789+-−", "₀₁₂₃₄₅₆₇₈₉₊₋₋")
_DIGITS: Final = re.compile(r"[0-9+−-]+")
_HARMFUL: Final = frozenset({"script", "style", "iframe"})
_CONTENT: Final = frozenset({"qti-prompt", "qti-content-body", "qti-item-body"})
_KNOWN: Final = INLINE | BLOCKS | _CONTENT | {"br", "sup", "sub"}
_LINE: Final = "\n"


@dataclass(slots=True)
class PlainText:
    """Text gathered from elements.

    Parameters
    ----------
    skip : frozenset of str
        Names of elements that are no part of the text.
    lost : list of Element
        What the text cannot say: pictures, tables, formulas, interactions.
    dropped : list of (Element, str)
        What was dropped on purpose, and what it was: scripts, styles, what runs on a click.
    """

    skip: frozenset[str] = frozenset()
    lost: list[Element] = field(default_factory=list)
    dropped: list[tuple[Element, str]] = field(default_factory=list)

    def of(self, element: Element) -> str:
        """Return the text in an element: blocks and breaks as lines, no empty line at the ends.

        What only lays the file out is dropped; breaks and spaces that were written are kept.
        """
        text = _AT_BREAK.sub(_LINE, _AT_EDGE.sub(_LINE, "".join(self._parts(element))))
        return text.strip(" \n\v").replace(_LAID_OUT, " ")

    def _parts(self, element: Element) -> list[str]:
        parts: list[str] = []
        for child in element.children:
            if isinstance(child, str):
                parts.append(_SPACES.sub(_LAID_OUT, child))
            elif child.name not in self.skip:
                parts.append(self._one(child))
        return parts

    def _one(self, element: Element) -> str:
        name = element.name
        if name in _HARMFUL:
            self.dropped.append((element, f"<{name}>"))
            return ""
        self._note_what_runs(element)
        if name not in _KNOWN:
            self.lost.append(element)
            return ""
        return _laid(name, "".join(self._parts(element)))

    def _note_what_runs(self, element: Element) -> None:
        for key, value in element.attributes.items():
            if key.startswith("on") or "javascript:" in value.replace(" ", "").lower():
                self.dropped.append((element, f"{key} of <{element.name}>"))


def _laid(name: str, inner: str) -> str:
    match name:
        case "br":
            return _LINE
        case "sup":
            return _moved(inner, _RAISED, sign="^")
        case "sub":
            return _moved(inner, _LOWERED, sign="_")
    return inner if name in INLINE else f"{_EDGE}{inner}{_EDGE}"


def _moved(text: str, table: dict[int, int], *, sign: str) -> str:
    """Return raised or lowered text: 10 to the 3rd must not become 103."""
    return text.translate(table) if _DIGITS.fullmatch(text) else f"{sign}({text})"
