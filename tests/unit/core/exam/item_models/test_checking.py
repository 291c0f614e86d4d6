from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from comity.core.exam.item_models import make_ready
from comity.core.exam.item_models.model import Key, Parameter, Value
from tests.unit.core.exam.item_models.samples import MODEL


@pytest.mark.parametrize(
    ("parameter", "message"),
    [
        (Parameter(), "a parameter needs a range or choices"),
        (Parameter(low=Fraction(1)), "a parameter needs a range or choices"),
        (
            Parameter(low=Fraction(1), high=Fraction(2), choices=("a", "b")),
            "a parameter has a range or choices, not both",
        ),
        (Parameter(choices=("a", "a")), "a choice needs two different words or more"),
        (
            Parameter(low=Fraction(1), high=Fraction(2), step=Fraction(0)),
            "a step must be greater than zero",
        ),
        (Parameter(low=Fraction(2), high=Fraction(1)), "the range ends before it begins"),
        (
            Parameter(low=Fraction(1), high=Fraction(2), step=Fraction(3, 10)),
            "the steps do not lead from the first value to the last",
        ),
        (
            Parameter(low=Fraction(0), high=Fraction(20000)),
            "the range has more than 10000 steps",
        ),
        (
            Parameter(low=Fraction(0), high=Fraction(1), step=Fraction(1, 3)),
            "a value of the range cannot be written as a decimal",
        ),
    ],
)
def test_a_range_that_cannot_be_drawn_from_is_found(parameter: Parameter, message: str) -> None:
    assert [complaint.message for complaint in parameter.complaints()] == [message]


def test_sound_ranges_and_choices_are_left_alone() -> None:
    sound = (
        Parameter(choices=("a", "b")),
        Parameter(low=Fraction(0), high=Fraction(3, 2), step=Fraction(1, 2)),
    )
    assert [list(parameter.complaints()) for parameter in sound] == [[], []]
    assert sound[1].places == 1


@pytest.mark.parametrize("name", ["Weight", "if", "key", "2nd"])
def test_a_name_that_formulas_cannot_use_is_found(name: str) -> None:
    parameters = {**MODEL.parameters, name: Parameter(choices=("a", "b"))}
    _, flaws = make_ready(replace(MODEL, parameters=parameters))
    assert [(flaw.code, flaw.path) for flaw in flaws] == [("X106", ("parameters", name))]


def test_a_value_may_not_take_the_name_of_a_parameter() -> None:
    values = {**MODEL.values, "share": Value(formula="energy")}
    _, flaws = make_ready(replace(MODEL, values=values))
    assert [(flaw.code, flaw.message) for flaw in flaws] == [("X106", "share stands twice")]


def test_a_value_knows_only_what_was_said_before() -> None:
    values = {"first": Value(formula="part"), **MODEL.values}
    _, flaws = make_ready(replace(MODEL, values=values))
    assert [(flaw.code, flaw.path, flaw.span) for flaw in flaws] == [
        ("X102", ("values", "first", "formula"), (0, 4))
    ]


def test_the_key_is_known_to_wrong_turns_alone() -> None:
    turns = (replace(MODEL.distractors[0], formula="key * 2"), *MODEL.distractors[1:])
    assert make_ready(replace(MODEL, distractors=turns))[1] == ()
    _, flaws = make_ready(replace(MODEL, key=Key(formula="key * 2")))
    assert [flaw.code for flaw in flaws] == ["X102"]


def test_every_flaw_is_told_in_one_run() -> None:
    turns = (replace(MODEL.distractors[0], formula="1 +", when="2 +"), *MODEL.distractors[1:])
    model = replace(
        MODEL,
        key=Key(formula="nothing(1)"),
        stem="A {",
        solution=("{part} {key}", "{parts.number}"),
        distractors=turns,
    )
    _, flaws = make_ready(model)
    assert [flaw.code for flaw in flaws] == ["X103", "X101", "X101", "X107", "X107"]
    assert flaws[-1].hint == "did you mean part?"
