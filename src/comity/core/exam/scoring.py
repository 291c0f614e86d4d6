"""What an answer to an item is worth: right or wrong, one point or none.

An item has one score, so that each has its own figures. Where an item has parts (several answers,
lines to match), every part has to be told right for the point; how many were is said beside it and
earns nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from comity.core.declaring.quantities import parse_decimal
from comity.core.exam.items import BestAnswer, Matching, NumberAnswer, SeveralAnswers

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.exam.items import Item

MOST_CHARACTERS: Final = 60
"""Longer than any number that answers a question."""
_MINUS: Final = str.maketrans({"\u2212": "-", "\u2013": "-", "\u00a0": "", "\u202f": "", " ": ""})


class AnswerError(ValueError):
    """What was sent is no answer to this item; the sentence says what is expected."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What somebody answered.

    Parameters
    ----------
    chosen : tuple of str
        Ids of the options chosen, sorted, each once; empty where one writes or matches.
    number : str
        The number, as it was written.
    matched : tuple of (str, str)
        Pairs of line and option, in the order of the lines.
    """

    chosen: tuple[str, ...] = ()
    number: str = ""
    matched: tuple[tuple[str, str], ...] = ()

    @property
    def is_blank(self) -> bool:
        """Whether nothing is answered."""
        return not (self.chosen or self.number or self.matched)


@dataclass(frozen=True, slots=True)
class Score:
    """What an answer came to.

    Parameters
    ----------
    is_right : bool
        Whether it earns the point.
    n_parts_right, n_parts : int
        Of an item with parts; 0 or 1 of 1 for the others.
    error : str
        The typical error that the answer stands for; empty where it is right or none is named.
    """

    is_right: bool
    n_parts_right: int
    n_parts: int
    error: str = ""


def answer_to(
    item: Item,
    *,
    chosen: tuple[str, ...] = (),
    number: str = "",
    matched: Mapping[str, str] | None = None,
) -> Answer:
    """Return an answer in its canonical form; what is not of the item's kind is left aside.

    Raises
    ------
    AnswerError
        When an option or a line is none of the item's, or what is written is no number.

    Examples
    --------
    >>> from comity.core.exam.items import Level
    >>> item = NumberAnswer(
    ...     id="x", domain="y", level=Level.APPLY, stem="How many?", source="z", number=Fraction(3)
    ... )
    >>> answer_to(item, number=" 3,0 ").number
    '3,0'
    """
    match item:
        case BestAnswer():
            if len(set(chosen)) > 1:
                msg = "choose one option; two were sent"
                raise AnswerError(msg)
            return Answer(chosen=_known(chosen, item.options))
        case SeveralAnswers():
            return Answer(chosen=_known(chosen, item.options))
        case NumberAnswer():
            return Answer(number=_written(number))
        case Matching():
            return Answer(matched=_pairs(item, matched or {}))
    msg = f"answers to {type(item).__name__} are not known"
    raise TypeError(msg)


def score(item: Item, answer: Answer) -> Score:
    """Return what an answer to an item is worth; a blank one is wrong.

    Parameters
    ----------
    item : Item
        Of any kind.
    answer : Answer
        As `answer_to` made it.
    """
    match item:
        case BestAnswer():
            return _of_one(item, answer)
        case SeveralAnswers():
            return _of_several(item, answer)
        case NumberAnswer():
            return _of_number(item, answer)
        case Matching():
            given = dict(answer.matched)
            n_right = sum(given.get(line) == key for line, key in item.matches.items())
            return Score(n_right == len(item.matches), n_right, len(item.matches))
    msg = f"answers to {type(item).__name__} are not known"
    raise TypeError(msg)


def _of_one(item: BestAnswer, answer: Answer) -> Score:
    is_right = answer.chosen == (item.answer,)
    error = "" if is_right or not answer.chosen else item.errors.get(answer.chosen[0], "")
    return Score(is_right, int(is_right), 1, error)


def _of_several(item: SeveralAnswers, answer: Answer) -> Score:
    chosen = set(answer.chosen)
    n_right = sum((id_ in chosen) == (id_ in item.keys) for id_ in item.options)
    errors = (item.errors[id_] for id_ in answer.chosen if id_ in item.errors)
    is_right = n_right == len(item.options)
    # Nothing chosen is no answer, though it leaves every wrong option out.
    n_told = n_right if chosen else 0
    return Score(is_right, n_told, len(item.options), next(errors, ""))


def _of_number(item: NumberAnswer, answer: Answer) -> Score:
    number = number_in(answer.number)
    if number is None:
        return Score(is_right=False, n_parts_right=0, n_parts=1)
    if item.is_right(number):
        return Score(is_right=True, n_parts_right=1, n_parts=1)
    likely = ((number_in(text), error) for text, error in item.errors.items())
    error = next((says for wrong, says in likely if wrong is not None and wrong == number), "")
    return Score(is_right=False, n_parts_right=0, n_parts=1, error=error)


def number_in(text: str) -> Fraction | None:
    """Return the number that somebody wrote; None where it is none.

    A comma or a point parts the decimals. What parts thousands is not guessed at: a number with
    both, or with two of one, is none.

    Examples
    --------
    >>> number_in("1 450,5") == Fraction(2901, 2)
    True
    >>> number_in("1,450.5") is None
    True
    """
    plain = text.translate(_MINUS).removeprefix("+")
    if plain.count(",") + plain.count(".") > 1:
        return None
    try:
        return parse_decimal(plain.replace(",", "."))
    except ValueError:
        return None


def _known(chosen: tuple[str, ...], options: Mapping[str, str]) -> tuple[str, ...]:
    for id_ in chosen:
        if id_ not in options:
            msg = f"there is no option {id_!r}; expected {', '.join(options)}"
            raise AnswerError(msg)
    return tuple(sorted(set(chosen)))


def _written(number: str) -> str:
    text = number.strip()
    if text and (len(text) > MOST_CHARACTERS or number_in(text) is None):
        msg = "write one number in digits, as 1450 or 0.8, without its unit"
        raise AnswerError(msg)
    return text


def _pairs(item: Matching, matched: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    for line, option in matched.items():
        if line not in item.lines or (option and option not in item.options):
            msg = f"there is no line {line!r} with an option {option!r} to match"
            raise AnswerError(msg)
    return tuple((line, matched[line]) for line in item.lines if matched.get(line))
