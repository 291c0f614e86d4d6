"""Answers of a table held against a bank: right or wrong, what was chosen, and on which day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import Day, iso
from comity.core.exam.items import BestAnswer, Matching, NumberAnswer
from comity.core.exam.practice import DatedAnswer
from comity.core.exam.responses import Answer as Right
from comity.core.exam.responses import Responses, responses_from_log
from comity.core.exam.scoring import Answer, AnswerError, answer_to, score
from comity.core.exam.suspects import Asked
from comity.core.problems import Place, Problem, has_errors, sorted_by_place

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.exam.items import Bank, Item
    from comity.files.responses import GivenAnswer, LoadedResponses

_MOST_NAMED: Final = 6


@dataclass(frozen=True, slots=True)
class Marked:
    """One answer of a table, marked."""

    person: str
    item: str
    on: Day | None
    right: float
    option: str | None


@dataclass(frozen=True, slots=True)
class MarkedAnswers:
    """A table of answers, marked.

    Parameters
    ----------
    marked : tuple of Marked
        In the order of the table.
    items : tuple of Item
        Those of the bank that the table has, in the order of the bank; empty without a bank.
    ids : tuple of str
        Ids of the items of the table, in the order of the bank or the table.
    people : tuple of str
    problems : tuple of Problem
    """

    marked: tuple[Marked, ...]
    items: tuple[Item, ...]
    ids: tuple[str, ...]
    people: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work."""
        return not has_errors(self.problems)

    def responses(self) -> Responses:
        """Return everyone's first answers, right or wrong."""
        log = (Right(each.person, each.item, each.right) for each in self.marked)
        return responses_from_log(log, self.ids)

    def asked(self, responses: Responses) -> Mapping[str, Asked]:
        """Return what the items with one best answer offered, and what each person chose."""
        first: dict[tuple[str, str], str | None] = {}
        for each in self.marked:
            first.setdefault((each.person, each.item), each.option)
        return {
            item.id: Asked(
                tuple(item.options),
                item.answer,
                tuple(first.get((person, item.id)) for person in responses.people),
            )
            for item in self.items
            if isinstance(item, BestAnswer)
            and any(first.get((person, item.id)) for person in responses.people)
        }

    def dated(self, *, default: Day) -> tuple[DatedAnswer, ...]:
        """Return the answers by day; those that tell none count for the day given."""
        return tuple(
            DatedAnswer(each.person, each.item, default if each.on is None else each.on, each.right)
            for each in self.marked
        )


def mark(loaded: LoadedResponses, bank: Bank | None, *, today: Day | None = None) -> MarkedAnswers:
    """Return a table of answers marked by the keys of a bank.

    Parameters
    ----------
    loaded : LoadedResponses
    bank : Bank or None
        Without one, only tables that tell right from wrong can be read.
    today : Day, optional
        No answer may lie after it.
    """
    by_id = {} if bank is None else {item.id: item for item in bank.items}
    problems = [*loaded.problems, *_unknown(loaded, by_id if bank is not None else None)]
    marked: list[Marked] = []
    for given in loaded.given:
        item = by_id.get(given.item)
        if bank is not None and item is None:
            continue
        found = _marked(given, item, today=today)
        if isinstance(found, Problem):
            problems.append(found)
        else:
            marked.append(found)
    present = set(loaded.items)
    items = tuple(item for id_, item in by_id.items() if id_ in present)
    ids = tuple(item.id for item in items) if bank is not None else loaded.items
    return MarkedAnswers(tuple(marked), items, ids, loaded.people, sorted_by_place(problems))


def _marked(given: GivenAnswer, item: Item | None, *, today: Day | None) -> Marked | Problem:
    if today is not None and given.on is not None and given.on > today:
        return Problem(
            "X502",
            "a row that is no answer",
            place=given.place,
            got=f"{iso(given.on)}, which is still to come",
            expected=f"a day up to {iso(today)}",
        )
    if given.right is not None and (item is None or not given.answer):
        return Marked(given.person, given.item, given.on, given.right, None)
    if item is None:
        return Problem(
            "X505",
            "nothing tells whether this answer is right",
            place=given.place,
            got=repr(given.answer),
            expected="a column right, or --bank with the items",
        )
    try:
        answer = answer_in(item, given.answer)
    except AnswerError:
        return Problem(
            "X505",
            f"this is no answer to {item.id}",
            place=given.place,
            got=repr(given.answer),
            expected=_expected(item),
        )
    is_right = float(score(item, answer).is_right) if given.right is None else given.right
    option = answer.chosen[0] if isinstance(item, BestAnswer) and answer.chosen else None
    return Marked(given.person, given.item, given.on, is_right, option)


def answer_in(item: Item, text: str) -> Answer:
    """Return the answer that a text states: ids of options, pairs, or a number.

    Raises
    ------
    AnswerError
        When it is no answer to the item.
    """
    if isinstance(item, NumberAnswer):
        return answer_to(item, number=text)
    words = tuple(text.replace(";", " ").replace("+", " ").split())
    if isinstance(item, Matching):
        pairs = dict(word.partition("=")[::2] for word in words)
        return answer_to(item, matched=pairs)
    return answer_to(item, chosen=words)


def _expected(item: Item) -> str:
    if isinstance(item, NumberAnswer):
        return "a number, as 1450 or 0.8"
    ids = ", ".join(option.id for option in item.choices)
    return f"line=option of {ids}" if isinstance(item, Matching) else ids


def _unknown(loaded: LoadedResponses, by_id: Mapping[str, Item] | None) -> Iterator[Problem]:
    """Yield a problem for each item that the bank does not have, at its first answer."""
    if by_id is None:
        return
    first: dict[str, Place] = {}
    for given in loaded.given:
        first.setdefault(given.item, given.place)
    for id_ in loaded.items:
        if id_ not in by_id:
            yield Problem(
                "X504",
                "an answer to an item that the bank does not have",
                place=first.get(id_),
                got=repr(id_),
                expected=near(id_, tuple(by_id)),
                hint="name the bank from which the form was made, or mend the id",
            )


def near(id_: str, known: Sequence[str]) -> str:
    """Return the ids most like one that is not known, or the first few."""
    from difflib import get_close_matches  # noqa: PLC0415 - only for messages

    close = get_close_matches(id_, known, n=3)
    rest = "" if len(known) <= _MOST_NAMED else f", and {len(known) - _MOST_NAMED} more"
    return ", ".join(close) or ", ".join(known[:_MOST_NAMED]) + rest


def no_such_person(person: str, people: Sequence[str]) -> Problem:
    """Return the problem of a person who has not answered anything."""
    return Problem(
        "X506",
        "nobody of this name has answered",
        got=repr(person),
        expected=near(person, people),
    )


def not_to_be_had(sentence: str, hint: str = "") -> Problem:
    """Return the problem of figures that cannot be had from what is given."""
    return Problem("X507", "this cannot be worked out", got=sentence, hint=hint)
