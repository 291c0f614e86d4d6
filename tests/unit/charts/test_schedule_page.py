from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from comity.charts.labels import estimated_width
from comity.charts.schedule import Bar, Point, Schedule, schedule_span
from comity.charts.schedule_page import NARROW_WIDTH, narrow_schedule, page_schedule

TODAY = 46_000
SCHEDULE = Schedule(
    "Dietitian",
    TODAY,
    (
        Bar("Have the degree verified", "the desk", TODAY, TODAY + 40, TODAY + 30, TODAY + 60, 0.8),
        Bar("Hand in", "applicant", TODAY + 60, TODAY + 60, TODAY + 50, TODAY + 90, 0.2),
        Bar(
            "Sit the examination, which has a name that needs more than a single line",
            "applicant",
            TODAY + 10,
            TODAY + 80,
            TODAY + 80,
            TODAY + 80,
            0.0,
            (TODAY + 70,),
        ),
    ),
    (Point(TODAY + 60, "Handing in"),),
)


def made(*windows: tuple[int, int], is_plain: bool = False) -> dict[str, Any]:
    return page_schedule(SCHEDULE, windows=windows, what="Handing in", is_plain=is_plain)


def says(spec: dict[str, Any], name: str) -> list[str]:
    return [row["says"] for row in spec["datasets"][name]]


def test_bars_say_their_days_spread_and_how_often_they_hold_up_the_end() -> None:
    first, _sitting = says(made(), "bars")
    assert first == (
        "Have the degree verified (the desk)\n2025-12-11 to 2026-01-20\n"
        "may end between 2026-01-10 and 2026-02-09\nholds up the end in 80 of 100 cases"
    )
    (instant,) = says(made(), "instants")
    assert instant.splitlines()[1] == "2026-02-09"


def test_plain_bars_say_nothing_of_chances() -> None:
    spec = made(is_plain=True)
    assert says(spec, "bars")[0].endswith("everything waits for this")
    assert "of 100" not in str(spec)


def test_days_on_which_one_may_hand_in_are_bands_within_what_is_shown() -> None:
    spec = made((TODAY - 500, TODAY + 20), (TODAY + 50, 99_000), (TODAY + 5_000, 99_000))
    rows = spec["datasets"]["windows"]
    assert len(rows) == 2
    assert rows[0]["x2"] == TODAY + 20
    assert rows[1]["x"] == TODAY + 50
    assert says(spec, "windows")[1] == "Handing in: open from 2026-01-30 on"
    assert spec["layer"][0]["data"]["name"] == "windows"


def test_where_every_day_will_do_there_is_no_band() -> None:
    assert made((0, 99_000))["datasets"]["windows"] == []


def test_the_narrow_form_has_words_above_their_bars_and_nothing_outside() -> None:
    wide = made((TODAY + 50, 99_000))
    narrow = narrow_schedule(wide, SCHEDULE)
    assert narrow["width"] == NARROW_WIDTH
    height = narrow["height"]
    for name in ("bars", "instants", "spreads", "sittings", "labels"):
        for row in narrow["datasets"][name]:
            assert 0 <= row.get("middle", row.get("y", 0)) <= height
    for layer in narrow["layer"]:
        domain = layer["encoding"].get("y", {}).get("scale", {}).get("domain")
        assert domain in (None, [0, height])
    assert all(row["y2"] == height for row in narrow["datasets"]["today"])
    assert narrow["datasets"].keys() == wide["datasets"].keys()


def name_boxes(schedule: Schedule) -> list[tuple[float, float, float]]:
    """Return left, right and middle line of each milestone's name in the narrow form."""
    wide = page_schedule(schedule, windows=(), what="Handing in")
    span, size = schedule_span(schedule), 10.5
    boxes = []
    for row in narrow_schedule(wide, schedule)["datasets"]["points"]:
        middle = (row["text_x"] - span.start) / (span.end - span.start) * NARROW_WIDTH
        half = estimated_width(row["text"], size=size) / 2
        boxes.append((middle - half, middle + half, row["text_y"]))
    return boxes


@pytest.mark.parametrize(
    "days",
    [(60, 60), (60, 62), (10, 75), (5, 40, 85), (1, 2, 3), (0, 90)],
    ids=str,
)
def test_no_name_of_a_milestone_stands_on_another_or_outside_the_narrow_form(
    days: tuple[int, ...],
) -> None:
    names = ("Handing in the application", "Entry in the provisional register", "The decision")
    points = tuple(Point(TODAY + n, name) for n, name in zip(days, names, strict=False))
    boxes = name_boxes(replace(SCHEDULE, points=points))
    assert len(boxes) == len(days)
    for left, right, _line in boxes:
        assert left >= -0.01
        assert right <= NARROW_WIDTH + 0.01
    for one, other in combinations(boxes, 2):
        is_beside = one[1] <= other[0] or other[1] <= one[0]
        assert is_beside or abs(one[2] - other[2]) >= 12


def test_names_of_milestones_far_apart_share_a_line() -> None:
    points = (Point(TODAY + 5, "Handing in"), Point(TODAY + 85, "Entry"))
    first, second = name_boxes(replace(SCHEDULE, points=points))
    assert first[2] == second[2]


def test_a_name_too_long_for_a_phone_is_cut_short() -> None:
    points = (Point(TODAY + 60, "Handing in the application with all papers " * 3),)
    ((left, right, _line),) = name_boxes(replace(SCHEDULE, points=points))
    assert right - left <= NARROW_WIDTH
