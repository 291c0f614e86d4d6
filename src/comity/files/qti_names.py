"""The editions of QTI that are read, brought to the names of 3.0."""

from __future__ import annotations

import re
from typing import Final

from comity.files.qti_xml import Element

QTI_3: Final = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
_QTI_2: Final = (
    "http://www.imsglobal.org/xsd/imsqti_v2p1",
    "http://www.imsglobal.org/xsd/imsqti_v2p2",
)
EDITIONS: Final = {QTI_3: "3.0", _QTI_2[0]: "2.1", _QTI_2[1]: "2.2"}
INLINE: Final = frozenset(
    {"a", "abbr", "b", "bdi", "bdo", "big", "cite", "code", "dfn", "em", "i", "kbd", "label", "q"}
    | {"s", "samp", "small", "span", "strong", "tt", "u", "var"}
)
BLOCKS: Final = frozenset(
    {"address", "blockquote", "dd", "div", "dl", "dt", "h1", "h2", "h3", "h4", "h5", "h6", "li"}
    | {"ol", "p", "pre", "section", "ul"}
)
_OTHER_HTML: Final = frozenset(
    {"audio", "br", "caption", "col", "colgroup", "hr", "iframe", "img", "math", "object", "param"}
    | {"script", "source", "style", "sub", "sup", "svg", "table", "tbody", "td", "tfoot", "th"}
    | {"thead", "tr", "track", "video"}
)
_CAPITAL: Final = re.compile(r"(?<=[a-z0-9])([A-Z])")


def as_edition_3(root: Element) -> Element:
    """Return an item of 2.1 or 2.2 with the names of 3.0; one of 3.0 as it is."""
    return _renamed(root) if root.namespace in _QTI_2 else root


def _renamed(element: Element) -> Element:
    name = element.name
    if name not in INLINE | BLOCKS | _OTHER_HTML:
        name = f"qti-{_kebab(name)}"
    attributes = {_kebab(key): value for key, value in element.attributes.items()}
    children = [child if isinstance(child, str) else _renamed(child) for child in element.children]
    return Element(name, element.namespace, attributes, element.place, children)


def _kebab(name: str) -> str:
    return _CAPITAL.sub(r"-\1", name).lower()
