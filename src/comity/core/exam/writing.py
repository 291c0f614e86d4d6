"""How well items are written: what a program can see of the guidelines for item writers.

After Haladyna, Downing and Rodriguez, A review of multiple-choice item-writing guidelines, Applied
Measurement in Education 15 (2002) 309-333. What needs a reader (is it worth asking? is the key
right?) no program can tell. How often each check is right stands in docs/how-to/write-items.md.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from itertools import pairwise
from math import sqrt
from typing import TYPE_CHECKING, Final

from scipy.special import gammaincc

from comity.core.exam.writing_clues import CLUE_CHECKS
from comity.core.exam.writing_flaws import Draft, Flaw, draft_of
from comity.core.exam.writing_options import OPTION_CHECKS
from comity.core.exam.writing_stems import STEM_CHECKS
from comity.core.exam.writing_text import content, words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.exam.items import Item

_ALIKE: Final = 0.6
_FEWEST_SHARED: Final = 3
_FEWEST_ITEMS: Final = 10
_MOST_AT_ONE_PLACE: Final = 0.4
_RARE: Final = 0.01
_RARE_SD: Final = 2.576
_LEAST_KEY_WORDS: Final = 2


def flaws_of(item: Item) -> tuple[Flaw, ...]:
    """Return what is amiss with how one item is written, by code."""
    draft = draft_of(item)
    checks = (*STEM_CHECKS, *OPTION_CHECKS, *CLUE_CHECKS)
    return tuple(sorted(flaw for check in checks for flaw in check(draft)))


def flaws_between(items: Sequence[Item]) -> tuple[Flaw, ...]:
    """Return where items of a bank stand in each other's way; paths begin with their numbers.

    Items that name each other in ``not_with``, or share a case, are passed over.
    """
    drafts = [draft_of(item) for item in items]
    return tuple(sorted((*_alike(drafts), *_giving_away(drafts))))


def telling_pairs(items: Sequence[Item]) -> tuple[tuple[int, int], ...]:
    """Return the pairs of items, by number, that `flaws_between` would keep out of one form."""
    drafts = [draft_of(item) for item in items]
    told = ((one, other) for one, other, _ in _telling(drafts))
    return tuple(sorted({*_alike_pairs(drafts), *told}))


def flaws_of_form(items: Sequence[Item]) -> tuple[Flaw, ...]:
    """Return what the places and lengths of the keys of a whole form give away.

    Fewer than ten items with one key each say nothing.
    """
    drafts = [draft for item in items if (draft := draft_of(item)).key is not None]
    if len(drafts) < _FEWEST_ITEMS:
        return ()
    return (*_places(drafts), *_longest(drafts))


def _may_meet(one: Item, other: Item) -> bool:
    apart = other.id in one.not_with or one.id in other.not_with
    return not apart and (one.case is None or one.case != other.case)


def _alike(drafts: Sequence[Draft]) -> Iterator[Flaw]:
    for earlier, number in _alike_pairs(drafts):
        yield Flaw(
            "X301", "error", (number, "stem"), "two items ask nearly the same",
            f"{drafts[number].item.id} and {drafts[earlier].item.id}",
            "drop one, or add not_with to keep them apart",
        )  # fmt: skip


def _alike_pairs(drafts: Sequence[Draft]) -> Iterator[tuple[int, int]]:
    """Guideline 4: items of the same words; only those that share one are compared."""
    bags = [content(" ".join((d.stem, *(o.text for o in d.options)))) for d in drafts]
    holders: dict[str, list[int]] = defaultdict(list)
    for number, bag in enumerate(bags):
        shared = Counter(earlier for word in bag for earlier in holders[word])
        for earlier, n_shared in shared.items():
            union = len(bag) + len(bags[earlier]) - n_shared
            one, other = drafts[earlier].item, drafts[number].item
            if n_shared >= _FEWEST_SHARED and n_shared / union >= _ALIKE and _may_meet(one, other):
                yield earlier, number
        for word in bag:
            holders[word].append(number)


def _giving_away(drafts: Sequence[Draft]) -> Iterator[Flaw]:
    for number, of, phrase in _telling(drafts):
        yield Flaw(
            "X301", "info", (number, "stem"), "the stem tells the key of another item",
            f"{drafts[number].item.id} tells '{phrase}' of {drafts[of].item.id}", "add not_with",
        )  # fmt: skip


def _telling(drafts: Sequence[Draft]) -> Iterator[tuple[int, int, str]]:
    """Guideline 4: the key of one item told by the stem of another."""
    stems = [" ".join(words(draft.stem)) for draft in drafts]
    for of, draft in enumerate(drafts):
        told = words(draft.key.text) if draft.key else []
        if len(told) < _LEAST_KEY_WORDS or len(content(" ".join(told))) < _LEAST_KEY_WORDS:
            continue
        phrase = " ".join(told)
        for number, (stem, other) in enumerate(zip(stems, drafts, strict=True)):
            if phrase in stem and other is not draft and _may_meet(other.item, draft.item):
                yield number, of, phrase


def _places(drafts: Sequence[Draft]) -> Iterator[Flaw]:
    """Guideline 20: keys at every place, in no pattern."""
    places = [[o.id for o in d.options].index(d.key.id) for d in drafts if d.key]
    counts = Counter(places)
    place, n_most = counts.most_common(1)[0]
    share = n_most / len(places)
    if share > _MOST_AT_ONE_PLACE or _chance_of_uneven(drafts, counts) < _RARE:
        yield Flaw(
            "X311", "warning", (), "the keys stand too often at one place",
            f"{n_most} of {len(places)} at place {place + 1}", "shuffle the options",
        )  # fmt: skip
    elif abs(_repeats_z(places, counts)) > _RARE_SD:
        got = f"{sum(a == b for a, b in pairwise(places))} times the place of the item before"
        yield Flaw(
            "X311", "warning", (), "the places of the keys follow a pattern", got, "shuffle them"
        )


def _chance_of_uneven(drafts: Sequence[Draft], counts: Counter[int]) -> float:
    """Return the p-value of the chi-squared test that keys fall on every place alike."""
    n_options = [len(draft.options) for draft in drafts]
    expected = {
        place: sum(1 / n for n in n_options if place < n) for place in range(max(n_options))
    }
    statistic = sum((counts[place] - mean) ** 2 / mean for place, mean in expected.items())
    return float(gammaincc((len(expected) - 1) / 2, statistic / 2))


def _repeats_z(places: Sequence[int], counts: Counter[int]) -> float:
    """Return how many deviations the number of repeated places lies from that of chance."""
    n = len(places)
    chance = sum(count * (count - 1) for count in counts.values()) / (n * (n - 1))
    deviation = sqrt((n - 1) * chance * (1 - chance))
    n_repeats = sum(a == b for a, b in pairwise(places))
    return (n_repeats - (n - 1) * chance) / deviation if deviation else 0.0


def _longest(drafts: Sequence[Draft]) -> Iterator[Flaw]:
    """Guideline 24 over a form: the longest option is the key no more often than by chance."""
    n_longest = sum(
        len(draft.key.text) > max(len(option.text) for option in draft.distractors)
        for draft in drafts
        if draft.key and draft.distractors
    )
    n = len(drafts)
    chance = sum(1 / len(draft.options) for draft in drafts) / n
    if n_longest / n > chance + 2 * sqrt(chance * (1 - chance) / n):
        yield Flaw(
            "X316", "error", (), "the key is the longest option too often",
            f"{n_longest} of {n}, by chance {chance * n:.0f}", "lengthen distractors or cut keys",
        )  # fmt: skip
