"""Values that are words: a line, a text, an identifier."""

from __future__ import annotations

import re
import unicodedata
from typing import Annotated, Final, TypeAlias

from comity.core.declaring.scalar import Scalar, refuse

# YAML gives editors a number or a truth value for `2019` and `true`; to us they are words.
_WORDS: Final = ["string", "number", "boolean"]
_IDENTIFIER: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def _parse_line(text: str) -> str:
    line = text.strip()
    if not line:
        refuse("write a word or more, or leave the line out")
    if "\n" in line:
        refuse("write it on one line")
    return line


def _parse_text(text: str) -> str:
    stripped = text.strip()
    if not stripped:
        refuse("write a word or more, or leave the line out")
    return stripped


def slug(text: str) -> str:
    """Return the identifier nearest to a text, or an empty text where no letter is left.

    Examples
    --------
    >>> slug("Good Standing (Élan)")
    'good-standing-elan'
    """
    ascii_text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return "-".join(re.findall(r"[a-z0-9]+", ascii_text.lower()))


def _parse_identifier(text: str) -> str:
    if _IDENTIFIER.fullmatch(text):
        return text
    nearest = slug(text)
    return refuse(f"write {nearest}" if nearest else "")


LINE: Final = Scalar(
    name="line of text",
    noun="a line of text",
    code="F401",
    example="Ward dietitian",
    parse=_parse_line,
    write=str,
    schema={"type": _WORDS},
    is_text=True,
)
TEXT: Final = Scalar(
    name="text",
    noun="a text",
    code="F401",
    example="Ward dietitian",
    parse=_parse_text,
    write=str,
    schema={"type": _WORDS},
    is_text=True,
)
IDENTIFIER: Final = Scalar(
    name="identifier",
    noun="a short name of small letters, digits and single hyphens",
    code="F402",
    example="good-standing",
    parse=_parse_identifier,
    write=str,
    schema={"type": _WORDS, "pattern": f"^{_IDENTIFIER.pattern}$"},
)

Text: TypeAlias = Annotated[str, TEXT]
Identifier: TypeAlias = Annotated[str, IDENTIFIER]
