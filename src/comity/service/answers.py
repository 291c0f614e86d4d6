"""From what a person types to the value of a fact."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final, cast

from comity.core.declaring.fields import fields_of
from comity.core.declaring.scalar import ScalarError
from comity.core.declaring.shapes import ListShape, MappingShape, ScalarShape, Shape
from comity.core.facts.model import Person, Supervisor
from comity.service.applicant_parts import RECORDS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from comity.core.days.partial import PartialDate
    from comity.core.eligibility.questions import Question

_MONTHS: Final = {
    name: number
    for number, names in enumerate(
        (
            "january jan",
            "february feb",
            "march mar",
            "april apr",
            "may",
            "june jun",
            "july jul",
            "august aug",
            "september sept sep",
            "october oct",
            "november nov",
            "december dec",
        ),
        start=1,
    )
    for name in names.split()
}
_MONTH: Final = "|".join(sorted(_MONTHS, key=len, reverse=True))
_DAY_MONTH_YEAR: Final = re.compile(
    rf"(?:([0-9]{{1,2}})(?:st|nd|rd|th)?\.? (?:of )?)?({_MONTH})\.?,? ([0-9]{{4}})", re.IGNORECASE
)
_MONTH_DAY_YEAR: Final = re.compile(
    rf"({_MONTH})\.? ([0-9]{{1,2}})(?:st|nd|rd|th)?,? ([0-9]{{4}})", re.IGNORECASE
)
_ABOUT: Final = re.compile(r"(?:about|around|circa|ca\.?|roughly) +(.+)", re.IGNORECASE)
_NEARLY_A_DAY: Final = re.compile(r"[0-9X./ -]+[~?%]?|\.\.|unknown", re.IGNORECASE)
_STILL: Final = {"still", "still there", "still going on", "ongoing", "now", "present", ".."}
_YES: Final = {"yes", "y", "true"}
_NO: Final = {"no", "n", "false"}
_NONE: Final = {"none", "no", "nothing", "never", "-"}
_PARTING: Final = re.compile(r",(?![^(]*\))|\band\b(?![^(]*\))", re.IGNORECASE)
"""A comma or "and", not in brackets."""
_UNITS: Final = re.compile(
    r" *(?:hours?|hrs?|h|units?|mm|millimetres?|points?)(?: (?:a|per) week)?$", re.IGNORECASE
)
_DONT_KNOW: Final = re.compile(
    r"(i )?(don'?t|do not|can'?t|cannot) (know|remember|recall|say)|(i'?m |i am )?(not sure|unsure)"
    r"|(i have |i'?ve )?no idea|(i )?dunno|idk|(i )?forgot|(it is |it's )?(unknown|not known)|\?*"
)
_PART_AND_VALUE: Final = re.compile(r"(.+?)[\s:=]+([0-9]+:[0-9]{2}|[^\s:=]+)")
"""The colon of hours and minutes belongs to the value."""
_SUPERVISOR_PARTS: Final = 3
MOST_CHARACTERS: Final = 2_000
"""More than any list of names; what is longer was pasted by mistake."""


class AnswerError(ValueError):
    """What was typed is no answer to the question; the sentence says what would be."""


def is_dont_know(text: str) -> bool:
    """Tell whether somebody says that they do not know."""
    plain = " ".join(text.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split())
    return plain != ".." and _DONT_KNOW.fullmatch(plain.rstrip(".! ")) is not None


def read_answer(question: Question, text: str) -> object:
    """Return the value of a fact, as the applicant file holds it.

    Days may be typed as people say them; choices by their number, their word or what is read.

    Raises
    ------
    AnswerError
        When the text is no answer; its sentence says how to write one.
    """
    text = " ".join(text.split())
    if len(text) > MOST_CHARACTERS:
        msg = f"this is {len(text)} characters long; at most {MOST_CHARACTERS} are kept"
        raise AnswerError(msg)
    try:
        return _READERS[question.kind](question, text)
    except ScalarError as error:
        raise AnswerError(str(error) or f"an answer would be: {question.hint}") from None
    except ValueError as error:
        raise AnswerError(str(error)) from None


def _shape(question: Question) -> Shape:
    """Return the shape that the file declares for the fact."""
    section, _, name = question.fact.partition("/")
    record = Person if section == "person" else RECORDS[section]
    return next(field.shape for field in fields_of(record) if field.name == name)


def _scalar(shape: Shape, text: str) -> object:
    if not isinstance(shape, ScalarShape):
        msg = f"{text!r} is not expected here"
        raise AnswerError(msg)
    return shape.scalar.parse(text)


def as_written(text: str) -> str:
    """Return a day as files have it: ``3 May 2019`` is ``2019-05-03``.

    Examples
    --------
    >>> as_written("3 May 2019"), as_written("about May 2019"), as_written("2019")
    ('2019-05-03', '2019-05~', '2019')
    """
    about = _ABOUT.fullmatch(text)
    if about:
        return f"{as_written(about.group(1))}~"
    match = _DAY_MONTH_YEAR.fullmatch(text)
    if match:
        day, month, year = match.groups()
    else:
        match = _MONTH_DAY_YEAR.fullmatch(text)
        if not match:
            return text
        month, day, year = match.groups()
    whole = f"{year}-{_MONTHS[month.casefold()]:02}"
    return f"{whole}-{int(day):02}" if day else whole


def _day(question: Question, text: str) -> object:
    written = as_written(text)
    if not _NEARLY_A_DAY.fullmatch(written):
        msg = "write a day as 3 May 2019, May 2019 or 2019, and ? if you do not know"
        raise AnswerError(msg)
    return _scalar(_shape(question), written)


def _last_day(question: Question, text: str) -> object:
    return _day(question, ".." if text.casefold() in _STILL else text)


def _yes_or_no(_question: Question, text: str) -> bool:
    word = text.casefold().rstrip(".")
    if word in _YES:
        return True
    if word in _NO:
        return False
    msg = "please answer yes or no"
    raise AnswerError(msg)


def _number(question: Question, text: str) -> object:
    return _scalar(_shape(question), _UNITS.sub("", text))


def _plain(question: Question, text: str) -> object:
    return _scalar(_shape(question), text)


def _code(question: Question, text: str) -> object:
    """Read a code of a country or language; typed in small letters it will do, too."""
    is_country = question.kind == "country"
    return _scalar(_shape(question), text.upper() if is_country else text.lower())


def _choice(question: Question, text: str) -> object:
    word = _chosen(question, text)
    shape = _shape(question)
    return _scalar(shape, word) if isinstance(shape, ScalarShape) else word


def _chosen(question: Question, text: str) -> str:
    """Return the word chosen by its number, itself or what is read."""
    for number, (word, read) in enumerate(question.choices, start=1):
        if text.casefold() in {str(number), word.casefold(), read.casefold()}:
            return word
    if question.is_open:
        return text
    msg = "please choose one of the list, by its number or its words"
    raise AnswerError(msg)


def readings_of(question: Question, text: str) -> tuple[str, ...]:
    """Return the ways in which a list may be meant, most entries first; more than one is a doubt.

    Commas and the word "and" part entries, and they stand within names, too; only the person can
    say which. Each reading is a text whose entries are parted by semicolons.
    """
    if question.kind != "names" or not question.is_open or ";" in text:
        return (text,)
    parts = [part.strip() for part in _PARTING.split(text) if part.strip()]
    known = {word.casefold() for choice in question.choices for word in choice}
    numbers = {str(number) for number in range(1, len(question.choices) + 1)}
    parted = "; ".join(parts)
    if len(parts) <= 1 or all(part.casefold() in known | numbers for part in parts):
        return (parted or text,)
    return (parted, text)


def _texts(question: Question, text: str) -> tuple[str, ...]:
    return tuple(_chosen(question, each) for each in _several(text, has_commas=question.is_open))


def _listed(question: Question, text: str) -> tuple[str, ...]:
    """Read yes or no on the one thing that is asked for, as the list it stands in."""
    return tuple(word for word, _read in question.choices if _yes_or_no(question, text))


def _countries(question: Question, text: str) -> tuple[object, ...]:
    shape = _shape(question)
    item = shape.item if isinstance(shape, ListShape) else shape
    return tuple(_scalar(item, each.upper()) for each in _several(text))


def _several(text: str, *, has_commas: bool = False) -> Sequence[str]:
    """Return the parts of a list; names may have commas in them, codes and our own words not."""
    if text.casefold() in _NONE:
        return ()
    sign = ";" if has_commas or ";" in text else ","
    return [part.strip() for part in text.split(sign) if part.strip()]


def _names(question: Question, text: str) -> tuple[object, ...]:
    if question.path != "stays":
        names = _texts(question, text)
        if any(_NEARLY_A_DAY.fullmatch(as_written(name)) for name in names):
            msg = "that looks like a day; here names are asked for"
            raise AnswerError(msg)
        return names
    shape = next(field.shape for field in fields_of(RECORDS["stays"]) if field.name == "country")
    return tuple(_scalar(shape, name.upper()) for name in _several(text))


def _by_part(question: Question, text: str) -> Mapping[str, object]:
    shape = _shape(question)
    item = shape.item if isinstance(shape, MappingShape) else shape
    found = {}
    for part in _several(text):
        match = _PART_AND_VALUE.fullmatch(part)
        if not match:
            msg = f"an answer would be: {question.hint}"
            raise AnswerError(msg)
        found[_chosen(question, match[1])] = _scalar(item, match[2])
    return found


def _supervisor(question: Question, text: str) -> Supervisor:
    parts = _several(text)
    if len(parts) != _SUPERVISOR_PARTS:
        msg = f"three answers are needed. {question.hint}"
        raise AnswerError(msg)
    since, profession, sanctioned = (None if part == "?" else part for part in parts)
    shape = next(f.shape for f in fields_of(Supervisor) if f.name == "registered_since")
    return Supervisor(
        registered_since=(
            None if since is None else cast("PartialDate", _scalar(shape, as_written(since)))
        ),
        same_profession=None if profession is None else _yes_or_no(question, profession),
        sanctioned=None if sanctioned is None else _yes_or_no(question, sanctioned),
    )


_READERS: Final[Mapping[str, Callable[[Question, str], object]]] = {
    "names": _names,
    "day": _day,
    "last day": _last_day,
    "yes or no": _yes_or_no,
    "number": _number,
    "hours": _number,
    "share": _plain,
    "country": _code,
    "countries": _countries,
    "language": _code,
    "text": _choice,
    "texts": _texts,
    "listed": _listed,
    "choice": _choice,
    "length": _plain,
    "hours by part": _by_part,
    "results by part": _by_part,
    "supervisor": _supervisor,
}
