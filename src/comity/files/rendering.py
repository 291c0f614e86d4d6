"""Problems as people and programs read them: one template for command line and desk."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.core.problems import Place, Problem, sorted_by_place

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

MAX_SHOWN: Final = 50
_MAX_WIDTH: Final = 96
_MAX_CARETS: Final = 40
_TAB: Final = " " * 4
_LINE_END: Final = re.compile(r"\r\n|\r|\n")
# Controls, separators of lines, signs that cannot be seen or that turn the direction of writing:
# they could hide or rewrite what a terminal shows.
_HOSTILE: Final = re.compile(
    "[\x00-\x1f\x7f-\x9f\xad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]"
)


@dataclass(frozen=True, slots=True)
class _Cell:
    """A character of a line as it is shown, with its width in columns."""

    shown: str
    width: int


def render(problems: Iterable[Problem], texts: Mapping[str, str]) -> str:
    """Return all problems in reading order, each with its line and a caret under what is amiss.

    Parameters
    ----------
    problems : iterable of Problem
        As the stages returned them.
    texts : mapping
        From names of files, as they stand in places, to what stands in the files. A file that
        is not there is named only.

    Returns
    -------
    str
        Lines without an end of line at the end; empty where there is no problem.
    """
    ordered = sorted_by_place(problems)
    lines_of = {file: _LINE_END.split(text) for file, text in texts.items()}
    blocks = [_block(problem, lines_of) for problem in ordered[:MAX_SHOWN]]
    if len(ordered) > MAX_SHOWN:
        blocks.append(f"… and {len(ordered) - MAX_SHOWN} more")
    return "\n".join(blocks)


def as_json(problems: Iterable[Problem]) -> list[dict[str, Any]]:
    """Return the problems in reading order as plain data; a place that is unknown is null."""
    return [
        {
            "code": problem.code,
            "severity": problem.severity,
            **_place_as_json(problem.place),
            "message": problem.message,
            "got": problem.got,
            "expected": problem.expected,
            "hint": problem.hint,
            "source": problem.source,
            "related": [{**_place_as_json(place), "says": says} for place, says in problem.related],
        }
        for problem in sorted_by_place(problems)
    ]


def _place_as_json(place: Place | None) -> dict[str, Any]:
    has_line = place is not None and place.line > 0
    return {
        "file": place.file if place else None,
        "line": place.line if place and has_line else None,
        "column": place.column if place and has_line else None,
        "end_column": place.end_column if place and has_line else None,
    }


def harmless(text: str) -> str:
    """Return a text with each character spelled out that could disturb a terminal."""
    return _HOSTILE.sub(lambda match: _spelled(match.group()), text)


def _spelled(character: str) -> str:
    return character.encode("unicode_escape", "surrogatepass").decode("ascii")


def _block(problem: Problem, lines_of: Mapping[str, list[str]]) -> str:
    place = problem.place
    where = "" if place is None else f"{_where(place)}: "
    lines = [f"{where}{problem.severity} {problem.code}: {problem.message}"]
    lines += _excerpt(problem, lines_of)
    if problem.hint:
        lines.append(f"   hint: {problem.hint}")
    lines += [f"   see also: {_where(other)} ({says})" for other, says in problem.related]
    if problem.source:
        lines.append(f"   source: {problem.source}")
    return "\n".join(harmless(line) for line in lines)


def _where(place: Place) -> str:
    return str(place) if place.line else place.file


def _excerpt(problem: Problem, lines_of: Mapping[str, list[str]]) -> list[str]:
    facts = _facts(problem)
    place = problem.place
    lines = lines_of.get(place.file, []) if place else []
    if place is None or not 0 < place.line <= len(lines):
        return [f"   {facts}"] if facts else []
    line, before, marked = _cut(lines[place.line - 1], place)
    carets = f"{' ' * before}{'^' * marked}"
    return [f"{place.line:5} | {line}".rstrip(), f"      | {carets} {facts}".rstrip()]


def _facts(problem: Problem) -> str:
    got = f"got {problem.got}" if problem.got else ""
    expected = f"expected {problem.expected}" if problem.expected else ""
    return "; ".join(filter(None, (got, expected)))


def _cut(line: str, place: Place) -> tuple[str, int, int]:
    """Return what is shown of a line, the columns before the span, and those of the span."""
    start = min(place.column, len(line) + 1) - 1
    end = max(start + 1, (place.end_column or 0) - 1)
    # However long the line, no more of it is looked at than could be shown.
    first = max(0, start - _MAX_WIDTH // 3) if len(line) > _MAX_WIDTH else 0
    cells = [_cell(character) for character in line[first : first + _MAX_WIDTH]]
    shown = "".join(cell.shown for cell in cells)
    before = sum(cell.width for cell in cells[: start - first])
    marked = sum(cell.width for cell in cells[start - first : end - first])
    opening = "…" if first else ""
    closing = "…" if first + _MAX_WIDTH < len(line) else ""
    return f"{opening}{shown}{closing}", before + len(opening), min(max(1, marked), _MAX_CARETS)


def _cell(character: str) -> _Cell:
    if character == "\t":
        return _Cell(_TAB, len(_TAB))
    shown = harmless(character)
    if shown != character:
        return _Cell(shown, len(shown))
    if unicodedata.category(character) in {"Mn", "Me", "Cf"}:
        return _Cell(character, 0)
    return _Cell(character, 2 if unicodedata.east_asian_width(character) in "WF" else 1)
