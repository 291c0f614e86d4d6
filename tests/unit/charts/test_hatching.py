from __future__ import annotations

import pytest

from comity.charts.hatching import Box, Stroke, hatching


@pytest.mark.parametrize("left", [0.0, 3.3, 17.0])
@pytest.mark.parametrize("width", [1.0, 4.9, 30.0, 318.0])
def test_strokes_stay_within_their_box(left: float, width: float) -> None:
    box = Box(left, left + width, 10.0, 21.0)
    strokes = list(hatching(box))
    assert strokes
    assert all(box.left <= stroke.x < stroke.x2 <= box.right for stroke in strokes)
    assert all(box.top - 1e-9 <= stroke.y2 < stroke.y <= box.bottom for stroke in strokes)


def test_strokes_rise_at_45_degrees() -> None:
    slopes = {
        round((stroke.y - stroke.y2) / (stroke.x2 - stroke.x), 9)
        for stroke in hatching(Box(2.0, 60.0, 0.0, 11.0))
    }
    assert slopes == {1.0}


def test_a_wider_box_has_more_strokes() -> None:
    assert len(list(hatching(Box(0, 100, 0, 11)))) > len(list(hatching(Box(0, 20, 0, 11))))


def test_neighbouring_boxes_continue_each_other() -> None:
    whole = {round(stroke.x + stroke.y, 6) for stroke in hatching(Box(0, 60, 0, 11))}
    parts = {
        round(stroke.x + stroke.y, 6)
        for box in (Box(0, 31, 0, 11), Box(31, 60, 0, 11))
        for stroke in hatching(box)
    }
    assert parts == whole


def test_a_box_between_two_strokes_has_its_diagonal() -> None:
    assert list(hatching(Box(1.0, 2.0, 0.0, 1.0))) == [Stroke(1.0, 1.0, 2.0, 0.0)]
