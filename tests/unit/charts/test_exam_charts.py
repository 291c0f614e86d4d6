"""Drawings of items, forecasts, readiness and study: they draw, and say in words what they show."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.brief.drawing import drawn
from comity.charts.exam_curves import (
    Held,
    ItemOptions,
    OptionLine,
    information_spec,
    options_spec,
    reliability_spec,
)
from comity.charts.study import ReadyOn, WeekHours, readiness_spec, weeks_spec
from comity.core.days.calendar import day_from_date

if TYPE_CHECKING:
    from comity.charts.palette import Spec

MONDAY = day_from_date(date(2026, 11, 30))
OPTIONS = ItemOptions(
    "iron-stores",
    (OptionLine("a", True, (0.25, 0.75)), OptionLine("b", False, (0.5, None))),  # noqa: FBT003
    ("weaker half", "stronger half"),
)
SPECS: dict[str, tuple[Spec, str]] = {
    "options": (
        options_spec([OPTIONS]),
        (
            "iron-stores: chosen were the key a by 25% of the weaker half, 75% of the stronger"
            " half; b by 50% of the weaker half."
        ),
    ),
    "information": (
        information_spec([(-1.0, 1.0), (0.0, 4.0), (1.0, 0.0)], n_items=9),
        (
            "Information of 9 items by ability: most, 4.0, at ability 0.0, where the standard"
            " error is 0.50."
        ),
    ),
    "forecasts": (
        reliability_spec([Held(0.7, 0.75, 0.5, 0.9, 4)]),
        "Of 4 told 70%, 75% passed.",
    ),
    "readiness": (
        readiness_spec([ReadyOn(MONDAY, 0.6, 0.4, 0.8), ReadyOn(MONDAY + 7, None, 0.3, 0.7)]),
        "2026-11-30: 60%, between 40% and 80%. 2026-12-07: between 30% and 70%.",
    ),
    "weeks": (
        weeks_spec([WeekHours(MONDAY, (("Labels", 90), ("Units", 60)))]),
        "Week of 2026-11-30: Labels 1.5 h, Units 1 h.",
    ),
}


@pytest.mark.parametrize("name", SPECS)
def test_a_drawing_says_in_words_what_it_shows(name: str) -> None:
    spec, said = SPECS[name]
    assert spec["description"] == said


@pytest.mark.parametrize("name", SPECS)
def test_a_drawing_can_be_drawn(name: str) -> None:
    assert drawn(SPECS[name][0]).startswith("<svg")


def test_the_key_is_told_from_other_options_without_colour() -> None:
    drawing = drawn(options_spec([OPTIONS]))
    assert "a (key)" in drawing
    assert "stroke-dasharray" in drawing


def test_a_day_of_which_nothing_is_known_is_said_and_not_drawn() -> None:
    spec = readiness_spec([ReadyOn(MONDAY, None, None, None)])
    assert spec["description"] == "2026-11-30: not known."
    assert spec["data"]["values"] == []
