from __future__ import annotations

from typing import Any

from comity.charts.schedule import Bar, Point, Schedule
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
