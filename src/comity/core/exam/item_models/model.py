"""An item model as a file declares it: parameters, values, key, wrong turns, words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from comity.core.declaring.fields import Complaint, declared
from comity.core.declaring.texts import Identifier, Text

Family = Literal[
    "unit",
    "omitted conversion",
    "wrong branch",
    "wrong constant or version",
    "inverted ratio",
    "step omitted",
]
Level = Literal["recall", "apply", "judge"]
LifeStage = Literal["any", "infant", "child", "adolescent", "adult", "pregnancy", "older adult"]
Group = Literal["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N", "O"]
MAX_STEPS: Final = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """What is drawn by chance: a number of a stepped range, or one of several words."""

    low: Fraction | None = declared("Least value.", key="from", default=None, example="50")
    high: Fraction | None = declared("Greatest value.", key="to", default=None, example="95")
    step: Fraction = declared("From one value to the next.", default=Fraction(1), example="0.5")
    unit: Text | None = declared("Unit, shown beside the number.", default=None, example="kg")
    choices: tuple[Text, ...] = declared(
        "Words to choose from.", default=(), example="[female, male]"
    )

    @property
    def n_steps(self) -> int:
        """Number of steps from the least to the greatest value."""
        assert self.low is not None  # noqa: S101 (asked of ranges only)
        assert self.high is not None  # noqa: S101
        return int((self.high - self.low) / self.step)

    @property
    def places(self) -> int:
        """Number of decimal places in which every value of the range can be written."""
        values = (self.low or Fraction(0), self.step)
        return next(n for n in range(10) if all((v * 10**n).denominator == 1 for v in values))

    def complaints(self) -> Iterator[Complaint]:
        """Yield what is wrong with range and choices taken together."""
        if self.choices:
            if self.low is not None or self.high is not None:
                yield _range_problem(("low",), "a parameter has a range or choices, not both")
            if len(set(self.choices)) < 2:  # noqa: PLR2004 (one word is no choice)
                yield _range_problem(("choices",), "a choice needs two different words or more")
            return
        if self.low is None or self.high is None:
            yield _range_problem((), "a parameter needs a range or choices")
            return
        yield from self._range_complaints()

    def _range_complaints(self) -> Iterator[Complaint]:
        assert self.low is not None  # noqa: S101 (looked at before)
        assert self.high is not None  # noqa: S101
        if self.step <= 0:
            yield _range_problem(("step",), "a step must be greater than zero")
        elif self.high <= self.low:
            yield _range_problem(("high",), "the range ends before it begins")
        elif (self.high - self.low) % self.step:
            yield _range_problem(
                ("step",), "the steps do not lead from the first value to the last"
            )
        elif self.n_steps > MAX_STEPS:
            yield _range_problem(("step",), f"the range has more than {MAX_STEPS} steps")
        elif not all((10**9 * each).denominator == 1 for each in (self.low, self.step)):
            yield _range_problem(("step",), "a value of the range cannot be written as a decimal")


def _range_problem(path: tuple[str, ...], message: str) -> Complaint:
    expected = "{from: 50, to: 95, step: 0.5, unit: kg} or {choices: [female, male]}"
    return Complaint("X105", path, message, expected=expected)


@dataclass(frozen=True, slots=True, kw_only=True)
class Value:
    """A value worked out of parameters and of values said before it."""

    formula: Text = declared("What it comes to.", example="weight / (height / 100) ^ 2")
    unit: Text | None = declared("Unit, shown beside the number.", default=None, example="kg/m²")
    places: int = declared("Decimal places in which it is shown.", default=0, at_least=0, at_most=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """What must hold of a draw, or the draw is refused."""

    holds: Text = declared("A comparison.", example="bmi >= 18.5")
    because: Text = declared("Why, in words.", example="the weight fits the height")


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """The answer."""

    formula: Text = declared("The right answer.", example="mifflin_simple(sex = sex, …)")
    unit: Text | None = declared("Unit of the answer.", default=None, example="kcal/d")
    places: int = declared("Decimal places of the answer.", default=0, at_least=0, at_most=6)
    tolerance: Fraction | None = declared(
        "How near a number still counts as the answer; left out, one unit of the last place or half"
        " a per cent of the answer, whichever is more.",
        default=None,
        example="10",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongTurn:
    """An answer that a typical error leads to."""

    formula: Text = declared("What the error comes to.", example="weight * 1.059")
    family: Family = declared("The family of the error.")
    error: Text = declared("The error in words.", example="multiplied in place of dividing")
    when: Text | None = declared("Where it can happen.", default=None, example="sex = 'male'")


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemModel:
    """Items that differ in their numbers, from one description. For education and exam practice."""

    model: Identifier = declared("Name of the model.", example="energy-at-rest")
    version: int = declared("Raised whenever an item of the same seed changes.", at_least=1)
    title: Text = declared("What it asks, in a few words.")
    group: Group = declared("Letter of the group of calculations, A to O.")
    domain: Identifier = declared("Domain of the blueprint.", example="assessment")
    level: Level = declared("What the item asks of the mind.")
    life_stage: LifeStage = declared("Whom the item is about.")
    source: Text = declared("Where it can be studied, with year.")
    author: Text = declared("Who wrote it.", default="the Comity maintainers")
    parameters: Mapping[str, Parameter] = declared("What is drawn, by name.")
    values: Mapping[str, Value] = declared("What is worked out, by name, in order.", default={})
    limits: tuple[Condition, ...] = declared("Joint limits of the parameters.", default=())
    guards: tuple[Condition, ...] = declared(
        "What keeps impossible bodies and dangerous answers away.", default=()
    )
    stem: Text = declared("The question, with {name} for a value and its unit.")
    use: tuple[Text, ...] = declared(
        "Constants and rules to go by; equations called, and the rounding, add themselves.",
        default=(),
    )
    key: Key = declared("The answer.")
    solution: tuple[Text, ...] = declared("Steps to the answer, with values put in.", at_least=2)
    distractors: tuple[WrongTurn, ...] = declared("Wrong answers.", at_least=3, at_most=8)
    answers: tuple[Text, ...] = declared("All answers in words, in their order.", default=())
    high_risk: bool = declared(
        "Whether the subject needs the extra line of caution.", default=False
    )
    predictive: bool = declared("Whether an equation predicts for a person.", default=False)
    cautions: tuple[Text, ...] = declared("Further lines of caution.", default=())
