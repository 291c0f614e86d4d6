"""From the bytes of a file to its text, or to what keeps it from being one."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, Final

from comity.core.problems import Place, Problem

if TYPE_CHECKING:
    from pathlib import Path

MAX_BYTES: Final = 5_000_000
_BYTE_ORDER_MARK: Final = "\ufeff"
# C0 and C1 controls but tab and line ends; line ends of YAML that no editor counts as such; signs
# that cannot be seen or that turn the direction of writing (joiners and direction marks, which
# names in Arabic or Hindi need, are fine); halves of characters; code points that are none.
_UNREADABLE: Final = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\xad\u200b\u2028-\u202e\u2060-\u2069\ufeff"
    "\ud800-\udfff\ufffe\uffff]"
)
_MARKS_OF_UTF_16: Final = (b"\xff\xfe", b"\xfe\xff")
_LOOKED_AT: Final = 8


def read_bytes(path: Path, file: str) -> tuple[bytes, tuple[Problem, ...]]:
    """Return the bytes of a file, no more than one above the greatest size that is read."""
    try:
        with path.open("rb") as stream:
            return stream.read(MAX_BYTES + 1), ()
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return b"", (unreadable_file(file, f"from the system: {reason}"),)


def unreadable_file(file: str, got: str) -> Problem:
    """Return the problem of a file that the system does not let be read."""
    return Problem(
        "F111",
        "the file cannot be read",
        place=Place(file, 0, 0),
        got=got,
        hint="compare the path with the folder's contents, and ask who may read the file",
    )


def text_of(data: bytes, file: str) -> tuple[str, tuple[Problem, ...]]:
    """Return the text of a file's bytes, with a replacement where they are no text.

    A byte-order mark at the beginning is dropped. The text serves to show problems in it even
    when there are some.
    """
    if len(data) > MAX_BYTES:
        return "", (_too_large(file),)
    if _is_utf_16(data):
        return "", (_not_utf8(Place(file, 0, 0), "what looks like UTF-16"),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        text = data.decode("utf-8", errors="replace").removeprefix(_BYTE_ORDER_MARK)
        before = data[: error.start].decode("utf-8").removeprefix(_BYTE_ORDER_MARK)
        place = place_at(before, len(before), file)
        return text, (_not_utf8(place, f"the byte {data[error.start]:02X}"),)
    text = text.removeprefix(_BYTE_ORDER_MARK)
    return text, find_unreadable(text, file)


def find_unreadable(text: str, file: str) -> tuple[Problem, ...]:
    """Return a problem for the first character that must not stand in a file, if there is one."""
    match = _UNREADABLE.search(text)
    if match is None:
        return ()
    return (unreadable_character(match.group(), place_at(text, match.start(), file)),)


def find_unreadable_in_value(text: str, place: Place) -> tuple[Problem, ...]:
    """Return a problem for a value that a backslash code gave such a character."""
    match = _UNREADABLE.search(text) or re.search("\r", text)
    return () if match is None else (unreadable_character(match.group(), place),)


def unreadable_character(character: str, place: Place) -> Problem:
    """Return the problem of a character that must not stand in a file."""
    name = unicodedata.name(character, "")
    return Problem(
        "F103",
        "a character stands here that cannot be seen and must not be in a file",
        place=place,
        got=f"U+{ord(character):04X}{name and f' ({name.lower()})'}",
        expected="text, spaces and line ends only",
        hint="delete it and type the words beside it anew; it often comes with pasted text",
    )


def place_at(text: str, index: int, file: str) -> Place:
    """Return the place of the character with that index."""
    lines = re.split(r"\r\n|\r|\n", text[:index])
    column = len(lines[-1]) + 1
    return Place(file, len(lines), column, column + 1)


def _too_large(file: str) -> Problem:
    return Problem(
        "F109",
        "the file is too large to be written by people",
        place=Place(file, 0, 0),
        got=f"more than {MAX_BYTES // 1_000_000} MB",
        expected="some kilobytes",
        hint="check that it is the right file; of many applicants, give each a file",
    )


def _is_utf_16(data: bytes) -> bool:
    """Tell whether there is the mark of UTF-16, or every other byte at the beginning is null."""
    null = b"\0" * (_LOOKED_AT // 2)
    begins = data[:_LOOKED_AT]
    return data.startswith(_MARKS_OF_UTF_16) or (begins[::2] == null) != (begins[1::2] == null)


def _not_utf8(place: Place, got: str) -> Problem:
    return Problem(
        "F102",
        "the file is not written in UTF-8",
        place=place,
        got=got,
        expected="UTF-8",
        hint="in your editor, save the file with the encoding UTF-8",
    )
