"""Clues to the key: after Haladyna, Downing and Rodriguez (2002), guidelines 24 and 28."""

from __future__ import annotations

import re
from difflib import SequenceMatcher
from itertools import combinations
from statistics import fmean
from typing import TYPE_CHECKING, Final

from comity.core.exam.writing_flaws import Draft, Flaw
from comity.core.exam.writing_text import content, words
from comity.core.exam.writing_words import (
    ALL_OF_THEM,
    COMBINED,
    DETERMINERS,
    NONE_OF_THEM,
    OPPOSITES,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

_OPTIONS: Final = ("options",)
_LONGER: Final = 1.5
_SHORTEST_LONG_KEY: Final = 30
_REFERS: Final = re.compile(rf"{ALL_OF_THEM.pattern}|{NONE_OF_THEM.pattern}|^none$", re.I)
_ALIKE: Final = 0.85
_VOWEL: Final = re.compile(r"[aeiou]|h(?:our|onest)", re.I)
_NO_VOWEL: Final = re.compile(r"(?:uni|use|eu|one\b|uri)", re.I)
_PLURAL: Final = re.compile(r"(?<![sui])s$|(?:ies|ses|xes)$| and ", re.I)
_MARKS: Final = (
    ("brackets", re.compile(r"\([^)]*\)")),
    ("a year", re.compile(r"\b(?:19|20)\d\d\b")),
    ("figures", re.compile(r"(?<![A-Za-z\d.])\d+(?![\d-]*-[a-z])")),
)
_DECIMALS: Final = re.compile(r"\.(\d+)")


def longest_key(draft: Draft) -> Iterator[Flaw]:
    """Guideline 24: options of about the same length."""
    key = draft.key
    if key is None or not draft.distractors:
        return
    others = [len(option.text) for option in draft.distractors]
    n_key = len(key.text)
    if n_key >= _SHORTEST_LONG_KEY and n_key > max(others) and n_key > _LONGER * fmean(others):
        yield Flaw(
            "X315", "warning", ("options", key.id), "the key is much longer than the others",
            f"{n_key} letters beside {fmean(others):.0f}", "shorten it, or say as much elsewhere",
        )  # fmt: skip


def determiners(draft: Draft) -> Iterator[Flaw]:
    """Guideline 28a: always and never are hardly ever right."""
    if any(DETERMINERS.search(o.text) for o in draft.options if o.id in draft.item.keys):
        return
    for option in draft.distractors:
        found = DETERMINERS.search(option.text)
        if found and not _REFERS.search(option.text) and not COMBINED.fullmatch(option.text):
            yield Flaw(
                "X320", "warning", ("options", option.id),
                "an absolute word gives a wrong option away",
                f"'{found[0]}'",
            )  # fmt: skip


def clang(draft: Draft) -> Iterator[Flaw]:
    """Guideline 28b: a word of the stem that only the key takes up."""
    key = draft.key
    if key is None or draft.are_numbers:
        return
    shared = content(draft.stem) & content(key.text)
    shared -= frozenset().union(*(content(option.text) for option in draft.distractors))
    others = any(content(draft.stem) & content(option.text) for option in draft.distractors)
    if shared and not others:
        yield Flaw(
            "X321", "warning", ("options", key.id), "only the key takes up a word of the stem",
            ", ".join(f"'{word}…'" for word in sorted(shared)),
            "take it out of one, or use it in the others, too",
        )  # fmt: skip


def grammar(draft: Draft) -> Iterator[Flaw]:
    """Guideline 28c: every option completes the stem."""
    last = (words(draft.stem) or [""])[-1] if "?" not in draft.stem else ""
    for option in draft.options:
        is_plural = bool(_PLURAL.search(option.text.rstrip(".")))
        begins = bool(_VOWEL.match(option.text)) and not _NO_VOWEL.match(option.text)
        if (last in ("a", "an") and (last == "an") != begins) or (
            (last in ("are", "were") and not is_plural) and _some_plural(draft)
        ):
            yield Flaw(
                "X322", "warning", ("options", option.id),
                "the option does not fit the end of the stem",
                f"'… {last} {option.text}'", "end the stem before that word, or ask a question",
            )  # fmt: skip


def _some_plural(draft: Draft) -> bool:
    return any(_PLURAL.search(option.text.rstrip(".")) for option in draft.options)


def conspicuous(draft: Draft) -> Iterator[Flaw]:
    """Guideline 28d: nothing that only the key has."""
    key = draft.key
    if key is None:
        return
    # Where only the key is a number, the options are a mixture, and that is told already.
    is_mixture = draft.quantities[key.id] is not None and not draft.are_numbers
    only = [
        name
        for name, mark in _MARKS
        if not (is_mixture and name == "figures")
        and mark.search(key.text)
        and not any(mark.search(o.text) for o in draft.distractors)
    ]
    places = [_n_decimals(option.text) for option in draft.distractors]
    if draft.are_numbers and places and _n_decimals(key.text) > max(places):
        only.append("more decimals")
    if only:
        yield Flaw(
            "X323", "warning", ("options", key.id), "only the key has what catches the eye", only[0]
        )


def _n_decimals(text: str) -> int:
    match = _DECIMALS.search(text)
    return len(match[1]) if match else 0


def pairs(draft: Draft) -> Iterator[Flaw]:
    """Guideline 28e: two opposites, or two near the same, and the key among them."""
    key = draft.key
    if key is None or draft.are_numbers:
        return
    found = [(a, b) for a, b in combinations(draft.options, 2) if _is_pair(a.text, b.text)]
    paired = {option.id for pair in found for option in pair}
    if key.id in paired and len(paired) < len(draft.options):
        one, other = next(pair for pair in found if key in pair)
        yield Flaw(
            "X324", "info", _OPTIONS, "two options are a pair, and the key is one of them",
            f"'{one.text}' and '{other.text}'", "pair the other options as well, or none",
        )  # fmt: skip


def _is_pair(one: str, other: str) -> bool:
    a, b = words(one), words(other)
    apart = [{x, y} for x, y in zip(a, b, strict=False) if x != y]
    if len(a) == len(b) and len(apart) == 1:
        return frozenset(apart[0]) in OPPOSITES
    return len(a) > 3 and len(b) > 3 and SequenceMatcher(None, one, other).ratio() >= _ALIKE  # noqa: PLR2004 - words that can differ in one


CLUE_CHECKS: Final = (longest_key, determiners, clang, grammar, conspicuous, pairs)
