"""Drawings of items and forecasts: who chooses which option, information, and how forecasts held.

Nothing is said by colour alone: the key is a thick line with its name, other options have dashes of
their own, and every drawing says in words what it shows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.charts.palette import BAR, HAIRLINE, INK, MUTED, SCHEMA, Spec, base_config

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDTH: Final = 320
HEIGHT: Final = 150
_DASHES: Final = ([6, 3], [2, 2], [8, 3, 2, 3], [1, 3], [10, 4], [4, 1])


@dataclass(frozen=True, slots=True)
class OptionLine:
    """How often an option was chosen in each group, weakest first; None for a group without."""

    option: str
    is_key: bool
    shares: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class ItemOptions:
    """The options of one item."""

    item: str
    lines: tuple[OptionLine, ...]
    groups: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """Forecasts that were about the same, and how often they came about."""

    forecast: float
    share: float
    low: float
    high: float
    count: int


def options_spec(items: Sequence[ItemOptions]) -> Spec:
    """Return who chooses which option of some items, one drawing below the other."""
    return {
        "$schema": SCHEMA,
        "description": " ".join(_options_said(each) for each in items),
        "config": base_config(),
        "padding": 8,
        "spacing": 26,
        "vconcat": [_options(each) for each in items],
        "resolve": {"scale": {"strokeDash": "independent"}},
    }


def _options_said(item: ItemOptions) -> str:
    said = []
    for line in item.lines:
        shares = [
            f"{share:.0%} of the {group}"
            for share, group in zip(line.shares, item.groups, strict=True)
            if share is not None
        ]
        name = f"the key {line.option}" if line.is_key else line.option
        said.append(f"{name} by {', '.join(shares)}" if shares else f"{name} by nobody")
    return f"{item.item}: chosen were {'; '.join(said)}."


def _options(item: ItemOptions) -> Spec:
    rows = [
        {
            "group": group,
            "at": at,
            "share": share,
            "option": line.option,
            "is_key": line.is_key,
            "says": f"{line.option}: {share:.0%} of the {group}",
        }
        for line in item.lines
        for at, (group, share) in enumerate(zip(item.groups, line.shares, strict=True))
        if share is not None
    ]
    last = {row["option"]: row for row in rows}
    options = [line.option for line in item.lines]
    dashes = [
        [1, 0] if line.is_key else _DASHES[at % len(_DASHES)] for at, line in enumerate(item.lines)
    ]
    x = {
        "field": "group",
        "type": "nominal",
        "sort": list(item.groups),
        "scale": {"padding": 0.2},
        "axis": {"title": None, "labelAngle": 0, "domainColor": HAIRLINE},
    }
    y = {
        "field": "share",
        "type": "quantitative",
        "scale": {"domain": [0, 1]},
        "axis": {"format": "%", "title": None, "tickCount": 5, "gridColor": HAIRLINE},
    }
    option = {"field": "option", "type": "nominal", "scale": {"domain": options}}
    dash = {"field": "option", "type": "nominal", "legend": None,
            "scale": {"domain": options, "range": dashes}}  # fmt: skip
    width = {"condition": {"test": "datum.is_key", "value": 3}, "value": 1.3}
    return {
        "title": {"text": item.item, "anchor": "start", "color": INK, "fontSize": 12},
        "width": WIDTH,
        "height": HEIGHT,
        "layer": [
            {
                "data": {"values": rows},
                "mark": {"type": "line", "color": INK},
                "encoding": {"x": x, "y": y, "detail": option, "strokeDash": dash,
                             "strokeWidth": width},
            },
            {
                "data": {"values": rows},
                "mark": {"type": "point", "filled": True, "color": INK, "size": 30},
                "encoding": {"x": x, "y": y, "tooltip": {"field": "says", "type": "nominal"}},
            },
            {
                "data": {"values": _apart(list(last.values()))},
                "mark": {"type": "text", "align": "left", "dx": 10, "color": INK},
                "encoding": {"x": x, "y": {**y, "field": "label_at"},
                             "text": {"field": "text", "type": "nominal"}},
            },
        ],
    }  # fmt: skip


def _apart(ends: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the ends of lines with places for their names that do not stand on each other."""
    placed: list[dict[str, Any]] = []
    below = -1.0
    for row in sorted(ends, key=lambda each: each["share"]):
        below = max(row["share"], below + 0.09)
        text = f"{row['option']} (key)" if row["is_key"] else row["option"]
        placed.append({**row, "label_at": below, "text": text})
    return placed


def information_spec(points: Sequence[tuple[float, float]], *, n_items: int) -> Spec:
    """Return how much a form tells at each ability, and how large the error is there."""
    best = max(points, key=lambda each: each[1])
    rows = [
        {"ability": ability, "information": told, "error": told**-0.5 if told > 0 else None}
        for ability, told in points
    ]
    x = {
        "field": "ability",
        "type": "quantitative",
        "axis": {"title": "ability, 0 the average", "gridColor": HAIRLINE},
    }
    return {
        "$schema": SCHEMA,
        "description": (
            f"Information of {n_items} items by ability: most, {best[1]:.1f}, at ability"
            f" {best[0]:.1f}, where the standard error is {best[1] ** -0.5:.2f}."
        ),
        "config": base_config(),
        "padding": 8,
        "width": WIDTH,
        "height": HEIGHT,
        "data": {"values": rows},
        "layer": [
            {
                "mark": {"type": "line", "color": INK, "strokeWidth": 2},
                "encoding": {
                    "x": x,
                    "y": {
                        "field": "information",
                        "type": "quantitative",
                        "axis": {"title": "information (line)", "gridColor": HAIRLINE},
                    },
                },
            },
            {
                "mark": {"type": "line", "color": MUTED, "strokeDash": [5, 3]},
                "encoding": {
                    "x": x,
                    "y": {
                        "field": "error",
                        "type": "quantitative",
                        "scale": {"zero": True},
                        "axis": {"title": "standard error (dashed)", "grid": False},
                    },
                },
            },
        ],
        "resolve": {"scale": {"y": "independent"}},
    }


def reliability_spec(bins: Sequence[Held]) -> Spec:
    """Return how often forecasts came about beside what they said; on the line all is well."""
    rows = [
        {"forecast": e.forecast, "share": e.share, "low": e.low, "high": e.high, "count": e.count,
         "says": f"of {e.count} told {e.forecast:.0%}, {e.share:.0%} passed"}
        for e in bins
    ]  # fmt: skip
    x = _share("forecast", "chance that was told")
    y = _share("share", "how often it came about")
    return {
        "$schema": SCHEMA,
        "description": " ".join(f"{row['says']}.".capitalize() for row in rows),
        "config": base_config(),
        "padding": 8,
        "width": 260,
        "height": 260,
        "layer": [
            {
                "data": {"values": [{"forecast": 0, "share": 0}, {"forecast": 1, "share": 1}]},
                "mark": {"type": "line", "color": MUTED, "strokeDash": [4, 3]},
                "encoding": {"x": x, "y": y},
            },
            {
                "data": {"values": rows},
                "mark": {"type": "rule", "color": BAR},
                "encoding": {"x": x, "y": {**y, "field": "low"}, "y2": {"field": "high"}},
            },
            {
                "data": {"values": rows},
                "mark": {"type": "point", "filled": True, "color": INK, "size": 50},
                "encoding": {"x": x, "y": y, "tooltip": {"field": "says", "type": "nominal"}},
            },
            {
                "data": {"values": rows},
                "mark": {"type": "text", "dx": 14, "color": MUTED},
                "encoding": {"x": x, "y": y, "text": {"field": "count", "type": "quantitative"}},
            },
        ],
    }


def _share(field: str, title: str) -> Spec:
    return {
        "field": field,
        "type": "quantitative",
        "scale": {"domain": [0, 1]},
        "axis": {"title": title, "format": "%", "tickCount": 5, "gridColor": HAIRLINE},
    }
