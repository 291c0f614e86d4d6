"""XML from strangers as plain elements with places; what could do harm is refused.

No document type, no entity, no inclusion, nothing fetched, no schema looked up; sizes are bounded.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final
from xml.parsers.expat import ErrorString

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import ParseError, XMLParser

from comity.core.problems import Place, Problem
from comity.files.decoding import MAX_BYTES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

MAX_ELEMENTS: Final = 50_000
MAX_DEPTH: Final = 60
_XINCLUDE: Final = "http://www.w3.org/2001/XInclude"


@dataclass(frozen=True, slots=True, eq=False)
class Element:
    """An element: its name without prefix, namespace, attributes, texts and elements in order."""

    name: str
    namespace: str
    attributes: Mapping[str, str]
    place: Place
    children: list[Element | str] = field(default_factory=list)

    @property
    def elements(self) -> Iterator[Element]:
        """The elements in it."""
        return (child for child in self.children if isinstance(child, Element))

    def walk(self) -> Iterator[Element]:
        """Yield the element and all within it."""
        yield self
        for child in self.elements:
            yield from child.walk()

    def first(self, name: str) -> Element | None:
        """Return the first element of a name right below it."""
        return next((child for child in self.elements if child.name == name), None)

    def all_text(self) -> str:
        """Return the text in it, spaces at the ends cut."""
        parts = (c if isinstance(c, str) else c.all_text() for c in self.children)
        return "".join(parts).strip()


class _RefusedError(Exception):
    """Carries the problem for which an XML text is not read on."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def parse_xml(data: bytes, file: str) -> tuple[Element | None, tuple[Problem, ...]]:
    """Return the root of an XML text, or the one problem that keeps it from being read."""
    if len(data) > MAX_BYTES:
        place = Place(file, 0, 0)
        got, expected = f"{len(data):,} bytes", f"at most {MAX_BYTES:,}"
        return None, (_too_large(place, got=got, expected=expected),)
    builder = _Builder(file)
    parser: Any = XMLParser(target=builder, forbid_dtd=True)
    builder.parser = parser.parser
    try:
        parser.feed(data)
        parser.close()
    except _RefusedError as refused:
        return None, (refused.problem,)
    except DefusedXmlException:
        return None, (_declares(builder.place()),)
    except (ParseError, ValueError, LookupError) as error:
        return None, (_broken(error, file),)
    return builder.root, ()


class _Builder:
    """What the parser tells as it goes along."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.parser: Any = None
        self.root: Element | None = None
        self._open: list[Element] = []
        self._n_elements = 0

    def place(self) -> Place:
        """Return where the parser stands."""
        line, column = self.parser.CurrentLineNumber, self.parser.CurrentColumnNumber
        return Place(self.file, line, column + 1)

    def start(self, tag: str, attributes: Mapping[str, str]) -> None:
        """Open an element."""
        namespace, _, name = tag[1:].partition("}") if tag.startswith("{") else ("", "", tag)
        place = self.place()
        if namespace == _XINCLUDE:
            raise _RefusedError(_includes(place))
        self._n_elements += 1
        if self._n_elements > MAX_ELEMENTS or len(self._open) >= MAX_DEPTH:
            got = f"more than {MAX_ELEMENTS:,} elements, or {MAX_DEPTH} within each other"
            raise _RefusedError(_too_large(place, got=got, expected="an item of some hundred"))
        plain = {key.rpartition("}")[2]: value for key, value in attributes.items()}
        element = Element(name, namespace, plain, place)
        if self._open:
            self._open[-1].children.append(element)
        else:
            self.root = element
        self._open.append(element)

    def end(self, _tag: str) -> None:
        """Close the element that is open."""
        self._open.pop()

    def data(self, text: str) -> None:
        """Take text."""
        self._open[-1].children.append(text)

    def close(self) -> None:
        """Do nothing at the end."""


def _too_large(place: Place, *, got: str, expected: str) -> Problem:
    return Problem(
        "X405",
        "the XML is too large to be an item",
        place=place,
        got=got,
        expected=expected,
        hint="give each item a file of its own",
    )


def _declares(place: Place) -> Problem:
    return Problem(
        "X404",
        "the XML declares a document type",
        place=place,
        expected="an item that begins with its root element",
        hint="delete the line that begins with <!DOCTYPE; nothing of ours needs it",
    )


def _includes(place: Place) -> Problem:
    return Problem(
        "X404",
        "the XML includes another file",
        place=place,
        expected="an item that stands in one file",
        hint="put what is included into the file; nothing is fetched",
    )


def _broken(error: Exception, file: str) -> Problem:
    line, column = getattr(error, "position", (1, 0))
    code = getattr(error, "code", None)
    reason = ErrorString(code) if code is not None else str(error)
    return Problem(
        "X403",
        "the file is not well-formed XML",
        place=Place(file, line, column + 1),
        got=f"from the reader: {reason}",
        hint="export it again; a file cut off by a broken download looks like this",
    )
