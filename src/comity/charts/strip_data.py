"""The named datasets of a window strip."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from comity.charts.axis import ticks
from comity.charts.hatching import Box, hatching
from comity.charts.strip_bars import Bar, Scale, bars_of, run_of
from comity.charts.strip_layout import BAR_HEIGHT, LINE, SUBMISSION, Row
from comity.core.days.calendar import iso

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.charts.strip_marks import PlacedMark
    from comity.charts.wording import ChartWording
    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Window

Values = list[dict[str, Any]]
LEGEND_WIDTH: Final = 26.0
LEGEND_LINE: Final = 18.0
MARK_LABEL_TOP: Final = 9.0


def row_data(rows: Sequence[Row], *, scale: Scale) -> dict[str, Values]:
    """Return labels, verdict words and base lines; a row with words in place of bars has none."""
    return {
        "labels": [_label(row) for row in rows if row.kind == "requirement"],
        "headings": [_label(row) for row in rows if row.kind == "heading"],
        "together": [_label(row) for row in rows if row.kind == "together"],
        "verdicts": [
            {"y": _first_line(row, row.word), "lines": list(row.word), "verdict": row.verdict}
            for row in rows
            if row.kind != "heading"
        ],
        "baselines": [
            {"y": row.middle} for row in rows if row.applies and any(bars_of(row, scale=scale))
        ],
        "rules": [{"y": row.top} for row in rows if row.kind == "requirement"],
        "strong_rules": [
            {"y": y} for row in rows if row.kind == "together" for y in (row.top, row.bottom)
        ],
    }


def _label(row: Row) -> dict[str, Any]:
    """Return one label, its lines centred on the row."""
    return {"y": _first_line(row, row.lines), "lines": list(row.lines), "label": row.label}


def _first_line(row: Row, lines: Sequence[str]) -> float:
    """Return the height of the first of several lines centred on the row."""
    return row.middle - LINE * (len(lines) - 1) / 2


def bar_data(rows: Sequence[Row], *, scale: Scale, wording: ChartWording) -> dict[str, Values]:
    """Return certain bars, possible bars, their hatching, and what goes on beyond the edges."""
    bars = [bar for row in rows if row.applies for bar in bars_of(row, scale=scale)]
    possible = [bar for bar in bars if bar.window.certainty == "possible"]
    shown = {id(bar.row) for bar in bars}
    return {
        "certain": [_bar(bar, scale=scale) for bar in bars if bar.window.certainty == "certain"],
        "possible": [_bar(bar, scale=scale) for bar in possible],
        "hatching": [
            stroke
            for bar in possible
            for stroke in _strokes(Box(bar.left, bar.right, bar.top, bar.bottom), scale=scale)
        ],
        "goes_on": [{"y": bar.row.middle} for bar in bars if bar.goes_on],
        "began_before": [{"y": bar.row.middle} for bar in bars if bar.began_before],
        "empty": [
            {"y": row.middle, "text": _empty(row, scale=scale, wording=wording)}
            for row in rows
            if row.applies and id(row) not in shown
        ],
    }


def _bar(bar: Bar, *, scale: Scale) -> dict[str, Any]:
    """Return one bar with the window's own dates for the tooltip."""
    return {
        "label": bar.row.label,
        "from": _iso(bar.window.start),
        "until": _iso(bar.window.until),
        "left": scale.time(bar.left),
        "right": scale.time(bar.right),
        "top": bar.top,
        "bottom": bar.bottom,
    }


def _iso(day: Day | None) -> str | None:
    """Return the ISO date, None for an open end."""
    return None if day is None else iso(day)


def _strokes(box: Box, *, scale: Scale) -> Values:
    """Return the hatching of a box, across in time and down in pixels."""
    return [
        {
            "x": scale.time(stroke.x),
            "y": round(stroke.y, 2),
            "x2": scale.time(stroke.x2),
            "y2": round(stroke.y2, 2),
        }
        for stroke in hatching(box)
    ]


def _empty(row: Row, *, scale: Scale, wording: ChartWording) -> str:
    """Say why a row has no bar: the next window lies beyond the span, or there is none."""
    beyond = [window for window in row.windows if run_of(window)[0] >= scale.span.end]
    return _beyond(beyond[0], wording=wording) if beyond else wording.no_day


def _beyond(window: Window, *, wording: ChartWording) -> str:
    """Name a window that begins after the last day shown."""
    holds = wording.holds if window.certainty == "certain" else wording.may_hold
    return holds.format(span=wording.span(window.start, window.until))


def mark_data(
    placed: Sequence[PlacedMark], *, scale: Scale, rows: Sequence[Row]
) -> dict[str, Values]:
    """Return the days pointed at, their labels, and the check points on the rows."""
    return {
        "assessed": [_mark(mark, scale=scale) for mark in placed if _is_assessed(mark)],
        "marks": [_mark(mark, scale=scale) for mark in placed if not _is_assessed(mark)],
        "mark_labels": [_mark(mark, scale=scale) for mark in placed],
        "check_points": [
            {"x": scale.time_of(mark.mark.day), "y": row.middle, "at": row.at}
            for mark in placed
            for row in rows
            if row.applies and mark.mark.milestone and row.at == mark.mark.milestone
        ],
    }


def _is_assessed(placed: PlacedMark) -> bool:
    """Tell the assessed day from the other marks."""
    return placed.mark.milestone == SUBMISSION


def _mark(placed: PlacedMark, *, scale: Scale) -> dict[str, Any]:
    """Return one mark; its line begins at its label."""
    return {
        "x": scale.time_of(placed.mark.day),
        "day": iso(placed.mark.day),
        "label": placed.label,
        "y": -MARK_LABEL_TOP - LINE * placed.level,
    }


def tick_data(*, scale: Scale, wording: ChartWording) -> dict[str, Values]:
    """Return the axis: a light line and a label each."""
    found = ticks(scale.span, wording=wording)
    return {"ticks": [{"x": scale.time_of(tick.day), "label": tick.label} for tick in found]}


def legend_data(top: float, *, scale: Scale, wording: ChartWording) -> dict[str, Values]:
    """Return samples with their meaning: solid, hatched, check point."""
    heights = [top + LEGEND_LINE * line for line in range(3)]
    certain, possible, check_point = (
        Box(0.0, LEGEND_WIDTH, middle - BAR_HEIGHT / 2, middle + BAR_HEIGHT / 2)
        for middle in heights
    )
    words = (wording.certain, wording.possible, wording.check_point)
    return {
        "legend_certain": [_sample(certain, scale=scale)],
        "legend_possible": [_sample(possible, scale=scale)],
        "legend_hatching": _strokes(possible, scale=scale),
        "legend_check_point": [{"x": scale.time(check_point.right / 2), "y": heights[2]}],
        "legend_words": [
            {"y": height, "text": text} for height, text in zip(heights, words, strict=True)
        ],
    }


def _sample(box: Box, *, scale: Scale) -> dict[str, Any]:
    """Return a box of the legend."""
    return {
        "left": scale.time(box.left),
        "right": scale.time(box.right),
        "top": box.top,
        "bottom": box.bottom,
    }
