from __future__ import annotations

from itertools import pairwise

from comity.charts.labels import estimated_width
from comity.charts.span import Span
from comity.charts.strip_bars import Scale
from comity.charts.strip_layout import FAR_RIGHT, SMALL_SIZE
from comity.charts.strip_marks import Mark, marks_of, placed_marks
from comity.charts.wording import ENGLISH
from tests.assets.brief import samples
from tests.assets.brief.samples import ON, day

SCALE = Scale(Span(ON - 60, ON + 1200))


def test_marks_come_in_order_of_time_with_the_assessed_day_first() -> None:
    further = [Mark(day("2029-01-01"), "renewal"), Mark(day("2027-02-01"), "sitting")]
    marks = marks_of(samples.mixed(), further=further, wording=ENGLISH)
    assert [mark.label for mark in marks[1:]] == ["sitting", "new edition", "renewal"]
    assert marks[0].day == ON


def test_no_label_is_crossed_by_the_line_of_a_later_mark() -> None:
    marks = [Mark(ON + step * 40, f"a milestone with a name, number {step}") for step in range(9)]
    placed = placed_marks(marks, scale=SCALE)
    for index, each in enumerate(placed):
        end = SCALE.pixels(each.mark.day) + estimated_width(each.label, size=SMALL_SIZE)
        crossing = [p for p in placed[index + 1 :] if SCALE.pixels(p.mark.day) < end]
        assert all(later.level < each.level for later in crossing)


def test_labels_with_room_share_the_lowest_level() -> None:
    placed = placed_marks([Mark(ON, "one"), Mark(ON + 900, "two")], scale=SCALE)
    assert [each.level for each in placed] == [0, 0]


def test_a_label_at_the_right_edge_is_shortened_to_the_drawing() -> None:
    long = placed_marks([Mark(ON + 1190, "a label far too long for its place")], scale=SCALE)[0]
    end = SCALE.pixels(long.mark.day) + estimated_width(long.label, size=SMALL_SIZE)
    assert end <= FAR_RIGHT


def test_marks_outside_the_span_are_left_out() -> None:
    outside = [Mark(ON - 61, "before"), Mark(ON + 1200, "after"), Mark(ON, "inside")]
    assert [each.label for each in placed_marks(outside, scale=SCALE)] == ["inside"]


def test_marks_on_one_day_stand_above_each_other() -> None:
    placed = placed_marks([Mark(ON, "one"), Mark(ON, "two")], scale=SCALE)
    assert [one.level != two.level for one, two in pairwise(placed)] == [True]
