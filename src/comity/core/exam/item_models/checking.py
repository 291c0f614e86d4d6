"""What is wrong with an item model, and the model made ready to be drawn from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING, Final

from comity.core.exam.equations.every import EQUATIONS
from comity.core.exam.item_models.formula import (
    FUNCTIONS,
    WORDS_OF_THE_LANGUAGE,
    Call,
    Formula,
    FormulaError,
    Name,
    parse_formula,
    parts_of,
)
from comity.core.exam.item_models.model import ItemModel
from comity.core.exam.item_models.texts import amiss_in

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator

    from comity.core.declaring.fields import Path

_NAME: Final = re.compile(r"[a-z][a-z0-9_]*", re.ASCII)
_WHERE: Final = "parameters, and values said before"


@dataclass(frozen=True, slots=True)
class Flaw:
    """One thing to mend in a model: where it stands, and which part of the text there."""

    code: str
    path: Path
    message: str
    got: str = ""
    expected: str = ""
    hint: str = ""
    span: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class ReadyModel:
    """A model with its formulas parsed, in the order in which they are worked out."""

    model: ItemModel
    values: tuple[tuple[str, Formula], ...]
    conditions: tuple[Formula, ...]
    key: Formula
    distractors: tuple[tuple[Formula, Formula | None], ...]
    equations: tuple[str, ...]


class _Check:
    """Parses each formula once and collects flaws."""

    def __init__(self, model: ItemModel) -> None:
        self.model = model
        self.flaws: list[Flaw] = []
        self.known: list[str] = []

    def formula(self, text: str, path: Path) -> Formula | None:
        """Return a formula that is sound, or None with its flaws noted."""
        try:
            formula = parse_formula(text)
        except FormulaError as error:
            span = (error.start, error.end)
            self._add("X101", path, error.message, span=span, expected=error.expected)
            return None
        flaws = list(_flaws_of(formula, self.known, path))
        self.flaws += flaws
        return None if flaws else formula

    def names(self) -> None:
        """Note names that cannot be used, or stand twice."""
        for name in self.model.parameters:
            self._name(name, ("parameters", name))

    def _name(self, name: str, path: Path) -> None:
        if not _NAME.fullmatch(name) or name in WORDS_OF_THE_LANGUAGE or name == "key":
            expected = "small letters, digits and underscores, no word of the language"
            message = "the name cannot be used in formulas"
            self._add("X106", path, message, got=f"'{name}'", expected=expected)
        elif name in self.known:
            self._add("X106", path, f"{name} stands twice", expected="another name")
        self.known.append(name)

    def values(self) -> list[tuple[str, Formula]]:
        """Return the values in order; each knows those before it."""
        parsed = []
        for name, value in self.model.values.items():
            formula = self.formula(value.formula, ("values", name, "formula"))
            self._name(name, ("values", name))
            if formula is not None:
                parsed.append((name, formula))
        return parsed

    def conditions(self) -> list[Formula]:
        """Return limits and guards, in this order."""
        listed = [
            (condition.holds, (key, index, "holds"))
            for key in ("limits", "guards")
            for index, condition in enumerate(getattr(self.model, key))
        ]
        found = [self.formula(text, path) for text, path in listed]
        return [formula for formula in found if formula is not None]

    def distractors(self) -> list[tuple[Formula, Formula | None]]:
        """Return the wrong turns with where they can happen."""
        self.known.append("key")
        parsed = []
        for index, wrong in enumerate(self.model.distractors):
            path = ("distractors", index)
            formula = self.formula(wrong.formula, (*path, "formula"))
            when = self.formula(wrong.when, (*path, "when")) if wrong.when else None
            if formula is not None:
                parsed.append((formula, when))
        self.known.remove("key")
        return parsed

    def texts(self) -> None:
        """Note placeholders that name nothing; the key is no value of the stem."""
        model = self.model
        self._text(model.stem, ("stem",), self.known)
        for index, text in enumerate(model.use):
            self._text(text, ("use", index), self.known)
        for index, text in enumerate(model.solution):
            self._text(text, ("solution", index), (*self.known, "key"))

    def _text(self, text: str, path: Path, names: Collection[str]) -> None:
        for placeholder, span in amiss_in(text, names):
            hint = _meant(placeholder.strip("{}").partition(".")[0], names)
            message = "the text puts in a value that is not there"
            if placeholder == "{key}":
                message = "the question gives its answer away"
            self._add("X107", path, message, span=span, got=placeholder, hint=hint)

    def basis(self, equations: tuple[str, ...]) -> None:
        """Note a model that calls no equation and says nothing to go by."""
        if not equations and not self.model.use:
            self._add(
                "X108",
                ("key",),
                "the answer rests neither on an equation nor on a rule that is stated",
                expected='use: ["Carbohydrate gives 4 kcal/g."]',
            )

    def _add(  # noqa: PLR0913 (what a problem says)
        self,
        code: str,
        path: Path,
        message: str,
        *,
        span: tuple[int, int] | None = None,
        got: str = "",
        expected: str = "",
        hint: str = "",
    ) -> None:
        self.flaws.append(Flaw(code, path, message, got, expected, hint, span))


def make_ready(model: ItemModel) -> tuple[ReadyModel | None, tuple[Flaw, ...]]:
    """Return the model ready to be drawn from, and what is wrong with it; None with flaws."""
    check = _Check(model)
    check.names()
    values = check.values()
    conditions = check.conditions()
    key = check.formula(model.key.formula, ("key", "formula"))
    distractors = check.distractors()
    check.texts()
    formulas = [formula for _, formula in values] + ([] if key is None else [key])
    equations = _equations_of(formulas)
    if not check.flaws:
        check.basis(equations)
    if check.flaws or key is None:
        return None, tuple(check.flaws)
    ready = ReadyModel(model, tuple(values), tuple(conditions), key, tuple(distractors), equations)
    return ready, ()


def _equations_of(formulas: list[Formula]) -> tuple[str, ...]:
    parts = [part for formula in formulas for part in parts_of(formula)]
    called = [part.name for part in parts if isinstance(part, Call) and part.name in EQUATIONS]
    return tuple(dict.fromkeys(called))


def _flaws_of(formula: Formula, known: Collection[str], path: Path) -> Iterator[Flaw]:
    for part in parts_of(formula):
        if isinstance(part, Name) and part.name not in known:
            message = f"'{part.name}' is no name known here"
            hint = _meant(part.name, known) or f"formulas know {_WHERE}; words stand in 'quotes'"
            yield Flaw("X102", path, message, got=f"'{part.name}'", hint=hint, span=part.span)
        if isinstance(part, Call):
            yield from _call_flaws(part, path)


def _call_flaws(call: Call, path: Path) -> Iterator[Flaw]:
    if call.name in FUNCTIONS:
        least, most = FUNCTIONS[call.name]
        if not least <= len(call.arguments) <= most:
            expected = str(least) if least == most else f"{least} to {most}"
            yield Flaw(
                "X104",
                path,
                f"{call.name} takes {expected} arguments",
                got=str(len(call.arguments)),
                span=call.span,
            )
        return
    equation = EQUATIONS.get(call.name)
    if equation is None:
        message = f"there is no equation and no function '{call.name}'"
        hint = _meant(call.name, (*EQUATIONS, *FUNCTIONS))
        yield Flaw("X103", path, message, got=f"'{call.name}'", hint=hint, span=call.span)
        return
    names = [each.name for each in equation.inputs]
    given = [name for name, _ in call.named]
    if call.arguments or sorted(given) != sorted(names):
        yield Flaw(
            "X104",
            path,
            f"{call.name} takes other arguments",
            got=", ".join(given) or "none by name",
            expected=f"{call.name}({', '.join(f'{name} = …' for name in names)})",
            span=call.span,
        )


def _meant(word: str, known: Collection[str]) -> str:
    found = get_close_matches(word, list(known), n=1)
    return f"did you mean {found[0]}?" if found else ""
