"""What is wrong with an input, where it stands, and how to mend it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Iterable

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A span in a text: file as the user named it, line and column counted from 1."""

    file: str
    line: int = 1
    column: int = 1
    end_column: int | None = None

    def __str__(self) -> str:
        """Return ``file:line:column``."""
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to mend.

    Parameters
    ----------
    code : str
        Area letter and number, as ``F101``; listed in the reference, never reused.
    message : str
        What rule was broken, in one clause without a full stop.
    place : Place or None
        Where; None for what has no place in a text.
    got, expected : str
        What was found and an example of what would do; may be empty.
    hint : str
        How to mend it; may be empty.
    source : str
        Act, standard or page which the rule comes from; may be empty.
    related : tuple of (Place, str)
        The other places of a conflict, each with a word on what stands there.
    """

    code: str
    message: str
    place: Place | None = None
    severity: Severity = "error"
    got: str = ""
    expected: str = ""
    hint: str = ""
    source: str = ""
    related: tuple[tuple[Place, str], ...] = ()


def sorted_by_place(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return the problems in reading order, those without a place first."""
    nowhere = Place("", 0, 0)
    return tuple(sorted(problems, key=lambda problem: (problem.place or nowhere, problem.code)))


def has_errors(problems: Iterable[Problem]) -> bool:
    """Tell whether any of the problems stops the work (warnings do not)."""
    return any(problem.severity == "error" for problem in problems)
