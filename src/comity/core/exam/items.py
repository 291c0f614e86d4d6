"""What an examination asks: items by kind, the cases they share, the bank that holds them.

An item is one question with one score, so that each has its own figures; a case set is the items
that name the same case. A kind is named by the key that holds what is right (``answer``,
``answers``, ``number``, ``matches``), which keeps files short.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import ClassVar, Final, NamedTuple

from comity.core.declaring import (
    Complaint,
    Date,
    Identifier,
    Language,
    Share,
    Tagged,
    Text,
    declared,
)
from comity.core.declaring.quantities import parse_decimal, write_decimal
from comity.core.exam.reviews import Review, ReviewState, complaints_about, state_after

_NO_LETTER: Final = re.compile(r"[^\w%.,<>≤≥=±+/°-]+")
_MINUS: Final = "\u2212"


class Level(StrEnum):
    """What an item asks of the mind."""

    RECALL = "recall"
    APPLY = "apply"
    JUDGE = "judge"


class Option(NamedTuple):
    """One option: its id (never its position), its text, and the error it stands for."""

    id: str
    text: str
    error: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Generated:
    """From which item model an item was drawn, so that an erratum can find it."""

    model: Identifier = declared("Id of the item model.", example="mifflin-st-jeor")
    version: int = declared("Version of the model.", default=1, at_least=1)
    seed: int | None = declared("Seed of the draws, where one was told.", default=None, at_least=0)
    draw: int = declared("Which draw of the seed it is.", default=0, at_least=0)
    equations: tuple[Text, ...] = declared("Equations it rests on, by id.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Item(Tagged):
    """One question, as every kind has it."""

    id: Identifier = declared("Id, kept for ever.", example="iron-ferritin")
    domain: Identifier = declared("Domain of the blueprint.", example="assessment")
    level: Level = declared("What it asks of the mind: recall, apply or judge.")
    case: Identifier | None = declared("Id of the case it belongs to.", default=None)
    stem: Text = declared("The question.", example="Which measure shows iron stores?")
    explanation: Text | None = declared("Why the key is right.", default=None)
    source: Text = declared(
        "Published source of the key, with its year.", example="WHO ferritin guideline, 2020"
    )
    study: tuple[Text, ...] = declared("What to read to learn it.", default=())
    author: Text | None = declared("Who wrote it. Left out: the author of the bank.", default=None)
    version: int = declared("Counts up with each change of what is asked.", default=1, at_least=1)
    reviews: tuple[Review, ...] = declared("Readings, the last one last.", default=())
    review_by: Date | None = declared("Day by which to read it again.", default=None)
    topics: tuple[Identifier, ...] = declared("What else it is about.", default=())
    not_with: tuple[Identifier, ...] = declared(
        "Ids of items that give it away, never in the same form.", default=()
    )
    seconds: int | None = declared("Time it takes, in seconds.", default=None, at_least=1)
    judged: Share | None = declared(
        "Share of people just good enough who are expected to know it.", default=None
    )
    high_risk: bool = declared(
        "yes: about what harms when it is wrong (insulin, tube and vein feeding, electrolytes).",
        default=False,
    )
    generated: Generated | None = declared("The item model it was drawn from.", default=None)

    @property
    def state(self) -> ReviewState:
        """How far it has come."""
        return state_after(self.reviews)

    @property
    def choices(self) -> tuple[Option, ...]:
        """What there is to choose from, in the order of the file; empty where one writes."""
        return ()

    @property
    def keys(self) -> frozenset[str]:
        """The ids of the options that are right; empty where none is the whole answer."""
        return frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class BestAnswer(Item):
    """One option is best."""

    kind: ClassVar[str] = "answer"
    options: Mapping[str, Text] = declared("The options by id, as a, b, c.")
    answer: str = declared("Id of the option that is right.", example="b")
    errors: Mapping[str, Text] = declared("The error each wrong option stands for.", default={})

    @property
    def choices(self) -> tuple[Option, ...]:
        """What there is to choose from, in the order of the file."""
        return _choices(self.options, self.errors)

    @property
    def keys(self) -> frozenset[str]:
        """The id of the option that is right."""
        return frozenset((self.answer,))

    def complaints(self) -> Iterator[Complaint]:
        """Yield what its values contradict."""
        yield from complaints_about(self.reviews, author=self.author)
        if self.answer not in self.options:
            yield _no_option(("answer",), self.answer, self.options)
        yield from _of_options(self.options, self.errors, self.keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class SeveralAnswers(Item):
    """Each of several options is right or wrong; all have to be told right for the point."""

    kind: ClassVar[str] = "answers"
    options: Mapping[str, Text] = declared("The options by id, as a, b, c.")
    answers: tuple[str, ...] = declared("Ids of the options that are right.", at_least=1)
    errors: Mapping[str, Text] = declared("The error each wrong option stands for.", default={})

    @property
    def choices(self) -> tuple[Option, ...]:
        """What there is to choose from, in the order of the file."""
        return _choices(self.options, self.errors)

    @property
    def keys(self) -> frozenset[str]:
        """The ids of the options that are right."""
        return frozenset(self.answers)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what its values contradict."""
        yield from complaints_about(self.reviews, author=self.author)
        for number, key in enumerate(self.answers):
            if key not in self.options:
                yield _no_option(("answers", number), key, self.options)
        yield from _of_options(self.options, self.errors, self.keys)


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberAnswer(Item):
    """A number is written; what lies within the tolerance is right."""

    kind: ClassVar[str] = "number"
    number: Fraction = declared("What is right.", example="1450")
    within: Fraction = declared(
        "How far off still counts as right, in the same unit.", default=Fraction(0), at_least=0
    )
    unit: Text | None = declared("Unit, shown beside the answer.", default=None, example="kcal/d")
    errors: Mapping[str, Text] = declared(
        "The error each likely wrong number stands for.", default={}
    )

    def is_right(self, number: Fraction) -> bool:
        """Tell whether a number that was written is within the tolerance."""
        return abs(number - self.number) <= self.within

    def complaints(self) -> Iterator[Complaint]:
        """Yield what its values contradict."""
        yield from complaints_about(self.reviews, author=self.author)
        for text in self.errors:
            wrong = _number(text)
            if wrong is None or self.is_right(wrong):
                yield Complaint(
                    "X211",
                    ("errors", text),
                    "a wrong number must be a number outside the tolerance",
                    got=f"'{text}'",
                    expected=f"less than {write_decimal(self.number - self.within)}"
                    f" or more than {write_decimal(self.number + self.within)}",
                    hint="make the tolerance narrower, or leave this number out",
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Matching(Item):
    """Each line is matched with one option; an option may be used once, often or not at all."""

    kind: ClassVar[str] = "matches"
    lines: Mapping[str, Text] = declared("The lines to match, by id.")
    options: Mapping[str, Text] = declared("The options by id.")
    matches: Mapping[str, str] = declared("The right option of each line.")

    @property
    def choices(self) -> tuple[Option, ...]:
        """What there is to choose from, in the order of the file."""
        return _choices(self.options, {})

    def complaints(self) -> Iterator[Complaint]:
        """Yield what its values contradict."""
        yield from complaints_about(self.reviews, author=self.author)
        for line, key in self.matches.items():
            if key not in self.options:
                yield _no_option(("matches", line), key, self.options)
        for line in sorted(self.lines.keys() ^ self.matches.keys()):
            known = line in self.lines
            yield Complaint(
                "X210",
                ("lines" if known else "matches", line),
                "each line to match needs one match, and each match its line",
                got=f"{line} without a {'match' if known else 'line'}",
                expected=f"one match each for {', '.join(self.lines)}",
            )
        yield from _of_options(self.options, {}, frozenset())


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """What several items share: the person or place they ask about."""

    id: Identifier = declared("Id, kept for ever.", example="burns-ward")
    vignette: Text = declared("What is told before the questions; invented, never a real person.")
    source: Text | None = declared("Published source of its figures.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank:
    """Items in one file, with the cases that they share."""

    bank: Identifier = declared("Id of the bank.", example="starter-dietetics")
    title: Text | None = declared("What people call it.", default=None)
    language: Language = declared("Language of the items.", default="en")
    author: Text | None = declared("Who wrote the items that name nobody.", default=None)
    licence: Text | None = declared("Terms under which the items may be used.", default=None)
    fictional: bool = declared("yes: for demonstration.", default=False)
    cases: tuple[Case, ...] = declared("Cases that items share.", default=())
    items: tuple[Item, ...] = declared("The items.", at_least=1)

    def complaints(self) -> Iterator[Complaint]:
        """Yield what its items contradict in each other."""
        yield from _repeated("cases", self.cases)
        yield from _repeated("items", self.items)
        cases = {case.id for case in self.cases}
        for number, item in enumerate(self.items):
            if item.case is not None and item.case not in cases:
                yield Complaint(
                    "X205",
                    ("items", number, "case"),
                    "the case of an item must stand in the same file",
                    expected=", ".join(sorted(cases)) or "an entry below cases",
                    hint="write its vignette below cases",
                )
            if self.author is not None and item.author is None:
                for complaint in complaints_about(item.reviews, author=self.author):
                    # What is wrong with the days, the item has said itself.
                    if complaint.path[-1] == "by":
                        yield complaint._replace(path=("items", number, *complaint.path))


def case_sets(bank: Bank) -> Mapping[str, tuple[Item, ...]]:
    """Return the items of each case of a bank, by its id, in the order of the file."""
    return {
        case.id: tuple(item for item in bank.items if item.case == case.id) for case in bank.cases
    }


def normalised(text: str) -> str:
    """Return a text by which two that read the same are equal.

    Case, accents' encoding, spaces and the stop at the end are left aside; signs that change a
    number or a comparison are kept.

    Examples
    --------
    >>> normalised("Vitamin  C.") == normalised("vitamin c")
    True
    """
    folded = unicodedata.normalize("NFKC", text).casefold().replace(_MINUS, "-")
    return _NO_LETTER.sub(" ", folded).strip().rstrip(".,")


def _choices(options: Mapping[str, str], errors: Mapping[str, str]) -> tuple[Option, ...]:
    return tuple(Option(id_, text, errors.get(id_, "")) for id_, text in options.items())


def _number(text: str) -> Fraction | None:
    try:
        return parse_decimal(text)
    except ValueError:
        return None


def _no_option(path: tuple[str | int, ...], key: str, options: Mapping[str, str]) -> Complaint:
    return Complaint(
        "X202",
        path,
        "the key must be one of the options",
        got=f"'{key}'",
        expected=", ".join(options) or "an option",
        hint="write the id of the option, not its text",
    )


def _of_options(
    options: Mapping[str, str], errors: Mapping[str, str], keys: frozenset[str]
) -> Iterator[Complaint]:
    """Yield options that read the same, and errors which no wrong option stands for."""
    first: dict[str, str] = {}
    for id_, text in options.items():
        earlier = first.setdefault(normalised(text), id_)
        if earlier != id_:
            yield Complaint(
                "X203",
                ("options", id_),
                "two options must not read the same",
                hint="if one of them is the key, the item has two keys or none",
                related=((("options", earlier), "the same option"),),
            )
    for id_ in errors:
        if id_ not in options or id_ in keys:
            yield Complaint(
                "X206",
                ("errors", id_),
                "an error must belong to a wrong option",
                got=f"{id_}, {'which is the key' if id_ in keys else 'which is no option'}",
                expected=", ".join(each for each in options if each not in keys),
            )


def _repeated(name: str, entries: Sequence[Item | Case]) -> Iterator[Complaint]:
    first: dict[str, int] = {}
    for number, entry in enumerate(entries):
        earlier = first.setdefault(entry.id, number)
        if earlier != number:
            yield Complaint(
                "X204",
                (name, number, "id"),
                "an id must be given once in a bank",
                hint="answers are kept by it; give this one another",
                related=(((name, earlier, "id"), "first given here"),),
            )
