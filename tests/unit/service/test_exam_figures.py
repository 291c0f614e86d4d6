"""Figures of classes, from twelve people to none, and the items that are bad on purpose.

The figures themselves are held against published data in ``tests/published``; here stand what is
told of whom, and the rules for what cannot be known.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from comity.core.exam.items import Bank
from comity.core.exam.responses import responses_from_table
from comity.demo.exam_class import (
    BACKWARDS,
    BAD,
    MISKEYED,
    TOO_EASY,
    UNKNOWABLE,
    class_answers,
    demo_items,
    examination_files,
)
from comity.files.responses import read_responses
from comity.service.exam_charts import information_chart, options_chart
from comity.service.exam_figures import ClassFigures, figures_data, figures_of_class
from comity.service.exam_responses import mark


@cache
def of_demo() -> ClassFigures:
    text = examination_files()["examination/responses.csv"]
    marked = mark(read_responses(text.encode("utf-8"), "a.csv"), Bank(bank="b", items=demo_items()))
    assert marked.is_sound
    table = marked.responses()
    return figures_of_class(table, marked.asked(table), marked.items)


def suspicions(found: ClassFigures) -> dict[str, set[str]]:
    named: dict[str, set[str]] = {}
    for each in found.look_at:
        named.setdefault(each.item, set()).add(each.suspicion)
    return named


def test_the_figures_name_each_item_that_is_bad_on_purpose_and_no_other() -> None:
    found = suspicions(of_demo())
    assert set(found) == set(BAD)
    assert "key" in found[MISKEYED]
    assert "backwards" in found[BACKWARDS]
    assert "harder than guessing" in found[UNKNOWABLE]
    assert found[TOO_EASY] == {"no spread"}


@pytest.mark.parametrize("seed", range(1, 6))
def test_other_classes_show_the_same_bad_items_first(seed: int) -> None:
    bank = Bank(bank="b", items=demo_items())
    given = class_answers(demo_items(), seed=seed)
    marked = mark(replace(read_responses(b"person,q\np,1\n", "a"), given=given,
                          items=tuple(item.id for item in bank.items)), bank)  # fmt: skip
    table = marked.responses()
    found = suspicions(figures_of_class(table, marked.asked(table)))
    assert "key" in found[MISKEYED]
    assert {BACKWARDS, TOO_EASY, UNKNOWABLE} <= set(found)


def test_the_same_seed_gives_the_same_class() -> None:
    assert class_answers(demo_items()) == class_answers(demo_items())


def test_a_class_of_forty_is_told_what_it_cannot_know_about_a_common_scale() -> None:
    found = of_demo()
    assert all(line.scale is None for line in found.items)
    assert found.parameters is None
    assert any("each needs 100 answers" in each for each in found.not_known)
    assert information_chart(found) == ""


def test_a_class_of_twelve_gets_plain_shares_and_a_caution() -> None:
    table = np.random.default_rng(3).integers(0, 2, (12, 8))
    found = figures_of_class(responses_from_table(table), {})
    assert [line.figures.difficulty.value for line in found.items] == table.mean(axis=0).tolist()
    assert any("12 of at least 30" in each for each in found.not_known)


def test_items_with_enough_answers_get_their_place_and_people_their_ability() -> None:
    rng = np.random.default_rng(5)
    theta = rng.normal(size=150)
    b = np.array([-1.0, -0.3, 0.2, 0.9])
    table = (rng.random((150, 4)) < 1 / (1 + np.exp(b - theta[:, None]))).astype(float)
    found = figures_of_class(responses_from_table(table), {})
    scales = [line.scale for line in found.items]
    places = [scale.difficulty for scale in scales if scale is not None]
    assert places == sorted(places)
    assert len(places) == 4
    assert all(scale is not None and scale.discrimination is None for scale in scales)
    assert found.people[0].ability is not None
    assert "<svg" in information_chart(found)


def degenerate() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(7)
    return {
        "five people and a hundred items": rng.integers(0, 2, (5, 100)).astype(float),
        "all right": np.ones((12, 6)),
        "all wrong": np.zeros((12, 6)),
        "one person": np.array([[1.0, 0.0, 1.0]]),
        "one item": np.array([[1.0], [0.0], [1.0]]),
        "an item that nobody saw": np.array([[1.0, np.nan], [0.0, np.nan]]),
        "one all right and one all wrong": np.array([[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]]),
    }


@pytest.mark.parametrize("name", degenerate())
def test_what_cannot_be_had_is_null_with_a_reason_and_never_no_number(name: str) -> None:
    found = figures_of_class(responses_from_table(degenerate()[name]), {})
    text = json.dumps(figures_data(found), allow_nan=False)
    data = json.loads(text)
    for item in data["items"]:
        for figure in ("right", "item_rest", "item_total", "biserial", "kr20_without"):
            assert item[figure]["value"] is not None or item[figure]["reason"]
    for figure in ("kr20", "standard_error", "mean"):
        assert data["scores"][figure]["value"] is not None or data["scores"][figure]["reason"]
    assert data["not_known"]


def test_the_drawing_of_options_shows_the_doubtful_items_and_names_their_keys() -> None:
    drawing = options_chart(of_demo())
    assert "<svg" in drawing
    assert MISKEYED in drawing
    assert "b (key)" in drawing
    assert "grams-in-kilograms" not in drawing
