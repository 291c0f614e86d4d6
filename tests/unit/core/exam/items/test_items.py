"""Items, their keys and their cases: what is refused, and what is said of those that are sound."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from comity.core.declaring.fields import complaints_of
from comity.core.exam.items import (
    Bank,
    BestAnswer,
    Case,
    Level,
    Matching,
    NumberAnswer,
    Option,
    SeveralAnswers,
    case_sets,
    normalised,
)
from comity.core.exam.reviews import Review, ReviewState
from tests.unit.core.rulebook.samples import day

BEST = BestAnswer(
    id="iron-stores",
    domain="assessment",
    level=Level.RECALL,
    stem="Which measure shows iron stores?",
    source="WHO ferritin guideline, 2020",
    options={"a": "Ferritin", "b": "Transferrin", "c": "Serum iron"},
    answer="a",
    errors={"b": "takes the carrier for the store"},
)
NUMBER = NumberAnswer(
    id="bmi",
    domain="assessment",
    level=Level.APPLY,
    stem="What is the BMI of someone of 80 kg and 2.00 m?",
    source="definition",
    number=Fraction(20),
    within=Fraction(1, 2),
    errors={"40": "divides by the height once"},
)


def codes(value: object) -> list[tuple[str, tuple[str | int, ...]]]:
    return [(complaint.code, complaint.path) for complaint in complaints_of(value)]


def test_options_carry_their_id_and_the_error_they_stand_for() -> None:
    assert BEST.choices[1] == Option("b", "Transferrin", "takes the carrier for the store")
    assert BEST.keys == {"a"}
    assert codes(BEST) == []


def test_a_key_must_be_an_option() -> None:
    assert codes(replace(BEST, answer="d")) == [("X202", ("answer",))]


def test_each_of_several_keys_must_be_an_option() -> None:
    item = SeveralAnswers(
        id="x", domain="d", level=Level.JUDGE, stem="s", source="s",
        options={"a": "one", "b": "two"}, answers=("a", "z"),
    )  # fmt: skip
    assert item.keys == {"a", "z"}
    assert [option.id for option in item.choices] == ["a", "b"]
    assert codes(item) == [("X202", ("answers", 1))]


@pytest.mark.parametrize("twin", ["ferritin", "FERRITIN.", " Ferritin ", "\uff26erritin"])
def test_options_that_read_the_same_are_refused(twin: str) -> None:
    options = {"a": "Ferritin", "b": "Transferrin", "c": twin}
    assert codes(replace(BEST, options=options)) == [("X203", ("options", "c"))]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("< 5", "> 5"),
        ("+2", "-2"),
        ("1.5", "15"),
        ("5 %", "5"),
        ("1,2", "12"),
        ("\u22122", "2"),
        ("≤ 5", "≥ 5"),
    ],
)
def test_signs_that_change_what_is_meant_keep_options_apart(one: str, other: str) -> None:
    assert normalised(one) != normalised(other)


@pytest.mark.parametrize("id_", ["a", "z"])
def test_an_error_belongs_to_a_wrong_option(id_: str) -> None:
    assert codes(replace(BEST, errors={id_: "?"})) == [("X206", ("errors", id_))]


@pytest.mark.parametrize(
    ("written", "is_right"), [("19.5", True), ("20.5", True), ("20.51", False)]
)
def test_a_number_within_its_tolerance_is_right(written: str, is_right: bool) -> None:  # noqa: FBT001
    assert NUMBER.is_right(Fraction(written)) is is_right
    assert NUMBER.choices == ()
    assert NUMBER.keys == frozenset()


@pytest.mark.parametrize("wrong", ["20.5", "about 40"])
def test_a_wrong_number_must_count_as_wrong(wrong: str) -> None:
    assert codes(replace(NUMBER, errors={wrong: "?"})) == [("X211", ("errors", wrong))]


def test_every_line_to_match_needs_its_match() -> None:
    item = Matching(
        id="x", domain="d", level=Level.RECALL, stem="s", source="s",
        lines={"iron": "Iron", "zinc": "Zinc"}, options={"x": "pale", "y": "poor taste"},
        matches={"iron": "z", "salt": "x"},
    )  # fmt: skip
    assert [option.id for option in item.choices] == ["x", "y"]
    assert codes(item) == [
        ("X202", ("matches", "iron")),
        ("X210", ("matches", "salt")),
        ("X210", ("lines", "zinc")),
    ]


def test_the_last_reading_says_how_far_an_item_has_come() -> None:
    first = Review(on=day("2026-03-02"), by="second-reader", state=ReviewState.READ_AGAIN)
    last = Review(on=day("2026-05-02"), by="practitioner", state=ReviewState.APPROVED)
    assert BEST.state is ReviewState.DRAFT
    assert replace(BEST, reviews=(first, last)).state is ReviewState.APPROVED
    assert codes(replace(BEST, reviews=(last, first))) == [("X209", ("reviews", 1, "on"))]


def test_nobody_reads_their_own_item_again() -> None:
    own = Review(on=day("2026-03-02"), by="writer", state=ReviewState.READ_AGAIN)
    item = replace(BEST, reviews=(own,))
    assert codes(replace(item, author="writer")) == [("X209", ("reviews", 0, "by"))]
    bank = Bank(bank="x", author="writer", items=(item,))
    assert codes(bank) == [("X209", ("items", 0, "reviews", 0, "by"))]


def test_a_case_set_is_the_items_that_name_a_case() -> None:
    case = Case(id="ward", vignette="An invented ward.")
    bank = Bank(bank="x", cases=(case,), items=(replace(BEST, case="ward"), NUMBER))
    assert [item.id for item in case_sets(bank)["ward"]] == ["iron-stores"]
    assert codes(bank) == []
    assert codes(replace(bank, cases=())) == [("X205", ("items", 0, "case"))]


def test_an_id_is_given_once() -> None:
    assert codes(Bank(bank="x", items=(BEST, BEST))) == [("X204", ("items", 1, "id"))]
