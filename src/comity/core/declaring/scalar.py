"""What a single value of a file may be: its words, its parser, its pattern for editors."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping


class ScalarError(ValueError):
    """A text is not the value it should be; the sentence says how to mend it."""


def refuse(sentence: str = "") -> NoReturn:
    """Raise a ScalarError with a sentence on how to mend the text, where there is one to say."""
    raise ScalarError(sentence)


@dataclass(frozen=True, slots=True)
class Scalar:
    """A kind of value that stands in a file as one piece of text.

    Parameters
    ----------
    name : str
        What the reference calls it, as "date".
    noun : str
        What it must be, to follow the words "must be": "a day, written year-month-day".
    code : str
        Problem code for a text that is none.
    example : str
        A text that would do.
    parse : callable
        From the text as typed to the value. Raises ValueError (best a ScalarError)
        with one sentence on what is wrong with this text or how to mend it, or none.
    write : callable
        From the value back to its canonical text; ``parse(write(value)) == value``.
    schema : mapping
        JSON Schema for what editors see once YAML has made text, number or truth value of it.
    takes_blank : bool
        Whether an empty text is a value.
    is_text : bool
        Whether words such as ``null`` are just text.
    """

    name: str
    noun: str
    code: str
    example: str
    parse: Callable[[str], Any]
    write: Callable[[Any], str]
    schema: Mapping[str, Any] = field(hash=False)
    takes_blank: bool = False
    is_text: bool = False
