"""Read a PDF back: its text, fonts, tags, and where its letters stand."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final

import pypdfium2  # type: ignore[import-untyped]
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pypdf.generic import PdfObject

INVISIBLE: Final = frozenset(" \r\n\t\0\u00a0\u200b")
LIGATURES: Final = {"fi", "fl", "ff", "if", "lf"}


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter on a page, its box in points from the lower left."""

    page: int
    text: str
    left: float
    bottom: float
    right: float
    top: float


def reader(pdf: bytes) -> PdfReader:
    """Open a PDF."""
    return PdfReader(io.BytesIO(pdf))


@cache
def page_texts(pdf: bytes) -> tuple[str, ...]:
    """Return the text of each page as it is."""
    return tuple(page.extract_text() for page in reader(pdf).pages)


def page_text(pdf: bytes, number: int) -> str:
    """Return the text of a page, counted from 1, with single spaces."""
    return " ".join(page_texts(pdf)[number - 1].split())


def squeezed(text: str) -> str:
    """Return the text without white space and other marks that only guide line breaks."""
    return re.sub(r"[\s\u200b\u00ad]", "", text)


def whole_text(pdf: bytes) -> str:
    """Return all text without white space."""
    return squeezed("".join(page_texts(pdf)))


def fonts(pdf: bytes) -> set[str]:
    """Return the names of the embedded fonts, without the prefix of their subset."""
    names = set()
    for item in objects(pdf):
        if item.get("/Type") == "/FontDescriptor":
            names.add(str(item["/FontName"]).removeprefix("/").split("+")[-1])
    return names


def are_all_fonts_embedded(pdf: bytes) -> bool:
    """Tell whether each font's program is in the file."""
    descriptors = [item for item in objects(pdf) if item.get("/Type") == "/FontDescriptor"]
    programs = {"/FontFile", "/FontFile2", "/FontFile3"}
    return bool(descriptors) and all(programs & set(item) for item in descriptors)


def objects(pdf: bytes) -> Iterator[DictionaryObject]:
    """Yield every dictionary of the file."""
    opened = reader(pdf)
    for number in range(1, len(opened.xref[0]) + 1):
        item = opened.get_object(number)
        if isinstance(item, DictionaryObject):
            yield item


def catalogue(pdf: bytes) -> dict[str, Any]:
    """Return the document's root dictionary."""
    root = reader(pdf).trailer["/Root"].get_object()
    assert isinstance(root, DictionaryObject)
    return root


def information(pdf: bytes) -> dict[str, str]:
    """Return title, date and the like."""
    return {key: str(value) for key, value in (reader(pdf).metadata or {}).items()}


def tags(pdf: bytes) -> list[tuple[str, dict[str, Any]]]:
    """Return the elements of the structure tree in reading order, with their attributes."""
    return list(_tags(catalogue(pdf)["/StructTreeRoot"]))


def _tags(item: PdfObject) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield an element and what is below it."""
    node = item.get_object()
    if isinstance(node, ArrayObject):
        for child in node:
            yield from _tags(child)
    elif isinstance(node, DictionaryObject):
        if "/S" in node:
            yield str(node["/S"]), {key: node[key] for key in node if key not in {"/K", "/P"}}
        if "/K" in node:
            yield from _tags(node["/K"])


@cache
def letters(pdf: bytes) -> tuple[Letter, ...]:
    """Return every visible letter with its tight box."""
    return tuple(letter for letter in _letters(pdf) if letter.text not in INVISIBLE)


def _letters(pdf: bytes) -> Iterator[Letter]:
    """Yield the letters page by page."""
    document = pypdfium2.PdfDocument(pdf)
    for number, page in enumerate(document, start=1):
        text_page = page.get_textpage()
        for index in range(text_page.count_chars()):
            code = pypdfium2.raw.FPDFText_GetUnicode(text_page, index)
            yield Letter(number, chr(code), *text_page.get_charbox(index))
        text_page.close()
    document.close()


def page_boxes(pdf: bytes) -> list[tuple[float, float]]:
    """Return the width and height of each page in points."""
    return [(float(p.mediabox.width), float(p.mediabox.height)) for p in reader(pdf).pages]


def overlapping(pdf: bytes) -> list[tuple[Letter, Letter]]:
    """Return pairs of letters of which one covers most of the other, ligatures aside."""
    placed = sorted(letters(pdf), key=lambda letter: (letter.page, letter.left))
    pairs = []
    for index, one in enumerate(placed):
        for other in placed[index + 1 :]:
            if other.page != one.page or other.left >= one.right:
                break
            covered = _shared(one, other) > 0.5 * min(_area(one), _area(other)) > 0
            if covered and one.text + other.text not in LIGATURES:
                pairs.append((one, other))
    return pairs


def _shared(one: Letter, other: Letter) -> float:
    """Return the area two letters share."""
    width = min(one.right, other.right) - max(one.left, other.left)
    height = min(one.top, other.top) - max(one.bottom, other.bottom)
    return max(width, 0.0) * max(height, 0.0)


def _area(letter: Letter) -> float:
    """Return a letter's area."""
    return (letter.right - letter.left) * (letter.top - letter.bottom)
