"""A published equation: what it asks for, what it gives, who published it, how far it holds."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

Value: TypeAlias = float | str
"""A number, or a word such as ``female`` or ``moderate``."""


class Status(StrEnum):
    """How sure the coefficients are."""

    CONFIRMED = "confirmed"
    DEFINITION = "definition"
    FROM_MEMORY = "from memory, not yet opened"


class OutsideError(ValueError):
    """A value lies outside what an equation was published for; the sentence says which."""


class ArgumentError(TypeError):
    """An equation was asked with other arguments than it takes: a mistake of the caller."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number that an equation asks for, with its unit and the range in which it is asked."""

    name: str
    unit: str
    low: float
    high: float

    def refusal_of(self, value: Value) -> str:
        """Return why a value cannot be put in; empty where it can."""
        if isinstance(value, str):
            return f"{self.name} must be a number, not '{value}'"
        if not self.low <= value <= self.high:
            unit = f" {self.unit}" if self.unit else ""
            return f"{self.name} must lie between {self.low:g} and {self.high:g}{unit}: {value:g}"
        return ""


@dataclass(frozen=True, slots=True)
class Choice:
    """A word that an equation asks for."""

    name: str
    words: tuple[str, ...]

    def refusal_of(self, value: Value) -> str:
        """Return why a value cannot be put in; empty where it can."""
        return "" if value in self.words else f"{self.name} must be one of {self.words}: {value!r}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Equation:
    """One published equation, in one version.

    Parameters
    ----------
    id : str
        Small letters, digits and underscores; a call in a formula.
    group : str
        Letter and number of the catalogue, as ``B1``.
    title, version : str
        What people call it, and which form of it this is.
    states : str
        The equation with its constants, in one line for a stem.
    inputs : tuple of Quantity or Choice
        What it asks for. Ranges are those of the publication where it names them, and else
        what is physiologically possible.
    unit : str
        Of the result; empty for a ratio, a score or a word.
    source, year : str, int
        Author and place of publication.
    status : Status
        Whether the coefficients were seen in a source, are a definition, or are from memory.
    compute : callable
        Full precision; takes the inputs by name. Call `value` instead, which looks at ranges.
    note : str
        What to beware of; may be empty.
    """

    id: str
    group: str
    title: str
    version: str
    states: str
    inputs: tuple[Quantity | Choice, ...]
    unit: str
    source: str
    year: int
    status: Status
    compute: Callable[..., Value]
    note: str = ""

    def value(self, **given: Value) -> Value:
        """Return the result for some inputs, in full precision.

        Raises
        ------
        ArgumentError
            When an input is missing or unknown.
        OutsideError
            When an input lies outside the range, or the result is not defined there.
        """
        return self.result(given)

    def result(self, given: Mapping[str, Any]) -> Value:
        """Return the result for inputs given by name; raises as `value` does."""
        names = {each.name for each in self.inputs}
        if names != given.keys():
            message = f"{self.id} takes {sorted(names)}, not {sorted(given)}"
            raise ArgumentError(message)
        refusals = [said for each in self.inputs if (said := each.refusal_of(given[each.name]))]
        if refusals:
            raise OutsideError(f"{self.id}: " + "; ".join(refusals))
        try:
            return self.compute(**given)
        except (ZeroDivisionError, OverflowError, ArithmeticError, ValueError) as error:
            message = f"{self.id} is not defined for {dict(given)}: {error}"
            raise OutsideError(message) from error
