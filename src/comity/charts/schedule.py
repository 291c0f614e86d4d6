"""The schedule: a bar a step, with the spread of its end; what holds everything up is thicker.

Nothing is said by colour alone: bars that hold everything up are thicker and carry a mark, the
spread of an end is a line behind the bar, sittings are diamonds, milestones are dashed lines with
their names.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.charts.axis import ticks
from comity.charts.labels import wrapped
from comity.charts.palette import BAR, HAIRLINE, INK, MUTED, SCHEMA, Spec, base_config
from comity.charts.span import Span
from comity.charts.wording import ENGLISH
from comity.core.days.calendar import Day, iso

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.charts.wording import ChartWording

PLOT_WIDTH: Final = 430
ROW: Final = 40
TODAY: Final = "today"
LABEL_WIDTH: Final = 225
HOLDS_UP: Final = 0.5
_TOP: Final = 34
_STAGGER: Final = 13
_CLOSE: Final = 0.26
"""Names of milestones nearer than this share of the width stand one above the other."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A step: from when to when in the middle of all futures, and how early or late it may end.

    Parameters
    ----------
    early, late : Day
        Ends that are passed in nine of ten futures, and reached in four of five.
    criticality : float
        Share of the futures in which it holds up the end, 0 to 1.
    sittings : tuple of Day
        Dates of the examination that is sat in it.
    """

    label: str
    party: str
    start: Day
    end: Day
    early: Day
    late: Day
    criticality: float
    sittings: tuple[Day, ...] = ()

    @property
    def holds_up(self) -> bool:
        """Whether a day lost here is, more likely than not, a day lost in the end."""
        return self.criticality > HOLDS_UP


@dataclass(frozen=True, slots=True)
class Point:
    """A check point, on its day in the middle of all futures."""

    on: Day
    label: str


@dataclass(frozen=True, slots=True)
class Schedule:
    """What the picture shows; bars in the order in which they stand."""

    title: str
    today: Day
    bars: tuple[Bar, ...]
    points: tuple[Point, ...]


def schedule_span(schedule: Schedule) -> Span:
    """Return the days shown: from today to a little after the last end."""
    last = max(
        [
            schedule.today + 30,
            *(bar.late for bar in schedule.bars),
            *(p.on for p in schedule.points),
        ]
    )
    margin = max((last - schedule.today) // 25, 3)
    return Span(schedule.today - margin, last + margin)


def schedule_spec(schedule: Schedule, *, wording: ChartWording = ENGLISH) -> Spec:
    """Return the Vega-Lite specification of a schedule; its description is the text alternative."""
    span = schedule_span(schedule)
    x = {
        "field": "x",
        "type": "quantitative",
        "scale": {"domain": [span.start, span.end], "nice": False, "zero": False},
        "axis": None,
    }
    height = len(schedule.bars) * ROW
    return {
        "$schema": SCHEMA,
        "description": " ".join(schedule_sentences(schedule)),
        "config": base_config(),
        "title": {"text": schedule.title, "anchor": "start", "color": INK, "fontSize": 13},
        "width": PLOT_WIDTH,
        "height": height,
        "padding": 8,
        "datasets": _data(schedule, span, wording=wording),
        "layer": _layers(x, height),
    }


def schedule_sentences(schedule: Schedule) -> tuple[str, ...]:
    """Return the schedule in words."""
    said = [f"{schedule.title}, from {iso(schedule.today)} on."]
    for bar in schedule.bars:
        days = iso(bar.end) if bar.start == bar.end else f"{iso(bar.start)} to {iso(bar.end)}"
        spread = (
            f", ending between {iso(bar.early)} and {iso(bar.late)}" if bar.early < bar.late else ""
        )
        mark = "; it holds everything up" if bar.holds_up else ""
        said.append(f"{bar.label} ({bar.party}): {days}{spread}{mark}.")
    said += [f"{point.label}: {iso(point.on)}." for point in schedule.points]
    return tuple(said)


# ------------------------------------------------------------------------------------------- data


def _data(schedule: Schedule, span: Span, *, wording: ChartWording) -> dict[str, list[Any]]:
    height = len(schedule.bars) * ROW
    bars = [_bar(bar, index) for index, bar in enumerate(schedule.bars)]
    return {
        "bars": [each for each in bars if each["x"] < each["x2"]],
        "marks": [each for each in bars if each["holds_up"]],
        "instants": [each for each in bars if each["x"] >= each["x2"]],
        "spreads": [each for each in bars if each["early"] < each["late"]],
        "labels": [
            {"y": index * ROW + ROW / 2 + 12 * (n - (len(lines) - 1) / 2), "text": line}
            for index, bar in enumerate(schedule.bars)
            for lines in [_label(bar)]
            for n, line in enumerate(lines)
        ],
        "sittings": [
            {"x": day, "y": index * ROW + ROW / 2, "says": f"{bar.label}: {iso(day)}"}
            for index, bar in enumerate(schedule.bars)
            for day in bar.sittings
            if span.start <= day < span.end
        ],
        "today": [{"x": schedule.today, "y": 0, "y2": height, "text": TODAY}],
        "points": _points(schedule.points, span, height),
        "ticks": [
            {"x": t.day, "y": 0, "y2": height, "text": t.label}
            for t in ticks(span, wording=wording)
        ],
    }


def _bar(bar: Bar, index: int) -> dict[str, Any]:
    thickness = 13 if bar.holds_up else 7
    middle = index * ROW + ROW / 2
    return {
        "x": bar.start,
        "x2": bar.end,
        "y": middle - thickness / 2,
        "y2": middle + thickness / 2,
        "middle": middle,
        "early": bar.early,
        "late": bar.late,
        "holds_up": bar.holds_up,
        "says": f"{bar.label}: {iso(bar.start)} to {iso(bar.end)}",
    }


def _label(bar: Bar) -> tuple[str, ...]:
    return wrapped(f"{bar.label} ({bar.party})", width=LABEL_WIDTH, size=10.5, most_lines=3)


def _points(points: Sequence[Point], span: Span, height: int) -> list[dict[str, Any]]:
    """Return the check points; names that would stand on each other go to lines of their own."""
    found: list[dict[str, Any]] = []
    level, before = 0, None
    for point in sorted(points, key=lambda each: each.on):
        is_close = before is not None and point.on - before < _CLOSE * (span.end - span.start)
        level = level + 1 if is_close else 0
        before = point.on
        found.append(
            {
                "x": point.on,
                "y": 0,
                "y2": height,
                "text": point.label,
                "text_y": height + _TOP + _STAGGER * level,
            }
        )
    return found


# ----------------------------------------------------------------------------------------- layers


def _layers(x: Spec, height: int) -> list[Spec]:
    x2, y2 = {"field": "x2"}, {"field": "y2"}
    y = {
        "field": "y",
        "type": "quantitative",
        "scale": {"domain": [0, height], "reverse": True, "nice": False, "zero": False},
        "axis": None,
    }

    def at(field: str) -> Spec:
        return {**y, "field": field}

    rule = {"x": x, "y": y, "y2": y2}
    tip = {"tooltip": {"field": "says", "type": "nominal"}}
    left = {"x": {"value": -10}, "y": y, "text": {"field": "text"}}
    return [
        _layer("ticks", {"type": "rule", "color": HAIRLINE}, rule),
        _text("ticks", {"dy": 11, "color": MUTED}, {"x": x, "y": {"value": height}}),
        _layer("today", {"type": "rule", "color": INK, "strokeWidth": 1.5}, rule),
        _text("today", {"dy": -7, "color": INK}, {"x": x, "y": {"value": 0}}),
        _layer("points", {"type": "rule", "color": INK, "strokeDash": [4, 3]}, rule),
        _text("points", {"color": INK}, {"x": x, "y": at("text_y")}),
        _layer(
            "spreads",
            {"type": "rule", "color": MUTED, "strokeWidth": 2},
            {"x": {**x, "field": "early"}, "x2": {"field": "late"}, "y": at("middle")},
        ),
        _layer(
            "spreads",
            {"type": "tick", "color": MUTED, "thickness": 2, "size": 10, "orient": "vertical"},
            {"x": {**x, "field": "late"}, "y": at("middle")},
        ),
        _layer(
            "bars",
            {"type": "rect", "color": BAR, "stroke": INK, "strokeWidth": 0.5},
            {"x": x, "x2": x2, "y": y, "y2": y2, **tip},
        ),
        _layer(
            "instants",
            {"type": "point", "shape": "circle", "filled": True, "color": INK, "size": 45},
            {"x": x, "y": at("middle"), **tip},
        ),
        _layer(
            "sittings",
            {"type": "point", "shape": "diamond", "filled": True, "fill": "#ffffff",
             "stroke": INK, "size": 90, "strokeWidth": 1.5},
            {"x": x, "y": y, **tip},
        ),
        _layer("labels", {"type": "text", "align": "right", "baseline": "middle"}, left),
        _layer(
            "marks",
            {"type": "point", "shape": "triangle-right", "filled": True, "color": INK, "size": 60},
            {"x": {"value": -LABEL_WIDTH - 22}, "y": at("middle")},
        ),
    ]  # fmt: skip


def _layer(data: str, mark: Spec, encoding: Spec) -> Spec:
    return {"data": {"name": data}, "mark": {"clip": False, **mark}, "encoding": encoding}


def _text(data: str, mark: Spec, encoding: Spec) -> Spec:
    said = {**encoding, "text": {"field": "text", "type": "nominal"}}
    return _layer(data, {"type": "text", "baseline": "middle", **mark}, said)
