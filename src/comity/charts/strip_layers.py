"""The layers of a window strip, from the paper up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.charts.palette import BAR, HAIRLINE, INK, MUTED, PAPER, Spec
from comity.charts.strip_data import LEGEND_WIDTH
from comity.charts.strip_layout import (
    FAR_RIGHT,
    GUTTER,
    LABEL_WIDTH,
    LINE,
    PLOT_WIDTH,
    SMALL_SIZE,
    TYPE_SIZE,
)

if TYPE_CHECKING:
    from comity.charts.strip_bars import Scale

LABEL_LEFT: Final = -(LABEL_WIDTH + GUTTER)
WORD_LEFT: Final = PLOT_WIDTH + GUTTER
AXIS_LABEL_GAP: Final = 7.0


def layers(*, scale: Scale, bottom: float) -> list[Spec]:
    """Return all layers; `bottom` is the lower edge of the last row."""
    domain = [scale.time_of(scale.span.start), scale.time_of(scale.span.end)]
    x_scale = {"type": "utc", "domain": domain, "nice": False}
    return [
        *_axis_layers(x_scale, bottom=bottom),
        *_row_layers(),
        *_box_layers("certain", "possible", "hatching"),
        *_box_layers("legend_certain", "legend_possible", "legend_hatching"),
        *_beyond_layers(),
        *_mark_layers(bottom=bottom),
        _text("legend_words", field="text", x=LEGEND_WIDTH + 8, fontSize=SMALL_SIZE),
    ]


def _layer(data: str, mark: Spec, **encoding: object) -> Spec:
    """Return one layer over a named dataset."""
    return {"name": f"layer_{data}", "data": {"name": data}, "mark": mark, "encoding": encoding}


def _x(field: str, **more: object) -> Spec:
    """Return a place in time."""
    return {"field": field, "type": "temporal", "axis": None, **more}


def _y(field: str) -> Spec:
    """Return a height in pixels from the top."""
    return {"field": field, "type": "quantitative", "scale": None, "axis": None}


def _axis_layers(x_scale: Spec, *, bottom: float) -> list[Spec]:
    """Return the light lines of the time axis and the words below them."""
    return [
        _layer(
            "ticks",
            {"type": "rule", "stroke": HAIRLINE, "strokeWidth": 0.8},
            x=_x("x", scale=x_scale),
            y={"value": 0},
            y2={"value": bottom + 3},
        ),
        {
            **_layer(
                "ticks",
                {
                    "type": "text",
                    "align": "center",
                    "baseline": "top",
                    "fontSize": SMALL_SIZE,
                    "fill": MUTED,
                },
                x=_x("x"),
                y={"value": bottom + AXIS_LABEL_GAP},
                text={"field": "label"},
            ),
            "name": "layer_tick_labels",
        },
    ]


def _row_layers() -> list[Spec]:
    """Return rules between rows, labels on the left and verdicts on the right."""
    strong = {"stroke": INK, "strokeWidth": 1}
    return [
        _across("rules", {"stroke": HAIRLINE, "strokeWidth": 0.5}),
        _across("strong_rules", strong),
        _layer(
            "baselines",
            {"type": "rule", "stroke": MUTED, "strokeWidth": 0.7, "strokeDash": [0.7, 3]},
            y=_y("y"),
            x={"value": 0},
            x2={"value": PLOT_WIDTH},
        ),
        _text("labels", field="lines", x=LABEL_LEFT),
        _text("headings", field="lines", x=LABEL_LEFT, fontWeight=600, fill=MUTED),
        _text("together", field="lines", x=LABEL_LEFT, fontWeight=600),
        _text("verdicts", field="lines", x=WORD_LEFT, fontSize=SMALL_SIZE),
        _text("empty", field="text", x=PLOT_WIDTH - 4, align="right", fontSize=SMALL_SIZE),
    ]


def _across(data: str, look: Spec) -> Spec:
    """Return rules from the labels' left edge to the verdicts' right edge."""
    return _layer(
        data,
        {"type": "rule", **look},
        y=_y("y"),
        x={"value": LABEL_LEFT},
        x2={"value": FAR_RIGHT},
    )


def _text(data: str, *, field: str, x: float, **look: object) -> Spec:
    """Return texts at one distance from the left, each centred on its height."""
    mark = {
        "type": "text",
        "align": "left",
        "baseline": "middle",
        "lineHeight": LINE,
        "fontSize": TYPE_SIZE,
        **look,
    }
    return _layer(data, mark, x={"value": x}, y=_y("y"), text={"field": field})


def _box_layers(certain: str, possible: str, strokes: str) -> list[Spec]:
    """Return solid boxes, outlined boxes, and the strokes that hatch the outlined ones."""
    place = {"x": _x("left"), "x2": {"field": "right"}, "y": _y("top"), "y2": {"field": "bottom"}}
    tooltip = [{"field": name} for name in ("label", "from", "until")]
    return [
        _layer(certain, {"type": "rect", "fill": BAR}, **place, tooltip=tooltip),
        _layer(possible, {"type": "rect", "fill": PAPER}, **place, tooltip=tooltip),
        _layer(
            strokes,
            {"type": "rule", "stroke": BAR, "strokeWidth": 0.9},
            x=_x("x"),
            x2={"field": "x2"},
            y=_y("y"),
            y2={"field": "y2"},
        ),
        {
            **_layer(
                possible,
                {"type": "rect", "fill": None, "stroke": BAR, "strokeWidth": 0.9},
                **place,
                tooltip=tooltip,
            ),
            "name": f"layer_{possible}_outline",
        },
    ]


def _beyond_layers() -> list[Spec]:
    """Return arrowheads at the edges for what goes on beyond them."""
    look = {"type": "point", "filled": True, "fill": BAR, "size": 55, "opacity": 1}
    return [
        _layer(
            "goes_on",
            {**look, "shape": "triangle-right"},
            x={"value": PLOT_WIDTH + 4},
            y=_y("y"),
        ),
        _layer("began_before", {**look, "shape": "triangle-left"}, x={"value": -4}, y=_y("y")),
    ]


def _mark_layers(*, bottom: float) -> list[Spec]:
    """Return the lines of days pointed at, their labels, and check points on the rows."""
    end = {"value": bottom + 3}
    return [
        _layer(
            "marks",
            {"type": "rule", "stroke": INK, "strokeWidth": 0.9, "strokeDash": [4, 3]},
            x=_x("x"),
            y=_y("y"),
            y2=end,
        ),
        _layer(
            "assessed",
            {"type": "rule", "stroke": INK, "strokeWidth": 1.3},
            x=_x("x"),
            y=_y("y"),
            y2=end,
        ),
        _layer(
            "mark_labels",
            {
                "type": "text",
                "align": "left",
                "baseline": "middle",
                "fontSize": SMALL_SIZE,
                "dx": 4,
            },
            x=_x("x"),
            y=_y("y"),
            text={"field": "label"},
        ),
        *map(_check_points, ("check_points", "legend_check_point")),
    ]


def _check_points(data: str) -> Spec:
    """Return white diamonds, seen on bars and on paper alike."""
    look = {"filled": True, "fill": PAPER, "stroke": INK, "strokeWidth": 1.2, "opacity": 1}
    mark = {"type": "point", "shape": "diamond", "size": 46, **look}
    return _layer(data, mark, x=_x("x"), y=_y("y"))
