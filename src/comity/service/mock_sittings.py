"""What a sitting shows: its questions without anything that gives them away, and what came of it.

Pages get a `Question` and nothing else while a sitting runs: it holds no key, no explanation, no
error, and no id of the item, which may tell as much as the key.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.declaring.quantities import write_decimal
from comity.core.exam.cautions import cautions_beside
from comity.core.exam.items import BestAnswer, Matching, NumberAnswer, SeveralAnswers
from comity.core.exam.scoring import score
from comity.service.mock_forms import domain_name, n_to_pass

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from fractions import Fraction

    from comity.core.exam.items import Bank, Item
    from comity.core.exam.scoring import Answer, Score


@dataclass(frozen=True, slots=True)
class Choice:
    """An option as it is shown."""

    id: str
    text: str
    is_chosen: bool


@dataclass(frozen=True, slots=True)
class Line:
    """A line to match, with the options to match it with."""

    id: str
    text: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question as somebody sits it.

    Parameters
    ----------
    number, n_questions : int
        Its place, from 1, and how many there are.
    kind : str
        ``answer``, ``answers``, ``number`` or ``matches``.
    vignette, stem : tuple of str
        By paragraphs; no vignette where the item shares no case.
    choices, lines : tuple
        What to choose from, or to match.
    written, unit : str
        The number as it is written so far, and its unit.
    cautions : tuple of str
    """

    number: int
    n_questions: int
    kind: str
    vignette: tuple[str, ...]
    stem: tuple[str, ...]
    choices: tuple[Choice, ...]
    lines: tuple[Line, ...]
    written: str
    unit: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of one question, with everything that explains it.

    Parameters
    ----------
    number : int
    item : Item
    given, right : tuple of str
        What was answered and what is right, in words.
    score : Score
        By the key.
    is_right : bool
        With a mark that was changed by hand.
    is_marked : bool
        Whether it was changed.
    explanation : tuple of str
        By lines.
    tempting : tuple of (str, str)
        Each wrong answer with the error it stands for.
    vignette : tuple of str
    cautions : tuple of str
    """

    number: int
    item: Item
    given: tuple[str, ...]
    right: tuple[str, ...]
    score: Score
    is_right: bool
    is_marked: bool
    explanation: tuple[str, ...]
    tempting: tuple[tuple[str, str], ...]
    vignette: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def stem(self) -> tuple[str, ...]:
        """The question by paragraphs."""
        return paragraphs(self.item.stem)


@dataclass(frozen=True, slots=True)
class DomainOutcome:
    """How many of a domain's questions were right."""

    name: str
    n_right: int
    n_items: int


@dataclass(frozen=True, slots=True)
class Result:
    """What came of a sitting; `n_needed` is None where no pass mark is said."""

    outcomes: tuple[Outcome, ...]
    n_right: int
    n_needed: int | None
    domains: tuple[DomainOutcome, ...]

    @property
    def is_reached(self) -> bool:
        """Whether the pass mark of the form is reached."""
        return self.n_needed is not None and self.n_right >= self.n_needed


def paragraphs(text: str | None) -> tuple[str, ...]:
    """Return a text by its lines, without empty ones."""
    return tuple(line for line in (text or "").splitlines() if line.strip())


def question_of(
    bank: Bank, number: int, answer: Answer, *, cautions: Mapping[str, tuple[str, ...]]
) -> Question:
    """Return a question of a form as it is sat, with what is answered so far.

    Parameters
    ----------
    bank : Bank
        The form's own items.
    number : int
        From 1.
    answer : Answer
        Blank where nothing is answered.
    cautions : mapping
        What models ask to be said, by item.
    """
    item = bank.items[number - 1]
    matched = dict(answer.matched)
    options = () if isinstance(item, Matching) else item.choices
    return Question(
        number=number,
        n_questions=len(bank.items),
        kind=str(item.kind),
        vignette=_vignette(bank, item),
        stem=paragraphs(item.stem),
        choices=tuple(Choice(each.id, each.text, each.id in answer.chosen) for each in options),
        lines=tuple(_lines(item, matched)) if isinstance(item, Matching) else (),
        written=answer.number,
        unit=(item.unit or "") if isinstance(item, NumberAnswer) else "",
        cautions=cautions_beside(item, cautions, names_source=False),
    )


def _lines(item: Matching, matched: Mapping[str, str]) -> Sequence[Line]:
    return [
        Line(
            line,
            text,
            tuple(
                Choice(id_, says, matched.get(line) == id_) for id_, says in item.options.items()
            ),
        )
        for line, text in item.lines.items()
    ]


def _vignette(bank: Bank, item: Item) -> tuple[str, ...]:
    return next((paragraphs(c.vignette) for c in bank.cases if c.id == item.case), ())


def outcome_of(
    bank: Bank,
    number: int,
    answer: Answer,
    *,
    cautions: Mapping[str, tuple[str, ...]],
    mark: int | None = None,
) -> Outcome:
    """Return what came of a question; `mark` is one given by hand, in place of the key's."""
    item = bank.items[number - 1]
    found = score(item, answer)
    return Outcome(
        number=number,
        item=item,
        given=answer_words(item, answer),
        right=key_words(item),
        score=found,
        is_right=found.is_right if mark is None else mark > 0,
        is_marked=mark is not None,
        explanation=paragraphs(item.explanation),
        tempting=tempting_of(item),
        vignette=_vignette(bank, item),
        cautions=cautions_beside(item, cautions, names_source=True),
    )


def result_of(outcomes: Sequence[Outcome], to_pass: Fraction | None) -> Result:
    """Return what came of a sitting, by its questions and their domains."""
    n_right = sum(each.is_right for each in outcomes)
    needed = None if to_pass is None else n_to_pass(len(outcomes), to_pass)
    by_domain: dict[str, list[bool]] = {}
    for each in outcomes:
        by_domain.setdefault(domain_name(each.item.domain), []).append(each.is_right)
    domains = tuple(
        DomainOutcome(name, sum(right), len(right)) for name, right in sorted(by_domain.items())
    )
    return Result(tuple(outcomes), n_right, needed, domains)


def answer_words(item: Item, answer: Answer) -> tuple[str, ...]:
    """Return an answer in the words of the item; nothing for a blank one."""
    if answer.number:
        unit = f" {item.unit}" if isinstance(item, NumberAnswer) and item.unit else ""
        return (f"{answer.number}{unit}",)
    if isinstance(item, Matching):
        return tuple(
            f"{item.lines[line]}: {item.options[option]}"
            for line, option in answer.matched
            if line in item.lines and option in item.options
        )
    return tuple(each.text for each in item.choices if each.id in answer.chosen)


def key_words(item: Item) -> tuple[str, ...]:
    """Return what is right, in the words of the item."""
    match item:
        case BestAnswer() | SeveralAnswers():
            return tuple(each.text for each in item.choices if each.id in item.keys)
        case NumberAnswer():
            unit = f" {item.unit}" if item.unit else ""
            within = f" (± {write_decimal(item.within)})" if item.within else ""
            return (f"{write_decimal(item.number)}{unit}{within}",)
        case Matching():
            return tuple(
                f"{item.lines[line]}: {item.options[option]}"
                for line, option in item.matches.items()
            )
    return ()


def tempting_of(item: Item) -> tuple[tuple[str, str], ...]:
    """Return each wrong answer with why it tempts, where the item says so."""
    match item:
        case BestAnswer() | SeveralAnswers():
            return tuple((each.text, each.error) for each in item.choices if each.error)
        case NumberAnswer():
            unit = f" {item.unit}" if item.unit else ""
            return tuple((f"{wrong}{unit}", error) for wrong, error in item.errors.items())
    return ()
