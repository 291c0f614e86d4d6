"""What a formula comes to, and how numbers are rounded and shown."""

from __future__ import annotations

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Final, TypeAlias

from comity.core.exam.equations.every import EQUATIONS
from comity.core.exam.item_models.formula import Call, Formula, Name, Number, Operation, Word

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

Result: TypeAlias = float | str | bool

_MAX: Final = 1e15
_MAX_POWER: Final = 300
_MAX_PLACES: Final = 9
# Binary fractions carry noise in the last digits; what is compared, rounded or shown has none.
_DIGITS: Final = 12


class EvaluationError(ValueError):
    """A formula comes to nothing for some values; the sentence says why."""


def evaluate(formula: Formula, values: Mapping[str, Result]) -> Result:
    """Return what a formula comes to.

    Raises
    ------
    EvaluationError
        When arithmetic has no answer, or words stand where numbers must.
    OutsideError
        When an equation is asked outside its range.
    """
    match formula:
        case Number(value, _):
            return value
        case Word(text, _):
            return text
        case Name(name, _):
            return values[name]
        case Call():
            return _called(formula, values)
        case _:
            return _operated(formula, values)


def number_of(formula: Formula, values: Mapping[str, Result]) -> float:
    """Return the number that a formula comes to; raises as `evaluate` does."""
    return _number(evaluate(formula, values))


def clean(number: float) -> float:
    """Return a number without the noise of binary fractions."""
    return float(f"{number:.{_DIGITS}g}")


def rounded(number: float, places: int, *, mode: str = ROUND_HALF_UP) -> float:
    """Return a number rounded half up (away from zero) to some places.

    Examples
    --------
    >>> rounded(2.675, 2), rounded(-0.5, 0)
    (2.68, -1.0)
    """
    return float(Decimal(repr(clean(number))).quantize(Decimal(1).scaleb(-places), rounding=mode))


def shown(number: float, places: int) -> str:
    """Return a number with all its places, as people write it.

    Examples
    --------
    >>> shown(-0.05, 1), shown(1302.75, 0)
    ('−0.1', '1303')
    """
    text = f"{rounded(number, places):.{places}f}"
    is_zero = not text.strip("-0.")
    return text.lstrip("-") if is_zero else text.replace("-", "−")


def _number(value: Result) -> float:
    if isinstance(value, bool | str):
        message = f"{value!r} stands where a number must"
        raise EvaluationError(message)
    if not math.isfinite(value) or abs(value) > _MAX:
        message = "a number grows beyond measure"
        raise EvaluationError(message)
    return float(value)


def _truth(value: Result) -> bool:
    if not isinstance(value, bool):
        message = f"{value!r} stands where a comparison must"
        raise EvaluationError(message)
    return value


def _operated(formula: Operation, values: Mapping[str, Result]) -> Result:
    sign = formula.sign
    if sign in ("and", "or"):
        assert formula.left is not None  # noqa: S101 (the parser never leaves it out here)
        first = _truth(evaluate(formula.left, values))
        settled = first if sign == "or" else not first
        return first if settled else _truth(evaluate(formula.right, values))
    right = evaluate(formula.right, values)
    if formula.left is None:
        return not _truth(right) if sign == "not" else -_number(right)
    left = evaluate(formula.left, values)
    return _COMPARED[sign](left, right) if sign in _COMPARED else _arithmetic(sign, left, right)


def _arithmetic(sign: str, left: Result, right: Result) -> float:
    a, b = _number(left), _number(right)
    try:
        return _number(_ARITHMETIC[sign](a, b))
    except ArithmeticError as error:
        message = f"{a:g} {sign} {b:g} has no answer"
        raise EvaluationError(message) from error


def _power(base: float, power: float) -> float:
    if abs(power) > _MAX_POWER or (base < 0 and power != int(power)):
        raise ArithmeticError
    return float(base**power)


def _same(left: Result, right: Result) -> bool:
    if isinstance(left, str) or isinstance(right, str):
        return left == right
    return clean(_number(left)) == clean(_number(right))


def _in_order(left: Result, right: Result) -> float:
    return clean(_number(left)) - clean(_number(right))


_ARITHMETIC: Final[Mapping[str, Callable[[float, float], float]]] = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "*": lambda a, b: a * b,
    "/": lambda a, b: a / b,
    "^": _power,
}
_COMPARED: Final[Mapping[str, Callable[[Result, Result], bool]]] = {
    "=": _same,
    "!=": lambda a, b: not _same(a, b),
    "<": lambda a, b: _in_order(a, b) < 0,
    "<=": lambda a, b: _in_order(a, b) <= 0,
    ">": lambda a, b: _in_order(a, b) > 0,
    ">=": lambda a, b: _in_order(a, b) >= 0,
}


def _called(call: Call, values: Mapping[str, Result]) -> Result:
    if call.name == "if":
        condition, when_true, when_false = call.arguments
        return evaluate(when_true if _truth(evaluate(condition, values)) else when_false, values)
    if call.name in EQUATIONS:
        given = {name: evaluate(value, values) for name, value in call.named}
        return EQUATIONS[call.name].result(given)
    numbers = [number_of(argument, values) for argument in call.arguments]
    try:
        return _number(_FUNCTIONS[call.name](*numbers))
    except (ArithmeticError, ValueError) as error:
        message = f"{call.name} has no answer for {', '.join(f'{each:g}' for each in numbers)}"
        raise EvaluationError(message) from error


def _to_places(mode: str) -> Callable[..., float]:
    def function(number: float, places: float = 0) -> float:
        if not 0 <= places <= _MAX_PLACES:
            raise ArithmeticError
        return rounded(number, int(places), mode=mode)

    return function


_FUNCTIONS: Final[Mapping[str, Callable[..., float]]] = {
    "abs": abs,
    "exp": math.exp,
    "ln": math.log,
    "log10": math.log10,
    "max": max,
    "min": min,
    "round": _to_places(ROUND_HALF_UP),
    "round_down": _to_places(ROUND_FLOOR),
    "round_up": _to_places(ROUND_CEILING),
    "sqrt": math.sqrt,
}
