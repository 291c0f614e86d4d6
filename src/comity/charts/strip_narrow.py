"""The window strip for a narrow screen: each row's words stand above its bars."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from comity.charts.labels import wrapped
from comity.charts.palette import SCHEMA, Spec, base_config
from comity.charts.strip import LEGEND_GAP
from comity.charts.strip_bars import Scale
from comity.charts.strip_data import bar_data, legend_data, mark_data, row_data, tick_data
from comity.charts.strip_layers import LABEL_LEFT, WORD_LEFT, layers
from comity.charts.strip_layout import (
    BAR_HEIGHT,
    FAR_RIGHT,
    LEAST_ROW,
    LINE,
    PLOT_WIDTH,
    TYPE_SIZE,
    VERDICT_WIDTH,
    Row,
    rows_of,
)
from comity.charts.strip_marks import marks_of, placed_marks
from comity.charts.strip_text import strip_sentences
from comity.charts.wording import ENGLISH, ChartWording

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.charts.span import Span
    from comity.core.eligibility.assessment import Assessment

NARROW_WIDTH: Final = 276.0
"""What a phone of 360 pixels leaves between the page's edges."""
_BAR_ROOM: Final = BAR_HEIGHT + 12.0
_LABEL_ROOM: Final = 8.0
_LINES: Final = {"assessed", "marks"}
_PLACES: Final[Mapping[float, float]] = {
    LABEL_LEFT: 0.0,
    WORD_LEFT: NARROW_WIDTH,
    FAR_RIGHT: NARROW_WIDTH,
    PLOT_WIDTH: NARROW_WIDTH,
    PLOT_WIDTH + 4: NARROW_WIDTH + 4,
    PLOT_WIDTH - 4: NARROW_WIDTH - 4,
}
"""Where what stands at a distance from the left in the wide strip stands in the narrow one."""


def narrow_strip_spec(
    assessment: Assessment, *, span: Span, wording: ChartWording = ENGLISH
) -> Spec:
    """Return the specification of a window strip that fits a phone.

    The same datasets, layers and description as those of `strip_spec`.
    """
    scale = Scale(span)
    rows = rows_of(assessment, wording=wording)
    words, bars = _laid_out(rows)
    placed = placed_marks(marks_of(assessment, further=(), wording=wording), scale=scale)
    bottom = bars[-1].bottom
    data = row_data(words, scale=scale)
    return {
        "$schema": SCHEMA,
        "description": " ".join(strip_sentences(assessment, wording=wording, rows=rows)),
        "config": base_config(),
        "width": NARROW_WIDTH,
        "height": bottom,
        "padding": 3,
        "datasets": {
            **tick_data(scale=scale, wording=wording),
            **data,
            "baselines": row_data(bars, scale=scale)["baselines"],
            "strong_rules": _strong_rules(words, bars),
            **bar_data(bars, scale=scale, wording=wording),
            **_in_pieces(mark_data(placed, scale=scale, rows=bars), bars),
            **legend_data(bottom + LEGEND_GAP, scale=scale, wording=wording),
        },
        "layer": narrow_layers(scale=scale, bottom=bottom),
    }


def narrow_layers(*, scale: Scale, bottom: float) -> list[Spec]:
    """Return the layers of the wide strip, their fixed places moved."""
    return [_moved(layer) for layer in layers(scale=scale, bottom=bottom)]


def _moved(layer: Spec) -> Spec:
    encoding = {name: _placed(name, channel) for name, channel in layer["encoding"].items()}
    mark = layer["mark"]
    if layer["data"]["name"] == "verdicts":
        mark = {**mark, "align": "right"}
    if layer["data"]["name"] in _LINES:
        encoding["y2"] = {"field": "y2"}
    return {**layer, "mark": mark, "encoding": encoding}


def _placed(name: str, channel: Any) -> Any:  # noqa: ANN401
    if name in {"x", "x2"} and isinstance(channel, dict) and channel.get("value") in _PLACES:
        return {"value": _PLACES[channel["value"]]}
    return channel


def _in_pieces(
    data: Mapping[str, list[dict[str, Any]]], bars: Sequence[Row]
) -> dict[str, list[dict[str, Any]]]:
    """Return the lines of days pointed at, cut so that none crosses the words of a row."""
    room = [(row.top, row.bottom) for row in bars if row.height]
    return {
        name: [
            {**each, "y": top, "y2": bottom}
            for each in values
            for top, bottom in [(-9.0, 0.0), *room]
        ]
        if name in _LINES
        else values
        for name, values in data.items()
    }


def _laid_out(rows: Sequence[Row]) -> tuple[list[Row], list[Row]]:
    """Return where the words of each row stand, and where its bars."""
    words: list[Row] = []
    bars: list[Row] = []
    top = 0.0
    for row in rows:
        lines, height = _words(row)
        bar_room = 0.0 if row.kind == "heading" else _BAR_ROOM
        words.append(replace(row, lines=lines, top=top, height=height))
        bars.append(replace(row, top=top + height, height=bar_room))
        top = bars[-1].bottom
    return words, bars


def _words(row: Row) -> tuple[tuple[str, ...], float]:
    if row.kind == "heading":
        return row.lines, LEAST_ROW + 5
    width = NARROW_WIDTH - VERDICT_WIDTH - 8
    lines = wrapped(row.label, width=width, size=TYPE_SIZE, most_lines=3)
    return lines, LINE * max(len(lines), len(row.word)) + _LABEL_ROOM


def _strong_rules(words: Sequence[Row], bars: Sequence[Row]) -> list[dict[str, Any]]:
    return [
        {"y": y}
        for word, bar in zip(words, bars, strict=True)
        if word.kind == "together"
        for y in (word.top, bar.bottom)
    ]
