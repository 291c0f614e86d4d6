"""The boundaries of the checks of item writing; each message stands in ``assets/bad``.

After Haladyna, Downing and Rodriguez (2002), Applied Measurement in Education 15, 309-333.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from comity.core.exam.items import BestAnswer, Level, NumberAnswer, SeveralAnswers
from comity.core.exam.writing import flaws_of
from comity.core.exam.writing_text import content, interval, quantity, sentences
from tests.unit.core.rulebook.samples import day

PLAIN = BestAnswer(
    id="plain", domain="d", level=Level.RECALL, source="s",
    stem="Which organ stores most of the vitamin A of the body?",
    options={"a": "Kidney", "b": "Liver", "c": "Spleen"}, answer="b",
)  # fmt: skip


def codes(item: BestAnswer | NumberAnswer | SeveralAnswers) -> list[str]:
    return [flaw.code for flaw in flaws_of(item)]


def asked(stem: str, *options: str, key: str = "a") -> list[str]:
    texts = dict(zip("abcdefgh", options, strict=False)) or PLAIN.options
    return codes(replace(PLAIN, stem=stem, options=texts, answer=key))


def test_a_plain_item_has_no_flaw() -> None:
    assert codes(PLAIN) == []


@pytest.mark.parametrize(
    "stem",
    [
        "Which vitamin is NOT soluble in fat?",
        "Which food suits a man who cannot swallow well?",
        "He has not eaten for two days. Which salt falls in his blood?",
        "Which feed gives at least 60 g of protein?",
    ],
)
def test_only_a_small_negative_of_the_question_itself_is_told(stem: str) -> None:
    assert "X309" not in asked(stem)


@pytest.mark.parametrize(
    "stem",
    [
        "Calculate the energy of this feed in one day.",
        "The organ that stores most of the vitamin A is the",
        "Vitamin A is stored mostly in the ____ of adults",
        "For this invented ward, choose the safest of the three diets.",
    ],
)
def test_a_gap_an_order_and_an_open_end_say_what_to_do(stem: str) -> None:
    assert "X307" not in asked(stem)


def test_a_long_stem_is_fine_as_part_of_a_case() -> None:
    long = "The patient of this ward eats bread. " * 13 + "Which vitamin is low?"
    assert "X306" in asked(long)
    assert "X306" not in codes(replace(PLAIN, stem=long, case="ward"))


def test_what_is_current_may_be_said_where_a_day_to_read_it_again_is_set() -> None:
    item = replace(PLAIN, stem="Which organ does the latest guideline call a store?")
    assert codes(item) == ["X325"]
    assert codes(replace(item, review_by=day("2027-12-31"))) == []


@pytest.mark.parametrize(
    "options",
    [
        ("4 kcal", "7 kcal", "9 kcal"),
        ("9 kcal", "7 kcal", "4 kcal"),
        ("24-hour recall", "Diary", "History"),
    ],
)
def test_numbers_may_rise_or_fall_and_names_may_hold_numbers(options: tuple[str, ...]) -> None:
    assert asked("Which of these does the ward use at present?", *options) == []


@pytest.mark.parametrize(
    ("options", "is_told"),
    [(("10–19 g", "20–30 g", "31–40 g"), False), (("10–20 g", "20–30 g", "31–40 g"), True)],
)
def test_ranges_overlap_where_they_share_a_value(
    options: tuple[str, ...],
    is_told: bool,  # noqa: FBT001
) -> None:
    assert ("X313" in asked("How much is given a day to adults?", *options)) is is_told


def test_an_absolute_word_in_the_key_as_well_tells_nothing() -> None:
    options = ("Always with food", "Always with milk", "At night")
    assert "X320" not in asked("When is iron taken by adults?", *options)


def test_two_pairs_tell_no_more_than_none() -> None:
    options = (
        "Serum sodium rises",
        "Serum sodium falls",
        "Serum calcium rises",
        "Serum calcium falls",
    )
    assert "X324" not in asked("What happens in the blood after vomiting?", *options)


def test_several_right_options_may_be_many() -> None:
    options = dict(zip("abcdef", ("Zinc", "Gold", "Iron", "Lead", "Neon", "Iodine"), strict=True))
    item = SeveralAnswers(
        id="x", domain="d", level=Level.RECALL, source="s",
        stem="Which of these does an adult have to eat?", options=options, answers=("a", "c"),
    )  # fmt: skip
    assert codes(item) == []


def test_a_number_to_write_is_read_for_its_stem_alone() -> None:
    item = NumberAnswer(
        id="x", domain="d", level=Level.APPLY, source="s", number=Fraction(20),
        stem="What is is the body mass index of this adult?",
    )  # fmt: skip
    assert codes(item) == ["X305"]


def test_numbers_units_and_ranges_are_read_as_people_write_them() -> None:
    assert quantity("1,500 kcal/d") == (1500.0, "kcal/d")
    assert quantity("about 2.5 g") == (2.5, "g")
    assert quantity("25-hydroxyvitamin D") is None
    assert interval("10 to 15 g") == (10.0, 15.0)
    assert interval("2020") is None
    assert sentences("One. Two? Three!") == ["One.", "Two?", "Three!"]
    assert content("absorbed in the gut") == content("absorbing")
