from __future__ import annotations

import pytest

from comity.core.exam.item_models.evaluating import (
    EvaluationError,
    Result,
    clean,
    evaluate,
    number_of,
    rounded,
    shown,
)
from comity.core.exam.item_models.formula import MAX_DEPTH, MAX_LENGTH, FormulaError, parse_formula

VALUES: dict[str, Result] = {"weight": 72.0, "height": 168.0, "sex": "male", "zero": 0.0}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1 + 2 * 3", 7),
        ("(1 + 2) * 3", 9),
        ("10 - 4 - 3", 3),
        ("2 ^ 3 / 4", 2),
        ("-2 ^ 2", -4),
        ("2 ^ -1", 0.5),
        ("--2", 2),
        ("weight / (height / 100) ^ 2", 25.5102),
        ("min(3, 1, 2) + max(1, 5)", 6),
        ("round(2.675, 2)", 2.68),
        ("round(-0.5)", -1),
        ("round_down(2.9) + round_up(2.1)", 5),
        ("sqrt(16) + abs(-1) + ln(exp(2)) + log10(1000)", 10),
        ("if(sex = 'male', 5, -161)", 5),
        ("if(sex = 'female', 5, -161)", -161),
        ("bmi(weight_kg = weight, height_cm = height)", 25.5102),
        ("if(weight >= 72 and not height < 168 or zero = 1, 1, 0)", 1),
        ("if(weight > 72 or weight < 72 or weight != 72, 1, 0)", 0),
        ("if(0.1 + 0.2 = 0.3 and weight <= 72, 1, 0)", 1),
    ],
)
def test_a_formula_comes_to_what_arithmetic_says(text: str, expected: float) -> None:
    assert evaluate(parse_formula(text), VALUES) == pytest.approx(expected, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "message", "place", "expected"),
    [
        ("1 +", "the formula ends too early", (3, 4), "a number, a name or a bracket"),
        ("1 2", "'2' stands astray", (2, 3), "the end, or a sign between"),
        ("(1", "the formula ends too early", (2, 3), "')'"),
        ("min(1 2)", "'2' stands astray", (6, 7), "','"),
        ("a; b", "';' has no meaning in a formula", (1, 2), None),
        ("__import__('os').system", "'.' has no meaning in a formula", (16, 17), None),
        ("and 1", "'and' stands astray", (0, 3), "a number, a name or a bracket"),
        ("1 < 2 < 3", "'<' stands astray", (6, 7), "the end, or a sign between"),
    ],
)
def test_a_text_that_is_no_formula_is_refused_at_its_place(
    text: str, message: str, place: tuple[int, int], expected: str | None
) -> None:
    with pytest.raises(FormulaError) as caught:
        parse_formula(text)
    error = caught.value
    assert (error.message, (error.start, error.end)) == (message, place)
    assert expected is None or error.expected == expected


def test_very_long_and_very_deep_formulas_are_refused() -> None:
    with pytest.raises(FormulaError, match=f"more than {MAX_LENGTH}"):
        parse_formula("1" + "+1" * MAX_LENGTH)
    with pytest.raises(FormulaError, match=f"more than {MAX_DEPTH} deep"):
        parse_formula("(" * (MAX_DEPTH + 1) + "1" + ")" * (MAX_DEPTH + 1))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("1 / zero", "1 / 0 has no answer"),
        ("10 ^ 400", "10 ^ 400 has no answer"),
        ("-2 ^ 0.5 + (0 - 2) ^ 0.5", "-2 ^ 0.5 has no answer"),
        ("10 ^ 20", "a number grows beyond measure"),
        ("sqrt(zero - 1)", "sqrt has no answer for -1"),
        ("ln(zero)", "ln has no answer for 0"),
        ("exp(1000)", "exp has no answer for 1000"),
        ("round(1, 20)", "round has no answer for 1, 20"),
        ("sex + 1", "'male' stands where a number must"),
        ("if(weight, 1, 2)", "72.0 stands where a comparison must"),
        ("not sex", "'male' stands where a comparison must"),
        ("sex < 3", "'male' stands where a number must"),
    ],
)
def test_a_formula_without_an_answer_says_why(text: str, message: str) -> None:
    with pytest.raises(EvaluationError) as caught:
        number_of(parse_formula(text), VALUES)
    assert str(caught.value) == message


def test_numbers_are_shown_rounded_half_up_without_noise() -> None:
    assert rounded(1.005, 2) == 1.01
    assert clean(0.1 + 0.2) == 0.3
    assert [shown(-0.04, 1), shown(-1.25, 1), shown(0.285, 2)] == ["0.0", "−1.3", "0.29"]
