"""The typefaces shipped with the brief, and which characters they can show."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path
from typing import Any, Final

FONT_FOLDER: Final = Path(__file__).parent / "fonts"
COVERAGE_FILE: Final = FONT_FOLDER / "coverage.txt"
REPLACEMENT: Final = "\N{REPLACEMENT CHARACTER}"
INVISIBLE: Final = frozenset({"Cc", "Cf", "Cs", "Co"})
"""Unicode categories left out: controls, marks that reorder, surrogates, private use."""
NO_BREAK: Final = "\N{NO-BREAK SPACE}"
SPACES: Final = re.compile(" {2,}")
JOINERS: Final = frozenset("\u200c\u200d")
"""Zero-width joiner and non-joiner: spelling, in Persian and other names."""


@cache
def covered_characters() -> frozenset[str]:
    """Return the characters that every weight of at least one shipped family can show."""
    lines = COVERAGE_FILE.read_text(encoding="ascii").splitlines()
    ranges = [line.split("-") for line in lines if line and not line.startswith("#")]
    return frozenset(
        chr(code) for ends in ranges for code in range(int(ends[0], 16), int(ends[-1], 16) + 1)
    )


def showable(text: str) -> str:
    """Return the text on one line, without what would break a page or make it lie.

    White space is collapsed; control characters and invisible marks that reorder text are left
    out; a character that no shipped typeface has becomes a replacement sign.
    """
    composed = unicodedata.normalize("NFC", text)
    kept = "".join(_shown(character) for character in composed)
    return SPACES.sub(" ", kept).strip()


def _shown(character: str) -> str:
    """Return what stands for one character."""
    if character.isspace() and character != NO_BREAK:
        return " "
    if unicodedata.category(character) in INVISIBLE and character not in JOINERS:
        return ""
    if character in covered_characters() or character in JOINERS:
        return character
    if unicodedata.combining(character):
        return ""
    return _nearest(character)


def _nearest(character: str) -> str:
    """Return a letter with its accents apart, else without them, else the replacement sign."""
    parts = unicodedata.normalize("NFD", character)
    if covered_characters().issuperset(parts):
        return parts
    return parts[0] if parts[0] in covered_characters() else REPLACEMENT


def cleaned(value: Any) -> Any:  # noqa: ANN401  # any JSON value
    """Return a JSON value with every text made showable."""
    if isinstance(value, str):
        return showable(value)
    if isinstance(value, dict):
        return {key: cleaned(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [cleaned(item) for item in value]
    return value


def has_unshowable(value: Any) -> bool:  # noqa: ANN401  # any JSON value
    """Tell whether a cleaned value had to leave a character out anywhere."""
    if isinstance(value, str):
        return REPLACEMENT in value
    items = value.values() if isinstance(value, dict) else value
    return isinstance(value, (dict, list, tuple)) and any(map(has_unshowable, items))
