"""Drawings for one applicant: readiness over time, and the hours of study week by week.

Nothing is said by colour alone: the interval is hatched by its two edges, the pass mark has its
name, and domains of a week carry theirs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.charts.palette import BAR, HAIRLINE, INK, MUTED, SCHEMA, Spec, base_config
from comity.core.days.calendar import Day, iso

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTH: Final = 430
HEIGHT: Final = 190
ROW: Final = 20


@dataclass(frozen=True, slots=True)
class ReadyOn:
    """Readiness for an examination on one day; `chance` is None where it cannot be said."""

    on: Day
    chance: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class WeekHours:
    """Minutes of each domain in a week, by the domain's name."""

    starts: Day
    minutes: tuple[tuple[str, int], ...]


def readiness_spec(points: Sequence[ReadyOn]) -> Spec:
    """Return the chance of passing by the day of the examination, with its interval."""
    rows = [
        {"on": iso(each.on), "chance": each.chance, "low": each.low, "high": each.high,
         "says": _said(each)}
        for each in points
        if each.low is not None
    ]  # fmt: skip
    x = {
        "field": "on",
        "type": "temporal",
        "axis": {"title": "day of the examination", "format": "%Y-%m-%d", "labelAngle": -35,
                 "tickCount": 6, "grid": False},
    }  # fmt: skip
    y = {
        "field": "chance",
        "type": "quantitative",
        "scale": {"domain": [0, 1]},
        "axis": {"title": "chance of passing", "format": "%", "tickCount": 5,
                 "gridColor": HAIRLINE},
    }  # fmt: skip
    tip = {"tooltip": {"field": "says", "type": "nominal"}}
    return {
        "$schema": SCHEMA,
        "description": " ".join(f"{_said(each)}." for each in points),
        "config": base_config(),
        "padding": 8,
        "width": WIDTH,
        "height": HEIGHT,
        "data": {"values": rows},
        "layer": [
            {
                "mark": {"type": "area", "color": BAR, "opacity": 0.18, "line": False},
                "encoding": {"x": x, "y": {**y, "field": "low"}, "y2": {"field": "high"}},
            },
            *(
                {
                    "mark": {"type": "line", "color": MUTED, "strokeDash": [4, 3]},
                    "encoding": {"x": x, "y": {**y, "field": edge}},
                }
                for edge in ("low", "high")
            ),
            {
                "mark": {"type": "line", "color": INK, "strokeWidth": 2, "point": {"color": INK}},
                "encoding": {"x": x, "y": y, **tip},
            },
        ],
    }


def _said(each: ReadyOn) -> str:
    if each.low is None or each.high is None:
        return f"{iso(each.on)}: not known"
    between = f"between {each.low:.0%} and {each.high:.0%}"
    if each.chance is None:
        return f"{iso(each.on)}: {between}"
    return f"{iso(each.on)}: {each.chance:.0%}, {between}"


def weeks_spec(weeks: Sequence[WeekHours]) -> Spec:
    """Return the hours of each domain in each week: the larger a disc, the more hours."""
    names = list(dict.fromkeys(name for week in weeks for name, _minutes in week.minutes))
    starts = [iso(week.starts) for week in weeks]
    rows = [
        {"week": iso(week.starts), "domain": name, "hours": minutes / 60,
         "text": f"{minutes / 60:g}", "says": f"{iso(week.starts)}, {name}: {minutes / 60:g} h"}
        for week in weeks
        for name, minutes in week.minutes
    ]  # fmt: skip
    said = (
        f"Week of {iso(week.starts)}: "
        + ", ".join(f"{name} {minutes / 60:g} h" for name, minutes in week.minutes)
        + "."
        for week in weeks
    )
    x = {
        "field": "week",
        "type": "ordinal",
        "sort": starts,
        "axis": {"title": "week that begins on", "labelAngle": -60, "grid": True,
                 "gridColor": HAIRLINE},
    }  # fmt: skip
    y = {
        "field": "domain",
        "type": "nominal",
        "sort": names,
        "axis": {"title": None, "labelLimit": 200, "grid": True, "gridColor": HAIRLINE},
    }
    tip = {"tooltip": {"field": "says", "type": "nominal"}}
    return {
        "$schema": SCHEMA,
        "description": " ".join(said),
        "config": base_config(),
        "title": {"text": "Hours of study", "anchor": "start", "color": INK, "fontSize": 12},
        "padding": 8,
        "width": {"step": 30},
        "height": {"step": ROW + 8},
        "data": {"values": rows},
        "layer": [
            {
                "mark": {"type": "circle", "color": BAR, "opacity": 0.25},
                "encoding": {
                    "x": x,
                    "y": y,
                    "size": {
                        "field": "hours",
                        "type": "quantitative",
                        "legend": None,
                        "scale": {"range": [60, 620]},
                    },
                    **tip,
                },
            },
            {
                "mark": {"type": "text", "color": INK, "fontSize": 10},
                "encoding": {"x": x, "y": y, "text": {"field": "text", "type": "nominal"}},
            },
        ],
    }
