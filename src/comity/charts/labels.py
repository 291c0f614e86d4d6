"""Break labels into lines that fit, without knowing the reader's typeface.

Widths are estimated a little too wide, so that a line which fits here also fits on the page,
whether the page has our typeface or another sans serif.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

CLASSES: Final = (
    (" ',.ijl!:;[]f|\u00a0", 0.31),
    ('()rt{}-/\\I"', 0.41),
    ("?*Jcszvxy", 0.53),
    ("mwMW@%&", 0.93),
)
ADVANCES: Final = {character: share for letters, share in CLASSES for character in letters}
LOWER: Final = 0.59
UPPER: Final = 0.7
OTHER_SCRIPT: Final = 0.8
FULL_WIDTH: Final = 1.05
FIRST_OTHER_SCRIPT: Final = 0x0590
BETWEEN_WORDS: Final = re.compile(r"[^\S\u00a0]+")
"""White space at which a line may end; a no-break space is none."""
ELLIPSIS: Final = "\u2026"


def estimated_width(text: str, *, size: float) -> float:
    """Return the width of a line in the unit of `size`, rather too wide than too narrow."""
    return size * sum(_advance(character) for character in text)


def _advance(character: str) -> float:
    """Return the width of one character as a share of the type size."""
    if character in ADVANCES:
        return ADVANCES[character]
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return FULL_WIDTH
    if ord(character) >= FIRST_OTHER_SCRIPT:
        return OTHER_SCRIPT
    return UPPER if character.isupper() else LOWER


def wrapped(text: str, *, width: float, size: float, most_lines: int) -> tuple[str, ...]:
    """Return the text as lines no wider than `width`; the last one is elided if need be.

    Words that alone are too wide are broken where the line is full.
    """
    lines: list[str] = []
    for word in filter(None, BETWEEN_WORDS.split(text)):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and estimated_width(joined, size=size) <= width:
            lines[-1] = joined
        else:
            lines.extend(_pieces(word, width=width, size=size))
    if len(lines) <= most_lines:
        return tuple(lines) or ("",)
    return (*lines[: most_lines - 1], _elided(lines[most_lines - 1], width=width, size=size))


def _pieces(word: str, *, width: float, size: float) -> list[str]:
    """Cut a word into pieces that fit."""
    pieces = [""]
    for character in word:
        if pieces[-1] and estimated_width(pieces[-1] + character, size=size) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


def _elided(line: str, *, width: float, size: float) -> str:
    """Shorten a line so that it fits with an ellipsis after it."""
    while line and estimated_width(line + ELLIPSIS, size=size) > width:
        line = line[:-1]
    return line.rstrip() + ELLIPSIS
