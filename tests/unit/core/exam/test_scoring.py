"""Answers to items of every kind.

That every part has to be told right for the point is the item file's own rule (docs/reference/
item-file.md); an item is right or wrong so that Kuder and Richardson's formulas hold of it.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from comity.core.exam.items import BestAnswer, Item, Level, Matching, NumberAnswer, SeveralAnswers
from comity.core.exam.scoring import Answer, AnswerError, Score, answer_to, number_in, score

BEST = BestAnswer(
    id="best",
    domain="assessment",
    level=Level.RECALL,
    stem="Which?",
    source="a source",
    options={"a": "red", "b": "green", "c": "blue"},
    answer="b",
    errors={"a": "takes red for green"},
)
SEVERAL = SeveralAnswers(
    id="several",
    domain="assessment",
    level=Level.RECALL,
    stem="Which?",
    source="a source",
    options={"a": "one", "b": "two", "c": "three"},
    answers=("a", "c"),
    errors={"b": "counts two in"},
)
NUMBER = NumberAnswer(
    id="number",
    domain="assessment",
    level=Level.APPLY,
    stem="How many?",
    source="a source",
    number=Fraction(1450),
    within=Fraction(10),
    unit="kcal/d",
    errors={"1600": "adds the activity twice"},
)
MATCHING = Matching(
    id="matching",
    domain="assessment",
    level=Level.APPLY,
    stem="Match.",
    source="a source",
    lines={"one": "line one", "two": "line two"},
    options={"x": "ex", "y": "why"},
    matches={"one": "y", "two": "x"},
)


@pytest.mark.parametrize(
    ("chosen", "expected"),
    [
        (("b",), Score(True, 1, 1)),  # noqa: FBT003 - a score as it reads
        (("a",), Score(False, 0, 1, "takes red for green")),  # noqa: FBT003
        (("c",), Score(False, 0, 1)),  # noqa: FBT003
        ((), Score(False, 0, 1)),  # noqa: FBT003
    ],
)
def test_one_best_answer_is_right_or_wrong(chosen: tuple[str, ...], expected: Score) -> None:
    assert score(BEST, answer_to(BEST, chosen=chosen)) == expected


@pytest.mark.parametrize(
    ("chosen", "is_right", "n_parts"),
    [
        (("c", "a", "a"), True, 3),
        (("a",), False, 2),
        (("a", "b", "c"), False, 2),
        (("b",), False, 0),
        ((), False, 0),
    ],
)
def test_several_answers_earn_the_point_only_when_all_are_told(
    chosen: tuple[str, ...], *, is_right: bool, n_parts: int
) -> None:
    found = score(SEVERAL, answer_to(SEVERAL, chosen=chosen))
    assert (found.is_right, found.n_parts_right, found.n_parts) == (is_right, n_parts, 3)
    assert found.error == ("counts two in" if "b" in chosen else "")


@pytest.mark.parametrize(
    ("typed", "is_right"),
    [
        ("1450", True),
        ("1 460", True),
        ("1440,0", True),
        ("1439.9", False),
        ("1460.1", False),
        ("\u22121450", False),
        ("+1450", True),
        ("", False),
    ],
)
def test_a_number_is_right_within_its_tolerance_the_ends_included(
    typed: str, *, is_right: bool
) -> None:
    assert score(NUMBER, answer_to(NUMBER, number=typed)).is_right is is_right


def test_a_likely_wrong_number_names_its_error() -> None:
    found = score(NUMBER, answer_to(NUMBER, number="1600,00"))
    assert found.error == "adds the activity twice"
    assert score(NUMBER, answer_to(NUMBER, number="1601")).error == ""


def test_lines_are_matched_and_all_of_them_count() -> None:
    whole = answer_to(MATCHING, matched={"two": "x", "one": "y"})
    assert whole.matched == (("one", "y"), ("two", "x"))
    assert score(MATCHING, whole) == Score(True, 2, 2)  # noqa: FBT003 - as above
    half = answer_to(MATCHING, matched={"one": "y", "two": ""})
    assert score(MATCHING, half) == Score(False, 1, 2)  # noqa: FBT003


@pytest.mark.parametrize("typed", ["1,450.5", "1.450.000", "ten", "12 kcal", "--1", "1" * 5000])
def test_what_is_no_number_is_not_guessed_at(typed: str) -> None:
    assert number_in(typed) is None
    with pytest.raises(AnswerError, match="write one number in digits"):
        answer_to(NUMBER, number=typed)


@pytest.mark.parametrize(
    ("item", "given", "said"),
    [
        (BEST, {"chosen": ("q",)}, "there is no option 'q'; expected a, b, c"),
        (BEST, {"chosen": ("a", "b")}, "choose one option; two were sent"),
        (SEVERAL, {"chosen": ("a", "q")}, "there is no option 'q'"),
        (MATCHING, {"matched": {"three": "x"}}, "no line 'three'"),
        (MATCHING, {"matched": {"one": "q"}}, "an option 'q' to match"),
    ],
)
def test_what_belongs_to_no_item_is_refused(
    item: Item, given: dict[str, object], said: str
) -> None:
    with pytest.raises(AnswerError, match=said):
        answer_to(item, **given)  # type: ignore[arg-type]


def test_what_is_not_of_the_kind_is_left_aside() -> None:
    assert answer_to(BEST, chosen=("a",), number="5", matched={"x": "y"}) == Answer(("a",))
    assert answer_to(MATCHING, chosen=("a",)).is_blank
    assert not answer_to(NUMBER, number="0").is_blank


def test_an_item_of_an_unknown_kind_is_a_mistake_of_ours() -> None:
    bare = Item(id="x", domain="y", level=Level.RECALL, stem="?", source="z")
    for act in (lambda: answer_to(bare), lambda: score(bare, Answer())):
        with pytest.raises(TypeError, match="answers to Item are not known"):
            act()
