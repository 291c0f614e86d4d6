"""What a program can see in the text of an item: words, numbers, units, ranges."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from comity.core.exam.writing_words import STOP_WORDS

_WORD: Final = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
_SENTENCE: Final = re.compile(r"(?<=[.?!])\s+(?=[A-Z(])")
_ENDINGS: Final = ("ations", "ation", "ically", "ings", "ing", "ies", "ed", "es", "ly", "al", "s")
_NUMBER: Final = r"[-+−]?\d+(?:[ ,]\d{3})*(?:\.\d+)?"
# A number that begins a value; not one that begins a name, as in 24-hour recall.
_QUANTITY: Final = re.compile(
    rf"(?:about |around |≈ ?|[A-Z]{{3}} |[$€£])?({_NUMBER})(?![\d-]*-[a-z])"
    r"\s*([%°µ]?[A-Za-z²³/%]*(?:/[A-Za-z]+)*)"
)
_RANGE: Final = re.compile(rf"({_NUMBER})\s*(?:-|–|to)\s*({_NUMBER})(?:\D|$)")
_LEAST_LETTERS: Final = 4


class Quantity(NamedTuple):
    """A number with its unit, which may be empty."""

    number: float
    unit: str


def words(text: str) -> list[str]:
    """Return the words of a text, in small letters."""
    return [word.lower() for word in _WORD.findall(text)]


def sentences(text: str) -> list[str]:
    """Return the sentences of a text."""
    return [each for each in _SENTENCE.split(" ".join(text.split())) if each]


def question_of(text: str) -> str:
    """Return the sentence that asks: the last one with a question mark, else the last one."""
    found = sentences(text)
    asking = [each for each in found if each.rstrip().endswith("?")]
    return (asking or found or [""])[-1]


def content(text: str) -> frozenset[str]:
    """Return the words that carry meaning, without their endings."""
    return frozenset(
        root(word) for word in words(text) if word not in STOP_WORDS and len(word) >= _LEAST_LETTERS
    )


def root(word: str) -> str:
    """Return a word without a common ending, so that two forms of it are the same.

    Examples
    --------
    >>> root("absorbed") == root("absorbs") == root("absorbing")
    True
    """
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= _LEAST_LETTERS:
            return word[: -len(ending)].rstrip("e")
    return word.rstrip("e")


def quantity(text: str) -> Quantity | None:
    """Return the number that a text begins with and its unit; None where it begins with a word."""
    match = _QUANTITY.match(text.strip())
    if match is None:
        return None
    unit = match[2].rstrip("s") if len(match[2]) > 1 else match[2]
    return Quantity(to_number(match[1]), unit)


def interval(text: str) -> tuple[float, float] | None:
    """Return the two ends of the range that a text states, if it states one."""
    match = _RANGE.search(text)
    if match is None:
        return None
    low, high = to_number(match[1]), to_number(match[2].lstrip("-"))
    return (low, high) if low < high else None


def to_number(text: str) -> float:
    """Return the number that digits with grouping signs stand for."""
    return float(text.replace(",", "").replace(" ", "").replace("−", "-"))
