"""Checks of the options: after Haladyna, Downing and Rodriguez (2002), guidelines 9 to 27."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Final

from comity.core.exam.writing_flaws import Draft, Flaw
from comity.core.exam.writing_text import interval, words
from comity.core.exam.writing_words import ALL_OF_THEM, COMBINED, NEGATIVE_OPTION, NONE_OF_THEM

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.exam.items import Option

_OPTIONS: Final = ("options",)
_FEWEST: Final = 3
_MOST: Final = {"answer": 5, "answers": 8, "matches": 10}


def combined(draft: Draft) -> Iterator[Flaw]:
    """Guideline 9: no options made of other options."""
    for option in draft.options:
        if COMBINED.fullmatch(option.text.strip().rstrip(".")):
            yield Flaw(
                "X303", "warning", ("options", option.id), "an option is made of other options",
                f"'{option.text}'", "use answers for an item with several right options",
            )  # fmt: skip


def count(draft: Draft) -> Iterator[Flaw]:
    """Guideline 18: as many options as work; three suffice."""
    n_options = len(draft.options)
    if draft.item.keys and n_options < _FEWEST:
        yield Flaw("X310", "error", _OPTIONS, "there are fewer than three options", str(n_options))
    elif n_options > _MOST.get(draft.item.kind, n_options):
        yield Flaw(
            "X310", "info", _OPTIONS, "there are many options", str(n_options),
            "three good ones measure as well, and take less time",
        )  # fmt: skip


def order(draft: Draft) -> Iterator[Flaw]:
    """Guideline 21: numbers in their order."""
    if not draft.are_numbers or len({_unit(draft, o) for o in draft.options}) > 1:
        return
    numbers = [q.number for option in draft.options if (q := draft.quantities[option.id])]
    steps = [later - earlier for earlier, later in pairwise(numbers)]
    if min(steps, default=0) < 0 < max(steps, default=0):
        yield Flaw(
            "X312", "warning", _OPTIONS, "the numbers do not stand in their order",
            ", ".join(option.text for option in draft.options), "let them rise",
        )  # fmt: skip


def overlap(draft: Draft) -> Iterator[Flaw]:
    """Guideline 22: options that leave each other alone."""
    for one, other in combinations(draft.options, 2):
        if _ranges_overlap(one.text, other.text) or _holds(one.text, other.text):
            yield Flaw(
                "X313", "warning", ("options", other.id), "two options overlap",
                f"'{one.text}' and '{other.text}'", "whoever chooses one has half chosen the other",
            )  # fmt: skip


def _ranges_overlap(one: str, other: str) -> bool:
    a, b = interval(one), interval(other)
    return a is not None and b is not None and a[0] <= b[1] and b[0] <= a[1]


def _holds(one: str, other: str) -> bool:
    """Tell whether the words of one stand in the other, in their order."""
    if any(char.isdigit() for char in one + other):
        return False
    short, long = sorted((words(one), words(other)), key=len)
    n = len(short)
    return 0 < n < len(long) and any(long[k : k + n] == short for k in range(len(long) - n + 1))


def mixture(draft: Draft) -> Iterator[Flaw]:
    """Guideline 23: options of one sort."""
    plain = [o for o in draft.options if not _refers(o)]
    numeric = [option for option in plain if draft.quantities[option.id]]
    if numeric and len(numeric) < len(plain):
        yield Flaw("X314", "warning", _OPTIONS, "some options are numbers and others are words")
    units = sorted({_unit(draft, option) for option in numeric})
    if len(units) > 1 and len(numeric) == len(plain):
        yield Flaw(
            "X314", "warning", _OPTIONS, "the options have different units",
            " and ".join(unit or "none" for unit in units),
        )  # fmt: skip
    capitals = [option.text[:1].isupper() for option in plain if option.text[:1].isalpha()]
    if len(capitals) >= _FEWEST and min(capitals.count(True), capitals.count(False)) == 1:
        yield Flaw("X314", "warning", _OPTIONS, "one option differs in its first letter's case")


def _refers(option: Option) -> bool:
    text = option.text
    named = COMBINED.fullmatch(text) or NONE_OF_THEM.search(text) or ALL_OF_THEM.search(text)
    return bool(named)


def _unit(draft: Draft, option: Option) -> str:
    found = draft.quantities[option.id]
    return found.unit if found else ""


def none_of_them(draft: Draft) -> Iterator[Flaw]:
    """Guideline 25: none of the above, seldom if ever."""
    for option in draft.options:
        if NONE_OF_THEM.search(option.text):
            yield Flaw(
                "X317", "warning", ("options", option.id), "an option refuses all others",
                f"'{option.text}'", "it shows what is wrong, not what the candidate knows",
            )  # fmt: skip


def all_of_them(draft: Draft) -> Iterator[Flaw]:
    """Guideline 26: never all of the above."""
    for option in draft.options:
        if ALL_OF_THEM.search(option.text):
            yield Flaw(
                "X318", "error", ("options", option.id), "an option takes in the others",
                f"'{option.text}'", "whoever knows two of them knows the key",
            )  # fmt: skip


def negative_option(draft: Draft) -> Iterator[Flaw]:
    """Guideline 27: options that say what is so."""
    for option in draft.options:
        found = NEGATIVE_OPTION.search(option.text)
        if found:
            yield Flaw(
                "X319", "warning", ("options", option.id), "an option says what is not so",
                f"'{found[0]}'", "say what is so instead",
            )  # fmt: skip


OPTION_CHECKS: Final = (
    combined,
    count,
    order,
    overlap,
    mixture,
    none_of_them,
    all_of_them,
    negative_option,
)
