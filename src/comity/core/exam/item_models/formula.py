"""The closed language of formulas: numbers, names, signs, a few functions, equations by id.

There is nothing in it that could reach outside: no attribute, no index, no text that is run.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final, NamedTuple, TypeAlias

MAX_LENGTH: Final = 600
MAX_DEPTH: Final = 30
FUNCTIONS: Final = {
    "abs": (1, 1),
    "exp": (1, 1),
    "if": (3, 3),
    "ln": (1, 1),
    "log10": (1, 1),
    "max": (2, 8),
    "min": (2, 8),
    "round": (1, 2),
    "round_down": (1, 2),
    "round_up": (1, 2),
    "sqrt": (1, 1),
}
"""Functions with the least and greatest number of their arguments."""

WORDS_OF_THE_LANGUAGE: Final = frozenset((*FUNCTIONS, "and", "or", "not"))
_TOKEN: Final = re.compile(
    r"\s*(?:(?P<number>[0-9]+(?:\.[0-9]+)?)|(?P<name>[A-Za-z_][A-Za-z0-9_]*)"
    r"|(?P<word>'[^']*')|(?P<sign><=|>=|!=|[-+*/^(),<>=]))",
    re.ASCII,
)
_COMPARISONS: Final = frozenset(("<", "<=", ">", ">=", "=", "!="))


class FormulaError(ValueError):
    """A text is no formula; where, what was found and what would do.

    Parameters
    ----------
    message : str
        What rule was broken.
    start, end : int
        The place in the text, from 0.
    expected : str
        What would do; may be empty.
    """

    def __init__(self, message: str, span: tuple[int, int], *, expected: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.start, self.end = span
        self.expected = expected


@dataclass(frozen=True, slots=True)
class Number:
    """A number as written."""

    value: float
    span: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Word:
    """A word in single quotes."""

    text: str
    span: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Name:
    """A parameter or a value said before."""

    name: str
    span: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Operation:
    """Two parts with a sign between, or one part behind a sign (``left`` is None)."""

    sign: str
    left: Formula | None
    right: Formula
    span: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Call:
    """A function with arguments in order, or an equation with arguments by name."""

    name: str
    arguments: tuple[Formula, ...]
    named: tuple[tuple[str, Formula], ...]
    span: tuple[int, int]


Formula: TypeAlias = Number | Word | Name | Operation | Call


class _Token(NamedTuple):
    kind: str
    text: str
    span: tuple[int, int]


def parse_formula(text: str) -> Formula:
    """Return the formula that a text writes.

    Raises
    ------
    FormulaError
        When it writes none, with the place of what is amiss.

    Examples
    --------
    >>> parse_formula("weight / 2").sign
    '/'
    """
    if len(text) > MAX_LENGTH:
        message = f"the formula has {len(text)} characters, more than {MAX_LENGTH}"
        raise FormulaError(message, (MAX_LENGTH, len(text)), expected="several values with names")
    parser = _Parser(_tokens(text), len(text))
    formula = parser.either()
    parser.end()
    return formula


def _tokens(text: str) -> list[_Token]:
    tokens: list[_Token] = []
    at = 0
    while text[at:].strip():
        match = _TOKEN.match(text, at)
        if match is None or match.lastgroup is None:
            start = at + len(text[at:]) - len(text[at:].lstrip())
            message = f"'{text[start]}' has no meaning in a formula"
            expected = "numbers, names, + - * / ^ ( ) and comparisons"
            raise FormulaError(message, (start, start + 1), expected=expected)
        kind = match.lastgroup
        tokens.append(_Token(kind, match[kind], match.span(kind)))
        at = match.end()
    return tokens


class _Parser:
    """Reads tokens from the left, the loosest binding first."""

    def __init__(self, tokens: list[_Token], length: int) -> None:
        self.tokens = tokens
        self.length = length
        self.at = 0
        self.depth = 0

    def _peek(self, ahead: int = 0) -> _Token:
        index = self.at + ahead
        if index < len(self.tokens):
            return self.tokens[index]
        return _Token("end", "", (self.length, self.length + 1))

    def _take(self) -> _Token:
        token = self._peek()
        self.at += 1
        return token

    def _wanted(self, sign: str) -> _Token:
        token = self._take()
        if token.text != sign or token.kind != "sign":
            raise FormulaError(_found(token), token.span, expected=f"'{sign}'")
        return token

    def end(self) -> None:
        """Refuse what stands behind a whole formula."""
        token = self._peek()
        if token.kind != "end":
            raise FormulaError(_found(token), token.span, expected="the end, or a sign between")

    def either(self) -> Formula:
        """Read parts joined by ``or``; every bracket begins here."""
        self.depth += 1
        if self.depth > MAX_DEPTH:
            message = f"brackets lie more than {MAX_DEPTH} deep"
            raise FormulaError(message, self._peek().span, expected="several values with names")
        left = self._both()
        while self._peek().text == "or":
            left = self._joined(left, self._take(), self._both())
        self.depth -= 1
        return left

    def _both(self) -> Formula:
        left = self._denied()
        while self._peek().text == "and":
            left = self._joined(left, self._take(), self._denied())
        return left

    def _denied(self) -> Formula:
        if self._peek().text == "not":
            token = self._take()
            inner = self._compared()
            return Operation("not", None, inner, (token.span[0], inner.span[1]))
        return self._compared()

    def _compared(self) -> Formula:
        left = self._sum()
        if self._peek().text in _COMPARISONS and self._peek().kind == "sign":
            left = self._joined(left, self._take(), self._sum())
        return left

    def _sum(self) -> Formula:
        left = self._product()
        while self._peek().kind == "sign" and self._peek().text in ("+", "-"):
            left = self._joined(left, self._take(), self._product())
        return left

    def _product(self) -> Formula:
        left = self._signed()
        while self._peek().kind == "sign" and self._peek().text in ("*", "/"):
            left = self._joined(left, self._take(), self._signed())
        return left

    def _signed(self) -> Formula:
        n_signs, start = 0, self._peek().span[0]
        while self._peek().kind == "sign" and self._peek().text == "-":
            self._take()
            n_signs += 1
        inner = self._power()
        return Operation("-", None, inner, (start, inner.span[1])) if n_signs % 2 else inner

    def _power(self) -> Formula:
        base = self._atom()
        if self._peek().kind == "sign" and self._peek().text == "^":
            sign = self._take()
            minus = self._peek().kind == "sign" and self._peek().text == "-"
            start = self._take().span[0] if minus else 0
            power = self._atom()
            if minus:
                power = Operation("-", None, power, (start, power.span[1]))
            return self._joined(base, sign, power)
        return base

    def _atom(self) -> Formula:
        token = self._take()
        if token.kind == "number":
            return Number(float(token.text), token.span)
        if token.kind == "word":
            return Word(token.text[1:-1], token.span)
        if token.kind == "name" and token.text not in ("and", "or", "not"):
            has_arguments = self._peek().text == "(" and self._peek().kind == "sign"
            return self._call(token) if has_arguments else Name(token.text, token.span)
        if token.text == "(" and token.kind == "sign":
            inner = self.either()
            self._wanted(")")
            return inner
        raise FormulaError(_found(token), token.span, expected="a number, a name or a bracket")

    def _call(self, name: _Token) -> Formula:
        self._wanted("(")
        arguments: list[Formula] = []
        named: list[tuple[str, Formula]] = []
        while self._peek().text != ")":
            if arguments or named:
                self._wanted(",")
            if self._is_named() and name.text not in FUNCTIONS:
                key = self._take().text
                self._wanted("=")
                named.append((key, self.either()))
            else:
                arguments.append(self.either())
        last = self._wanted(")")
        return Call(name.text, tuple(arguments), tuple(named), (name.span[0], last.span[1]))

    def _is_named(self) -> bool:
        return self._peek().kind == "name" and self._peek(1).text == "="

    @staticmethod
    def _joined(left: Formula, sign: _Token, right: Formula) -> Formula:
        return Operation(sign.text, left, right, (left.span[0], right.span[1]))


def _found(token: _Token) -> str:
    return "the formula ends too early" if token.kind == "end" else f"'{token.text}' stands astray"


def parts_of(formula: Formula) -> list[Formula]:
    """Return a formula with all its parts, from the left."""
    if isinstance(formula, Operation):
        inner = [formula.right] if formula.left is None else [formula.left, formula.right]
    elif isinstance(formula, Call):
        inner = [*formula.arguments, *(value for _, value in formula.named)]
    else:
        inner = []
    return [formula, *(part for each in inner for part in parts_of(each))]
