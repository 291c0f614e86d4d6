"""The lines of caution beside an item; their wording is our own, after what educators ask for."""

from __future__ import annotations

from dataclasses import replace

from comity.core.exam.cautions import UNNAMED_SOURCE, cautions_beside
from comity.core.exam.item_models.cautions import EDUCATION, HIGH_RISK, INDEPENDENT
from comity.core.exam.items import BestAnswer, Level

ITEM = BestAnswer(
    id="best",
    domain="assessment",
    level=Level.RECALL,
    stem="Which?",
    source="a guideline, 2020",
    options={"a": "red", "b": "green"},
    answer="b",
)


def test_every_item_says_what_it_is_not_for_and_what_it_follows() -> None:
    first, follows, independent = cautions_beside(ITEM, names_source=True)
    assert (first, independent) == (EDUCATION, INDEPENDENT)
    assert follows.endswith("this item follows a guideline, 2020.")


def test_the_source_is_not_named_where_it_could_give_the_answer_away() -> None:
    lines = cautions_beside(ITEM, names_source=False)
    assert "a guideline" not in " ".join(lines)
    assert UNNAMED_SOURCE in lines[1]


def test_an_item_of_high_risk_says_so() -> None:
    lines = cautions_beside(replace(ITEM, high_risk=True), names_source=True)
    assert lines[-1] == HIGH_RISK


def test_what_a_model_asks_to_be_said_holds_instead() -> None:
    drawn = {"best": ("The model's own.",)}
    assert cautions_beside(ITEM, drawn, names_source=False) == ("The model's own.",)
