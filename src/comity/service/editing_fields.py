"""One field of an applicant file on a form: how it is asked for, shown, and read back."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

from comity.core.days.partial import PartialDate
from comity.core.declaring.fields import DeclaredField, fields_of
from comity.core.declaring.scalar import ScalarError
from comity.core.declaring.shapes import (
    ChoiceShape,
    ListShape,
    MappingShape,
    RecordShape,
    ScalarShape,
    Shape,
    YesNoShape,
)
from comity.core.eligibility.view import plain_day
from comity.service.answers import as_written, is_dont_know
from comity.service.editing_words import FIELD_HINTS, HINTS, label_of, read_as

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.declaring.scalar import Scalar

Sort = Literal[
    "text", "long text", "day", "last day", "date", "yes or no", "choice", "country", "countries",
    "number", "hours", "share", "length", "list", "by part", "papers",
]  # fmt: skip

_LAST: Final = {"evidence": 1, "papers": 2, "note": 3}
_LONG: Final = {"note", "reason"}
_NAMED: Final = re.compile(r"(.+?)\s*[:=]\s*([0-9]+:[0-9]{2}|[^:=]+)")
"""A name and a value; the colon of hours and minutes belongs to the value."""
_STILL: Final = {"still", "still there", "still going on", "ongoing", "now", "present", ".."}
_NONE: Final = {"none", "no", "nothing", "never", "-"}
_ISO: Final = re.compile(r"([0-9]{4})(?:-([0-9]{2}))?(?:-([0-9]{2}))?(~?)")
_SORT_BY_SCALAR: Final[Mapping[str, Sort]] = {
    "partial date": "day",
    "date": "date",
    "country": "country",
    "hours": "hours",
    "share": "share",
    "period": "length",
    "number": "number",
    "whole number": "number",
}
_MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Control:
    """One thing on a form.

    Parameters
    ----------
    name : str
        The field; a part of a record stands behind a dot, as ``supervisor.sanctioned``.
    label, hint : str
        What it is called, and how to answer.
    sort : str
        What kind of answer it takes.
    value : str
        What stands there now, as people write it.
    choices : tuple of (str, str)
        The words to choose from, each with what people read; of open texts, words to offer.
    is_required : bool
        Whether it may not be left empty.
    """

    name: str
    label: str
    hint: str
    sort: Sort
    value: str
    choices: tuple[tuple[str, str], ...] = ()
    is_required: bool = False

    @property
    def chosen(self) -> tuple[str, ...]:
        """The entries of a list that is ticked."""
        return tuple(each for each in self.value.split("; ") if each)


@dataclass(frozen=True, slots=True)
class FieldProblem:
    """Why an answer cannot be taken: what was found, what would do, how to mend it."""

    found: str
    expected: str
    hint: str = ""
    rule: str = ""

    @property
    def sentence(self) -> str:
        """All of it in one go."""
        cannot = f"“{self.found}” cannot be taken" if self.found else "Something is needed here"
        rule = f"{cannot}: {self.rule}." if self.rule else f"{cannot}."
        expected = f" Expected: {self.expected}." if self.expected else ""
        hint = f" {self.hint[0].upper()}{self.hint[1:]}." if self.hint else ""
        return f"{rule}{expected}{hint}"


class FieldError(ValueError):
    """An answer that cannot be taken."""

    def __init__(self, problem: FieldProblem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem


def controls_for(
    record: type,
    *,
    section: str,
    value: Any,  # noqa: ANN401
    offered: Mapping[str, Sequence[tuple[str, str]]],
) -> Iterator[Control]:
    """Yield a control for each field of a record but its id; `value` is None for a new one.

    What shows a fact, and remarks on it, come last.
    """
    for field in sorted(fields_of(record), key=lambda each: _LAST.get(each.name, 0)):
        if field.name == "id" or (section == "about" and field.name not in {"name", "as_of"}):
            continue
        held = getattr(value, field.name) if value is not None else _default(field)
        if isinstance(field.shape, RecordShape):
            for part in controls_for(
                field.shape.record, section=section, value=held, offered=offered
            ):
                yield _part_of(part, field.name)
        else:
            yield _control(field, section, held=held, offered=offered.get(field.name, ()))


def _default(field: DeclaredField) -> Any:  # noqa: ANN401
    return None if field.is_required else field.default


def _part_of(control: Control, name: str) -> Control:
    return Control(
        f"{name}.{control.name}", control.label, control.hint, control.sort, control.value,
        control.choices, control.is_required,
    )  # fmt: skip


def _control(
    field: DeclaredField,
    section: str,
    *,
    held: Any,  # noqa: ANN401
    offered: Sequence[tuple[str, str]],
) -> Control:
    sort = sort_of(field)
    own = _own_choices(field, section)
    return Control(
        field.name,
        label_of(section, field.name),
        FIELD_HINTS.get(field.name, HINTS.get(sort, "")),
        sort,
        "" if held is None else shown(held, field.shape),
        choices=own or tuple(offered),
        is_required=field.is_required,
    )


def _own_choices(field: DeclaredField, section: str) -> tuple[tuple[str, str], ...]:
    reads = read_as(section, field.name)
    if isinstance(field.shape, ChoiceShape):
        return tuple((word, reads.get(word, word)) for word, _value in field.shape.values)
    return tuple(reads.items())


def sort_of(field: DeclaredField) -> Sort:
    """Return which kind of control a field takes."""
    match field.shape:
        case YesNoShape():
            return "yes or no"
        case ChoiceShape():
            return "choice"
        case MappingShape():
            return "by part"
        case ListShape(item=ScalarShape(scalar=scalar)):
            listed: Sort = "countries" if scalar.name == "country" else "list"
            return "papers" if field.name == "papers" else listed
        case ScalarShape(scalar=scalar):
            return _sort_of_scalar(field, scalar)
    message = f"{field.name} has a shape that no form can show"
    raise TypeError(message)


def _sort_of_scalar(field: DeclaredField, scalar: Scalar) -> Sort:
    if field.name == "end":
        return "last day"
    plain: Sort = "long text" if field.name in _LONG else "text"
    return _SORT_BY_SCALAR.get(scalar.name, plain)


# ----------------------------------------------------------------------------------------- shown


def shown(value: Any, shape: Shape) -> str:  # noqa: ANN401
    """Return a value as people would write it into a form."""
    match shape:
        case YesNoShape():
            return "yes" if value else "no"
        case ChoiceShape():
            return next(word for word, known in shape.values if known == value)
        case ListShape():
            return "; ".join(shown(each, shape.item) for each in value) or "none"
        case MappingShape():
            return "\n".join(f"{key}: {shown(each, shape.item)}" for key, each in value.items())
        case ScalarShape(scalar=scalar):
            if scalar.name == "date":
                return plain_day(value)
            return said(value) if isinstance(value, PartialDate) else scalar.write(value)
    message = f"no form can show {value!r}"
    raise TypeError(message)


def said(date: PartialDate) -> str:
    """Return a day as people say it; ways of writing that they have no words for stay.

    Examples
    --------
    >>> from comity.core.days.partial import parse_partial_date
    >>> [said(parse_partial_date(text)) for text in ("2019-05-03", "2019-05~", "2019", "..")]
    ['3 May 2019', 'about May 2019', '2019', 'still']
    """
    text = date.text
    if date.is_open:
        return "still"
    match = _ISO.fullmatch(text)
    if not match:
        return text
    year, month, day, about = match.groups()
    words = [str(int(day))] if day else []
    words += [_MONTHS[int(month) - 1]] if month else []
    return f"{'about ' if about else ''}{' '.join([*words, year])}"


# ------------------------------------------------------------------------------------------ read


def read_field(field: DeclaredField, typed: str, choices: Sequence[tuple[str, str]]) -> Any:  # noqa: ANN401
    """Return the value of what was typed for a field; its default where nothing was.

    Raises
    ------
    FieldError
        When it cannot be read, or nothing stands where something has to.
    """
    text = typed.replace("\r\n", "\n").strip()
    if any(unicodedata.category(sign) == "Cc" and sign != "\n" for sign in text):
        raise FieldError(FieldProblem("", "a text without control characters", "write it anew"))
    is_blank = not text or (field.may_be_none and is_dont_know(text))
    if is_blank and field.is_required:
        raise FieldError(FieldProblem("", field.doc.rstrip(".").lower()))
    return field.default if is_blank else _read(field, text, choices)


def _read(field: DeclaredField, text: str, choices: Sequence[tuple[str, str]]) -> Any:  # noqa: ANN401
    shape = field.shape
    match shape:
        case YesNoShape():
            return _yes_or_no(text)
        case ChoiceShape():
            return dict(shape.values)[_chosen(text, choices)]
        case ListShape():
            return tuple(_item(shape.item, part) for part in _parts(text))
        case MappingShape():
            return dict(_named_lines(shape.item, text))
        case ScalarShape(scalar=scalar):
            return _scalar(scalar, _offered_word(text, choices), is_last=field.name == "end")
    message = f"no form can read {field.name}"
    raise TypeError(message)


def _item(shape: Shape, text: str) -> Any:  # noqa: ANN401
    if isinstance(shape, ScalarShape):
        return _scalar(shape.scalar, text)
    message = f"no form can read {text!r}"
    raise TypeError(message)


def _scalar(scalar: Scalar, text: str, *, is_last: bool = False) -> Any:  # noqa: ANN401
    written = text
    if scalar.name in {"partial date", "date"}:
        written = as_written(" ".join(text.split()))
        if is_last and text.casefold() in _STILL:
            written = ".."
    elif scalar.name == "country":
        written = text.upper()
    try:
        value = scalar.parse(written)
    except ScalarError as error:
        raise FieldError(_problem(scalar, text, hint=str(error))) from None
    except ValueError:
        raise FieldError(_problem(scalar, text)) from None
    if isinstance(value, PartialDate) and value.is_open and not is_last:
        raise FieldError(_problem(scalar, text))
    return value


def _problem(scalar: Scalar, text: str, *, hint: str = "") -> FieldProblem:
    if scalar.name == "partial date":
        return FieldProblem(text, "a day as 3 May 2019, May 2019, about May 2019 or 2019", hint)
    if scalar.name == "date":
        return FieldProblem(text, "a whole day, as 3 May 2019")
    return FieldProblem(text, f"{scalar.noun}, as {scalar.example}", hint)


def _yes_or_no(text: str) -> bool:
    word = text.casefold()
    if word in {"yes", "no"}:
        return word == "yes"
    raise FieldError(FieldProblem(text, "yes or no"))


def _chosen(text: str, choices: Sequence[tuple[str, str]]) -> str:
    for word, read in choices:
        if text.casefold() in {word.casefold(), read.casefold()}:
            return word
    raise FieldError(FieldProblem(text, f"one of {', '.join(read for _word, read in choices)}"))


def _offered_word(text: str, choices: Sequence[tuple[str, str]]) -> str:
    """Return the word for what people read on a list of offers; other texts as they are."""
    return next((word for word, read in choices if text.casefold() == read.casefold()), text)


def _parts(text: str) -> list[str]:
    if text.casefold() in _NONE:
        return []
    return [part.strip() for part in text.split(";") if part.strip()]


def _named_lines(item: Shape, text: str) -> Iterator[tuple[str, Any]]:
    for line in filter(None, (each.strip() for each in re.split(r"[\n;]", text))):
        match = _NAMED.fullmatch(line)
        if not match:
            raise FieldError(FieldProblem(line, "a name, a colon and a value, as taught: 2900"))
        yield match[1], _item(item, match[2])
