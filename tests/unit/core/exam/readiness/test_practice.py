from __future__ import annotations

from fractions import Fraction
from math import log

import pytest

from comity.core.exam.items import BestAnswer, Level
from comity.core.exam.practice import (
    DatedAnswer,
    PracticeItem,
    practice_from_log,
    practice_items,
)
from comity.core.exam.responses import ResponsesError

ITEMS = (PracticeItem("iron", "minerals"), PracticeItem("zinc", "minerals", 0.8))


def test_a_log_is_sorted_by_day_and_keeps_the_order_of_a_day() -> None:
    answers = [
        DatedAnswer("bo", "iron", 12, 1),
        DatedAnswer("ana", "zinc", 10, 0),
        DatedAnswer("ana", "iron", 10, 1),
    ]
    practice = practice_from_log(answers, ITEMS, today=12)
    assert practice.people == ("ana", "bo")
    assert practice.item.tolist() == [1, 0, 0]
    assert practice.on.tolist() == [10, 10, 12]
    assert practice.answers_of("ana").tolist() == [True, True, False]
    assert not practice.answers_of("nobody").any()


def test_everything_wrong_with_a_log_is_told_at_once() -> None:
    items = (*ITEMS, PracticeItem("iron", "minerals"), PracticeItem("salt", "minerals", 1.2))
    answers = [
        DatedAnswer("ana", "gold", 10, 1),
        DatedAnswer("ana", "iron", 10, 0.5),
        DatedAnswer("bo", "iron", 10, float("nan")),
        DatedAnswer("bo", "zinc", 46_000, 1),
    ]
    with pytest.raises(ResponsesError) as caught:
        practice_from_log(answers, items, today=12)
    assert caught.value.faults == (
        "items that stand more than once: 'iron'",
        "a judged share must be from 0 to 1: 'salt' is judged 1.2",
        "answers to unknown items: 'gold'",
        "scores must be 0 or 1: 'ana' has 0.5 on 'iron', and 1 more",
        "answers must not lie after 1900-01-13: 'bo' answered 'zinc' on 2025-12-11",
    )


def test_many_unknown_items_are_counted_and_not_all_named() -> None:
    answers = [DatedAnswer("ana", f"x{number}", 1, 1) for number in range(8)]
    with pytest.raises(ResponsesError, match="'x0', 'x1', 'x2', 'x3', 'x4' and 3 more"):
        practice_from_log(answers, ITEMS, today=12)


def test_a_judged_share_is_a_difficulty_and_never_an_infinite_one() -> None:
    assert ITEMS[0].judged_difficulty is None
    assert ITEMS[1].judged_difficulty == pytest.approx(-log(4))
    assert PracticeItem("sure", "d", 1).judged_difficulty == pytest.approx(-log(49))


def test_items_of_a_bank_bring_their_domain_and_judged_share() -> None:
    item = BestAnswer(
        id="iron",
        domain="minerals",
        level=Level.RECALL,
        stem="Which?",
        source="a handbook, 2020",
        judged=Fraction(3, 5),
        options={"a": "this", "b": "that"},
        answer="a",
    )
    assert practice_items([item]) == (PracticeItem("iron", "minerals", 0.6),)
