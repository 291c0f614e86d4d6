"""What a YAML parser's complaint means to the person who wrote the file."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from yaml.error import MarkedYAMLError

from comity.core.problems import Place, Problem

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from yaml.error import Mark, YAMLError

_SAME_DEPTH: Final = "give the keys of one block the same number of spaces before them"
_QUOTE_IT: Final = "put the whole value in quotes"


@dataclass(frozen=True, slots=True)
class _Spot:
    """Where the parser stopped, and where the thing began that it was reading."""

    before: str
    character: str
    mark: Mark
    beginning: Mark


@dataclass(frozen=True, slots=True)
class _Reading:
    """What to tell: by default at the mark where the parser stopped."""

    message: str
    hint: str
    code: str = "F105"
    at_beginning: bool = False


def explain(error: YAMLError, lines: Sequence[str], file: str) -> Problem:
    """Return the problem behind an error of the parser, at the place that a person would name."""
    if not isinstance(error, MarkedYAMLError) or error.problem_mark is None:
        return Problem("F105", _OTHER.message, place=Place(file, 0, 0), hint=_OTHER.hint)
    spot = _spot(error, error.problem_mark, lines)
    reading = _reading(f"{error.context}: {error.problem}", spot)
    mark = spot.beginning if reading.at_beginning else spot.mark
    column = mark.column + 1
    return Problem(
        reading.code,
        reading.message,
        place=Place(file, mark.line + 1, column, column + 1),
        hint=reading.hint,
    )


def _spot(error: MarkedYAMLError, mark: Mark, lines: Sequence[str]) -> _Spot:
    line = lines[mark.line] if mark.line < len(lines) else ""
    before, character = line[: mark.column], line[mark.column : mark.column + 1]
    return _Spot(before, character, mark, error.context_mark or mark)


def _reading(problem: str, spot: _Spot) -> _Reading:
    for pattern, reading in _READINGS:
        if re.search(pattern, problem):
            return reading if isinstance(reading, _Reading) else reading(spot)
    return _OTHER


def _no_token(spot: _Spot) -> _Reading:
    if spot.character == "\t":
        return _TAB
    return _Reading(f"a value cannot begin with {spot.character}", _QUOTE_IT)


def _unexpected_colon(spot: _Spot) -> _Reading:
    if re.search(r"\S:\s", spot.before):
        return _Reading("a second colon stands in the line, as if a key came before it", _QUOTE_IT)
    return _Reading("the line stands deeper than the one above allows", _SAME_DEPTH)


def _unexpected_end_of_block(spot: _Spot) -> _Reading:
    if spot.before.strip():
        return _Reading("text follows a value that has already ended", _QUOTE_IT)
    if spot.character == "-":
        return _Reading("a list entry stands among keys", "indent the list below its key")
    if spot.character == ":":
        return _Reading("a key must be a word or a few", "write a word before it", code="F112")
    return _Reading("the line fits no block above it", _SAME_DEPTH)


def _anchor(spot: _Spot) -> _Reading:
    sign = "an alias (*)" if spot.before[spot.beginning.column :][:1] == "*" else "an anchor (&)"
    return _Reading(
        f"the value begins like {sign} of YAML; these files do without",
        _QUOTE_IT,
        code="F107",
        at_beginning=True,
    )


def _open_bracket(spot: _Spot) -> _Reading:
    del spot
    return _Reading(
        "a bracket is opened and not closed, or a comma is missing between two entries",
        "close it on its line, or write the entries below each other with a hyphen",
        at_beginning=True,
    )


_OTHER: Final = _Reading(
    "the file is not valid YAML from here on",
    "compare with the lines above: spaces at the beginning, colons, quotes, brackets",
)
_TAB: Final = _Reading(
    "a tab stands before the text of this line", "indent with spaces, never with tabs", code="F104"
)
# In the words of both the C and the Python parser.
_READINGS: Final[tuple[tuple[str, _Reading | Callable[[_Spot], _Reading]], ...]] = (
    (r"tab character", _TAB),
    (r"cannot start any token", _no_token),
    (r"mapping values are not allowed", _unexpected_colon),
    (
        r"could not find expected ':'",
        _Reading(
            "the line has no colon, so it is neither a key nor the end of a text",
            "write it as key: value, or indent it below the text that it continues",
            at_beginning=True,
        ),
    ),
    (
        r"unexpected end of stream|unexpected document indicator",
        _Reading(
            "a quotation mark is opened and never closed",
            'close it; inside double quotes, write a quotation mark as \\"',
            at_beginning=True,
        ),
    ),
    (r"alphabetic or numeric", _anchor),
    (r"',' or '[\]}]'", _open_bracket),
    (
        r"escape (character|code|sequence|of)|hexdecimal|hexadecimal",
        _Reading(
            "a backslash in double quotes begins a code, and this is none",
            "put the value in single quotes",
        ),
    ),
    (
        r"sequence entries are not allowed",
        _Reading(
            "a list cannot begin on its key's line",
            "begin it on the line below; a hyphen that is text needs quotes",
        ),
    ),
    (
        r"nesting depth",
        _Reading(
            "the file is nested too deep",
            "check the brackets; no file needs more than a few levels",
            code="F110",
        ),
    ),
    (
        r"document start",
        _Reading("text follows the end of the file's only document", "delete it", code="F108"),
    ),
    (
        r"YAML document|directive|\btag\b",
        _Reading("the line gives YAML an instruction; these files do without", "delete it"),
    ),
    (r"mapping keys are not allowed", _Reading("a value cannot begin with ?", _QUOTE_IT)),
    (
        r"block scalar",
        _Reading(
            "after | or > nothing more may stand in the line",
            "begin the text on the line below, indented",
        ),
    ),
    (
        r"node content",
        _Reading("an entry is missing here", "delete the comma or bracket too many"),
    ),
    (
        r"block collection",
        _Reading("a key stands among list entries", "begin it with a hyphen, or indent it"),
    ),
    (r"expected key|block end", _unexpected_end_of_block),
)
