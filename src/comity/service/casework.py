"""Everything that a case's page shows, worked out when it is asked for and kept while it holds.

An answer depends on the file's text, the rulebook, the title, the days and the assumption alone, so
it is kept as long as these stay the same; a page pays only for what it shows.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Assessment, Assumption, Verdict
from comity.core.eligibility.missing import named
from comity.core.eligibility.questions import next_question
from comity.core.eligibility.vocabulary import Vocabulary, vocabulary_of
from comity.service.casework_dates import ComingDate, coming_dates
from comity.service.casework_next import NextThing, Task, next_things

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.eligibility.questions import Question
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook
    from comity.service.assessing import TodayAt

_KEPT: Final = 1024
"""Answers kept: enough for the cases that an office of ten has open at once."""
RANK: Final = {
    Verdict.MET: 0,
    Verdict.UNKNOWN: 1,
    Verdict.REFER: 2,
    Verdict.NOT_MET: 3,
    Verdict.NOT_APPLICABLE: 4,
}
"""Which of several titles is shown first."""
FICTIONAL: Final = "Invented for demonstration: no such authority, rule or person exists."


@dataclass(frozen=True, slots=True, order=True)
class TitleKey:
    """Ids of an authority and one of its titles."""

    authority: str
    title: str

    def __str__(self) -> str:
        """Return ``authority/title``."""
        return f"{self.authority}/{self.title}"


@dataclass(frozen=True, slots=True)
class NamedTitle:
    """A title of a rulebook in force, with the names people read."""

    key: TitleKey
    authority_name: str
    title_name: str


@dataclass(frozen=True, slots=True)
class Document:
    """An applicant file: its text, and what it says."""

    text: str
    applicant: Applicant = field(compare=False)


@dataclass(frozen=True, slots=True)
class OpenFact:
    """A fact that is missing, in words, where it stands, and how many titles wait for it."""

    path: str
    said: str
    n_waiting: int

    @property
    def section(self) -> str:
        """The section in which it stands."""
        return self.path.split("/", 1)[0]

    @property
    def entry(self) -> str:
        """The entry in which it stands; empty where the section itself is missing."""
        parts = self.path.split("/")
        return parts[1] if len(parts) > 2 else ""  # noqa: PLR2004 - section, entry, field


@dataclass(frozen=True, slots=True)
class Pair:
    """One title under both assumptions."""

    named: NamedTitle
    continues: Assessment
    stops: Assessment


class _Rules:
    """A rulebook as a key: itself and no other, so that nothing inside it need be compared."""

    __slots__ = ("rulebook",)

    def __init__(self, rulebook: Rulebook) -> None:
        self.rulebook = rulebook

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Rules) and other.rulebook is self.rulebook

    def __hash__(self) -> int:
        return id(self.rulebook)


@dataclass(frozen=True, slots=True)
class _Asked:
    """What an answer depends on besides facts and rules."""

    title: str
    on: Day
    today: Day
    assumption: Assumption


@lru_cache(maxsize=_KEPT)
def _answer(document: Document, rules: _Rules, asked: _Asked) -> Assessment:
    return assess(
        document.applicant,
        rules.rulebook,
        title=asked.title,
        on=asked.on,
        today=asked.today,
        assumption=asked.assumption,
    )


@lru_cache(maxsize=8)
def _words(rules: tuple[_Rules, ...]) -> Vocabulary:
    return vocabulary_of(each.rulebook for each in rules)


@dataclass(frozen=True, slots=True)
class Casework:
    """One applicant's case under the rulebooks in force.

    Parameters
    ----------
    document : Document
        The applicant's file.
    rulebooks : tuple of Rulebook
        Those in force; none gives no answers at all.
    today_at : callable
        Gives the day it is at an authority's seat.
    on : Day or None
        The day of submission asked about; None for today.
    """

    document: Document
    rulebooks: tuple[Rulebook, ...]
    today_at: TodayAt
    on: Day | None = None

    @property
    def applicant(self) -> Applicant:
        """What is known of the applicant."""
        return self.document.applicant

    @property
    def vocabulary(self) -> Vocabulary:
        """The words that the rulebooks use."""
        return _words(tuple(map(_Rules, self.rulebooks)))

    @property
    def names(self) -> Mapping[str, str]:
        """What people call ids, codes and declarations."""
        return {**self.vocabulary.names, **self.vocabulary.declarations}

    @property
    def is_fictional(self) -> bool:
        """Whether any of the rules are invented."""
        return any(each.fictional for rulebook in self.rulebooks for each in rulebook.editions)

    def titles(self) -> tuple[NamedTitle, ...]:
        """Return the titles one could ask about, in the rulebooks' order."""
        return tuple(
            _named(rulebook, title) for rulebook in self.rulebooks for title in rulebook.titles()
        )

    def answer(self, key: TitleKey, assumption: Assumption = "continues") -> Assessment:
        """Return the answer on one title.

        Raises
        ------
        KeyError
            When no rulebook in force has it.
        """
        rulebook = self.rulebook_of(key)
        today = self.today_at(rulebook.authority.time_zone)
        on = today if self.on is None else self.on
        return _answer(self.document, _Rules(rulebook), _Asked(key.title, on, today, assumption))

    def rulebook_of(self, key: TitleKey) -> Rulebook:
        """Return the rulebook that has a title.

        Raises
        ------
        KeyError
            When none does.
        """
        for rulebook in self.rulebooks:
            if rulebook.authority.id == key.authority and key.title in rulebook.titles():
                return rulebook
        raise KeyError(str(key))

    def answers(self, assumption: Assumption = "continues") -> tuple[Assessment, ...]:
        """Return the answers on all titles, in the rulebooks' order."""
        return tuple(self.answer(each.key, assumption) for each in self.titles())

    def comparison(self) -> tuple[Pair, ...]:
        """Return every title under both assumptions."""
        return tuple(
            Pair(each, self.answer(each.key), self.answer(each.key, "stops"))
            for each in self.titles()
        )

    def open_facts(self) -> tuple[OpenFact, ...]:
        """Return what is not known and keeps titles open, what most wait for first."""
        waiting: dict[str, int] = {}
        for answer in self.answers():
            if answer.verdict is Verdict.UNKNOWN:
                paths = {path for result in answer.requirements for path in result.missing}
                for path in sorted(paths):
                    waiting[path] = waiting.get(path, 0) + 1
        ordered = sorted(waiting, key=lambda path: -waiting[path])
        return self.facts_named(ordered, waiting)

    def facts_named(
        self, paths: Sequence[str], waiting: Mapping[str, int] | None = None
    ) -> tuple[OpenFact, ...]:
        """Return missing facts by their paths, in words."""
        counts = waiting or {}
        return tuple(
            OpenFact(path, named((path,), self.applicant)[0], counts.get(path, 0)) for path in paths
        )

    def next_question(self) -> Question | None:
        """Return what to ask the applicant next."""
        return next_question(
            self.answers(),
            applicant=self.applicant,
            vocabulary=self.vocabulary,
            asked=self.applicant.asked,
        )

    def next_things(self, tasks: Sequence[Task] = ()) -> tuple[NextThing, ...]:
        """Return the applicant's next three things, in plain words."""
        today = self.today_at(None)
        return next_things(
            self.answers(),
            applicant=self.applicant,
            question=self.next_question() if self.rulebooks else None,
            tasks=tasks,
            today=today,
        )

    def coming_dates(self, answers: Sequence[Assessment] = ()) -> tuple[ComingDate, ...]:
        """Return the days to keep in mind, of the facts and of the answers given."""
        return coming_dates(self.applicant, answers, today=self.today_at(None))


def first_title(verdicts: Mapping[TitleKey, Verdict]) -> TitleKey | None:
    """Return the title to show first, by what is known of each; None where there is none."""
    return min(verdicts, key=lambda key: RANK[verdicts[key]], default=None)


def in_order(answers: Sequence[Assessment]) -> tuple[Assessment, ...]:
    """Return answers in the order in which they help: what is open first, then what opens next."""
    return tuple(sorted(answers, key=_how_near))


def _how_near(answer: Assessment) -> tuple[int, Day]:
    far = 1 << 20
    if answer.verdict is Verdict.NOT_MET and answer.earliest is None:
        return RANK[answer.verdict] * 2 + 1, far
    return RANK[answer.verdict] * 2, far if answer.earliest is None else answer.earliest


def key_of(answer: Assessment) -> TitleKey:
    """Return which title an answer is about."""
    return TitleKey(answer.authority, answer.title)


def _named(rulebook: Rulebook, title: str) -> NamedTitle:
    edition, name = next(
        (edition, each.name)
        for edition in reversed(rulebook.editions)
        for each in edition.titles
        if each.id == title
    )
    key = TitleKey(rulebook.authority.id, title)
    return NamedTitle(key, edition.authority.name, name)
