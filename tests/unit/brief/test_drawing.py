from __future__ import annotations

import re

import pytest

from comity.brief.drawing import drawn
from comity.charts.palette import SCHEMA
from comity.charts.span import sensible_span
from comity.charts.strip import strip_spec
from tests.assets.brief import samples


def test_texts_stay_text_in_our_typefaces() -> None:
    assessment = samples.mixed()
    svg = drawn(strip_spec(assessment, span=sensible_span(assessment)))
    families = set(re.findall(r'font-family="([^"]*)"', svg))
    assert families == {"IBM Plex Sans, IBM Plex Sans Arabic, sans-serif"}
    assert "Fitness to practise" in svg


def test_nothing_is_fetched() -> None:
    spec = {
        "$schema": SCHEMA,
        "data": {"url": "http://127.0.0.1:9/data.json"},
        "mark": "point",
        "encoding": {},
    }
    with pytest.raises(ValueError, match=r"External data url not allowed"):
        drawn(spec)


def test_the_same_specification_gives_the_same_picture() -> None:
    assessment = samples.mixed()
    spec = strip_spec(assessment, span=sensible_span(assessment))
    assert drawn(spec) == drawn(spec)
