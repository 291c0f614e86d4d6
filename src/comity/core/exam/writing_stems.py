"""Checks of the stem: after Haladyna, Downing and Rodriguez (2002), guidelines 8 to 17."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from comity.core.exam.writing_flaws import Draft, Flaw
from comity.core.exam.writing_text import sentences, words
from comity.core.exam.writing_words import (
    BLANK,
    CLAUSES,
    DATED,
    IMPERATIVE,
    NEGATIONS,
    NEGATIVE_QUESTION,
    OPEN_END,
    UNFOCUSED,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

_STEM: Final = ("stem",)
_LONGEST_SENTENCE: Final = 35
_LONGEST_STEM: Final = 80
# A whole question may be short: Which organ stores glycogen?
_SHORTEST_STEM: Final = 5
_SHORTEST_QUESTION: Final = 4
_LEAST_IN_OPTIONS: Final = 20
_LISTED: Final = re.compile(
    r"(?:\(a\)|\ba\)|\(1\)|\b1\)).*?(?:\(b\)|\bb\)|\(2\)|\b2\))", re.I | re.S
)
_DOUBLED: Final = re.compile(r"\b([a-z]{2,}) \1\b", re.I)
_PLAIN_DOUBLES: Final = frozenset(("that", "had"))
_LIST_MARK: Final = re.compile(r"(?<![\w(])\w\)")
_BRACKETS: Final = {"(": ")", "[": "]"}
_STOPS: Final = ".;,"


def long_sentence(draft: Draft) -> Iterator[Flaw]:
    """Guideline 8: words that do not get in the way."""
    longest = max((len(words(each)) for each in sentences(draft.stem)), default=0)
    if longest > _LONGEST_SENTENCE:
        yield Flaw(
            "X302", "info", _STEM, "a sentence of the stem is long",
            f"{longest} words", "make two of it; the item should test the subject, not the reading",
        )  # fmt: skip


def options_in_the_stem(draft: Draft) -> Iterator[Flaw]:
    """Guideline 10: options one below the other."""
    if draft.options and _LISTED.search(draft.stem):
        yield Flaw(
            "X304", "info", _STEM, "options stand in the stem",
            hint="give each an id below options, and ask one thing in the stem",
        )  # fmt: skip


def punctuation(draft: Draft) -> Iterator[Flaw]:
    """Guideline 12: doubled words, brackets never closed, stops on some of the options."""
    texts = [(_STEM, draft.stem), *((("options", o.id), o.text) for o in draft.options)]
    for path, text in texts:
        doubled = [m[1] for m in _DOUBLED.finditer(text) if m[1].lower() not in _PLAIN_DOUBLES]
        if doubled:
            yield Flaw("X305", "warning", path, "a word stands twice", f"{doubled[0]} {doubled[0]}")
        plain = _LIST_MARK.sub("", text)
        if any(plain.count(a) != plain.count(b) for a, b in _BRACKETS.items()):
            yield Flaw("X305", "warning", path, "a bracket is not closed, or was never opened")
    ends = {option.text[-1] in _STOPS for option in draft.options}
    if len(ends) > 1:
        yield Flaw(
            "X305", "warning", ("options",), "some options end with a stop and others do not",
            hint="the odd one out draws the eye",
        )  # fmt: skip


def long_stem(draft: Draft) -> Iterator[Flaw]:
    """Guidelines 13 and 16: no more to read than is asked about."""
    n_words = len(words(draft.stem))
    if n_words > _LONGEST_STEM and draft.item.case is None:
        yield Flaw(
            "X306", "info", _STEM, "the stem is long", f"{n_words} words",
            "leave out what the question does not need, or tell it as a case",
        )  # fmt: skip


def no_question(draft: Draft) -> Iterator[Flaw]:
    """Guideline 14: directions that say what to do."""
    stem = draft.stem.strip()
    asks = "?" in stem or BLANK.search(stem) or IMPERATIVE.search(stem) or OPEN_END.search(stem)
    if not asks:
        yield Flaw(
            "X307", "warning", _STEM, "the stem does not say what to do",
            hint="ask a question, leave a gap, or begin with what to do, as Calculate",
        )  # fmt: skip


def unfocused(draft: Draft) -> Iterator[Flaw]:
    """Guideline 15: the central idea in the stem, not in the options."""
    n_stem = len(words(draft.stem))
    n_options = sum(len(words(option.text)) for option in draft.options)
    hint = "ask so that a good candidate can answer before reading the options"
    if UNFOCUSED.search(draft.question):
        yield Flaw("X308", "warning", _STEM, "the stem asks only which option is right", hint=hint)
    elif draft.options and n_stem < (_SHORTEST_QUESTION if "?" in draft.stem else _SHORTEST_STEM):
        yield Flaw("X308", "warning", _STEM, "the stem is very short", f"{n_stem} words", hint)
    elif n_options > max(3 * n_stem, _LEAST_IN_OPTIONS):
        got = f"{n_options} words in the options and {n_stem} in the stem"
        yield Flaw("X308", "warning", _STEM, "most of the reading is in the options", got, hint)


def negative(draft: Draft) -> Iterator[Flaw]:
    """Guideline 17: ask for what is right; where that cannot be, make the word stand out."""
    main = CLAUSES.sub("", draft.question)
    small = NEGATIVE_QUESTION.search(main)
    if small:
        yield Flaw(
            "X309", "error", _STEM, "the stem asks for what is not so, in small letters",
            f"'{small[0]}'", "ask for what is so, or write the word in capitals",
        )  # fmt: skip
    is_negative = NEGATIVE_QUESTION.search(main.lower())
    denying = next((each for each in draft.options if NEGATIONS.search(each.text)), None)
    if is_negative and denying:
        yield Flaw(
            "X309", "error", ("options", denying.id), "a negative option answers a negative stem",
            f"'{denying.text}'", "two negatives test logic, not the subject",
        )  # fmt: skip


def dated(draft: Draft) -> Iterator[Flaw]:
    """Beyond the guidelines: what is current today has to be read again by some day."""
    found = DATED.search(draft.stem)
    if found and draft.item.review_by is None:
        yield Flaw(
            "X325", "info", _STEM,
            "the stem leans on what is current, without a day to read it again",
            f"'{found[0]}'", "name the guideline with its year, or add review_by",
        )  # fmt: skip


STEM_CHECKS: Final = (
    long_sentence,
    options_in_the_stem,
    punctuation,
    long_stem,
    no_question,
    unfocused,
    negative,
    dated,
)
