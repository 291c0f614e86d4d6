"""A strip put into a compiled one is the strip compiled: vl-convert is what it is held against."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
import vl_convert

from comity.charts.span import sensible_span
from comity.charts.strip import strip_spec
from comity.charts.strip_layout import BAR_HEIGHT
from comity.charts.strip_narrow import NARROW_WIDTH, narrow_strip_spec
from comity.service.casework_strip import compiled, page_strip, untold
from tests.unit.service.casework_cases import case_of

NAMES = ("thu", "kofi", "titilope")


def as_on_a_page(vega: dict[str, Any]) -> dict[str, Any]:
    text = re.sub(r"datetime\(([0-9]+)\)", r"\1", json.dumps(vega))
    return {**json.loads(text), "background": None}


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("is_narrow", [False, True])
def test_a_strip_put_into_the_stock_is_the_strip_compiled(name: str, *, is_narrow: bool) -> None:
    for answer in case_of(name).answers():
        span = sensible_span(answer)
        make = narrow_strip_spec if is_narrow else strip_spec
        spec = make(answer, span=span)
        expected = as_on_a_page(untold(vl_convert.vegalite_to_vega(spec)))
        assert json.loads(json.dumps(compiled(spec, span=span, is_narrow=is_narrow))) == expected


def test_the_narrow_strip_says_the_same_as_the_wide_one() -> None:
    strip = page_strip(case_of("thu").answers()[0])
    assert strip.narrow["description"] == strip.wide["description"] == " ".join(strip.sentences)
    assert strip.narrow["width"] == NARROW_WIDTH
    assert strip.narrow["height"] > strip.wide["height"]


def test_the_words_of_a_narrow_row_stand_above_its_bars() -> None:
    answer = case_of("kofi").answers()[0]
    data = narrow_strip_spec(answer, span=sensible_span(answer))["datasets"]
    labels = {each["label"]: each["y"] for each in data["labels"]}
    bars = [(labels[bar["label"]], bar["top"]) for bar in data["certain"] if bar["label"] in labels]
    assert bars
    assert all(top > label + BAR_HEIGHT / 2 for label, top in bars)


def test_no_line_of_a_day_crosses_the_words_of_a_narrow_row() -> None:
    answer = case_of("kofi").answers()[0]
    data = narrow_strip_spec(answer, span=sensible_span(answer))["datasets"]
    pieces = [*data["assessed"], *data["marks"]]
    assert {each["day"] for each in data["marks"]}
    words = [each["y"] for each in data["labels"]]
    assert not any(each["y"] < y < each["y2"] for each in pieces for y in words)
