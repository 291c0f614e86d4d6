"""The picture of a schedule: what holds everything up can be told without colour."""

from __future__ import annotations

import re
from dataclasses import replace

from comity.brief.drawing import drawn
from comity.charts.schedule import (
    Bar,
    Point,
    Schedule,
    schedule_sentences,
    schedule_span,
    schedule_spec,
)
from tests.unit.core.rulebook.samples import day

TODAY = day("2026-11-25")
SIT = Bar(
    "Sit the examination",
    "applicant",
    day("2027-02-10"),
    day("2027-07-19"),
    day("2027-07-19"),
    day("2027-11-22"),
    0.9,
    (day("2026-10-01"), day("2027-03-06"), day("2027-07-03")),
)
ON = day("2027-07-19")
APPLY = Bar("Hand in", "applicant", ON, ON, ON, ON, 0.9)
ORDER = Bar(
    "Have it sent", "home", day("2027-04-04"), day("2027-05-03"), day("2027-04-20"),
    day("2027-05-20"), 0.1,
)  # fmt: skip
SCHEDULE = Schedule(
    "Dietitian, Council",
    TODAY,
    (SIT, ORDER, APPLY),
    (Point(day("2027-07-19"), "Submission"), Point(day("2027-08-23"), "Decision")),
)
DATA = schedule_spec(SCHEDULE)["datasets"]


def test_what_holds_everything_up_is_thicker_and_marked() -> None:
    thick = {row["says"].split(":")[0]: row["y2"] - row["y"] for row in DATA["bars"]}
    assert thick["Sit the examination"] > 1.5 * thick["Have it sent"]
    marked = {row["says"].split(":")[0] for row in DATA["marks"]}
    assert marked == {"Sit the examination", "Hand in"}


def test_a_step_of_one_day_is_a_dot_and_a_step_with_a_certain_end_has_no_spread() -> None:
    assert [row["x"] for row in DATA["instants"]] == [day("2027-07-19")]
    assert [(row["early"], row["late"]) for row in DATA["spreads"]] == [
        (SIT.early, SIT.late),
        (ORDER.early, ORDER.late),
    ]


def test_sittings_outside_the_picture_are_left_out() -> None:
    assert [row["x"] for row in DATA["sittings"]] == [day("2027-03-06"), day("2027-07-03")]


def test_names_of_check_points_close_together_stand_on_lines_of_their_own() -> None:
    first, second = DATA["points"]
    assert second["text_y"] > first["text_y"]
    far = replace(SCHEDULE, points=(SCHEDULE.points[0], Point(TODAY + 5, "Start")))
    levels = {row["text_y"] for row in schedule_spec(far)["datasets"]["points"]}
    assert len(levels) == 1


def test_everything_lies_within_the_days_shown() -> None:
    span = schedule_span(SCHEDULE)
    days = [bar.late for bar in SCHEDULE.bars] + [point.on for point in SCHEDULE.points]
    assert span.start < TODAY
    assert max(days) < span.end


def test_the_picture_is_told_in_sentences_for_those_who_do_not_see_it() -> None:
    assert schedule_sentences(SCHEDULE) == (
        "Dietitian, Council, from 2026-11-25 on.",
        (
            "Sit the examination (applicant): 2027-02-10 to 2027-07-19, ending between 2027-07-19"
            " and 2027-11-22; it holds everything up."
        ),
        "Have it sent (home): 2027-04-04 to 2027-05-03, ending between 2027-04-20 and 2027-05-20.",
        "Hand in (applicant): 2027-07-19; it holds everything up.",
        "Submission: 2027-07-19.",
        "Decision: 2027-08-23.",
    )


def test_it_can_be_drawn_and_its_texts_stay_texts() -> None:
    svg = drawn(schedule_spec(SCHEDULE))
    texts = re.findall(r"<text[^>]*>([^<]+)</text>", svg)
    assert {"Sit the examination (applicant)", "Submission", "today"} <= set(texts)
