"""The schedule on a page: the days on which one may hand in behind the bars, and a narrow form.

The specification is that of `comity.charts.schedule`, so that page and PDF show the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from comity.charts.labels import estimated_width, wrapped
from comity.charts.palette import BAR, Spec
from comity.charts.schedule import ROW, schedule_span, schedule_spec
from comity.core.days.calendar import iso

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.charts.schedule import Bar, Schedule
    from comity.charts.span import Span
    from comity.core.days.dayset import Run

NARROW_WIDTH: Final = 270
"""What a phone of 360 pixels leaves between the page's edges."""
_LINE: Final = 13
_TYPE: Final = 10.5
_BAR_ROOM: Final = 26
_MARK_ROOM: Final = 14
_NAMES_TOP: Final = 34
"""From the foot of the bars to the first line of names of milestones; the days stand between."""
_APART: Final = 6
_PLACED: Final = ("bars", "marks", "instants", "spreads", "sittings")


def page_schedule(
    schedule: Schedule, *, windows: Sequence[Run], what: str, is_plain: bool = False
) -> Spec:
    """Return the specification of a schedule for a page.

    Parameters
    ----------
    schedule : Schedule
        What is drawn.
    windows : sequence of Run
        Half-open runs of days on which the first milestone may lie.
    what : str
        The first milestone's name.
    is_plain : bool
        Say nothing of chances.
    """
    spec = schedule_spec(schedule)
    _say_more(spec, schedule, is_plain=is_plain)
    return _with_windows(spec, schedule, windows=windows, what=what)


def narrow_schedule(spec: Spec, schedule: Schedule) -> Spec:
    """Return a page's specification so that it fits a phone: words stand above their bars."""
    labels = [_label(bar) for bar in schedule.bars]
    tops, height = [], 0
    for lines in labels:
        tops.append(height)
        height += _LINE * len(lines) + _BAR_ROOM
    old = len(schedule.bars) * ROW
    data = dict(spec["datasets"])
    for name in _PLACED:
        data[name] = [_moved(row, labels, tops) for row in data[name]]
    for name in ("today", "points", "ticks", "windows"):
        data[name] = [_stretched(row, height) for row in data[name]]
    data["points"] = _names_apart(data["points"], schedule_span(schedule), height)
    data["labels"] = [
        {"y": tops[index] + _LINE * (n + 0.5) + 2, "text": line}
        for index, lines in enumerate(labels)
        for n, line in enumerate(lines)
    ]
    return {
        **spec,
        "title": {**spec["title"], "text": ""},
        "width": NARROW_WIDTH,
        "height": height,
        "datasets": data,
        "layer": [_narrowed(_scaled(layer, old, height)) for layer in spec["layer"]],
    }


def _label(bar: Bar) -> tuple[str, ...]:
    width = NARROW_WIDTH - _MARK_ROOM
    return wrapped(f"{bar.label} ({bar.party})", width=width, size=_TYPE, most_lines=3)


def _say_more(spec: Spec, schedule: Schedule, *, is_plain: bool) -> None:
    """Put what a bar says when it is pointed at: its days, their spread, what it holds up."""
    said = {
        f"{bar.label}: {iso(bar.start)} to {iso(bar.end)}": _said(bar, is_plain=is_plain)
        for bar in schedule.bars
    }
    for name in ("bars", "instants"):
        for row in spec["datasets"][name]:
            row["says"] = said.get(row["says"], row["says"])


def _said(bar: Bar, *, is_plain: bool) -> str:
    days = iso(bar.end) if bar.start == bar.end else f"{iso(bar.start)} to {iso(bar.end)}"
    lines = [f"{bar.label} ({bar.party})", days]
    if bar.early < bar.late:
        lines.append(f"may end between {iso(bar.early)} and {iso(bar.late)}")
    if not is_plain and bar.criticality:
        lines.append(f"holds up the end in {round(100 * bar.criticality)} of 100 cases")
    elif bar.holds_up:
        lines.append("everything waits for this")
    return "\n".join(lines)


def _with_windows(spec: Spec, schedule: Schedule, *, windows: Sequence[Run], what: str) -> Spec:
    """Return the specification with the days on which one may hand in as bands behind it."""
    span = schedule_span(schedule)
    rows = [
        {
            "x": max(start, span.start),
            "x2": min(until, span.end),
            "y": 0,
            "y2": spec["height"],
            "says": f"{what}: {_open(start, until, last=span.end)}",
        }
        for start, until in windows
        if start < span.end
        and until > span.start
        # Where every day will do there is nothing to point at.
        and (start > schedule.today or until < span.end)
    ]
    bars = next(each for each in spec["layer"] if each["data"]["name"] == "bars")
    band = {
        **bars,
        "data": {"name": "windows"},
        "mark": {"type": "rect", "clip": True, "color": BAR, "fillOpacity": 0.12},
    }
    return {
        **spec,
        "datasets": {**spec["datasets"], "windows": rows},
        "layer": [band, *spec["layer"]],
    }


def _open(start: int, until: int, *, last: int) -> str:
    if until >= last:
        return f"open from {iso(start)} on"
    return f"open from {iso(start)} to {iso(until - 1)}"


# ----------------------------------------------------------------------------------------- narrow


def _moved(
    row: Mapping[str, Any], labels: Sequence[Sequence[str]], tops: Sequence[int]
) -> dict[str, Any]:
    """Return what stands in a row of the wide form where it stands in the narrow one."""
    middle = row.get("middle", row.get("y", 0))
    index = min(int(middle // ROW), len(tops) - 1)
    at = tops[index] + _LINE * len(labels[index]) + _BAR_ROOM / 2
    shift = at - middle
    return {
        **row,
        **{name: row[name] + shift for name in ("y", "y2", "middle") if name in row},
        "label_y": tops[index] + _LINE * 0.5 + 2,
    }


def _stretched(row: Mapping[str, Any], height: int) -> dict[str, Any]:
    return {**row, **({"y2": height} if "y2" in row else {})}


def _names_apart(
    points: Sequence[Mapping[str, Any]], span: Span, height: int
) -> list[dict[str, Any]]:
    """Return check points with their names within the picture, each on the first line with room."""
    a_day = NARROW_WIDTH / (span.end - span.start)
    found: list[dict[str, Any]] = []
    ends: list[float] = []
    for point in points:
        (text,) = wrapped(point["text"], width=NARROW_WIDTH, size=_TYPE, most_lines=1)
        half = estimated_width(text, size=_TYPE) / 2
        middle = min(max((point["x"] - span.start) * a_day, half), NARROW_WIDTH - half)
        line = next((n for n, end in enumerate(ends) if end + _APART <= middle - half), len(ends))
        ends[line : line + 1] = [middle + half]
        found.append(
            {
                **point,
                "text": text,
                "text_x": span.start + middle / a_day,
                "text_y": height + _NAMES_TOP + _LINE * line,
            }
        )
    return found


def _scaled(value: Any, old: int, new: int) -> Any:  # noqa: ANN401 - any part of a specification
    """Return a layer in which the old height is the new one."""
    if isinstance(value, dict):
        return {
            key: {"value": new} if each == {"value": old} else _scaled(each, old, new)
            for key, each in value.items()
        }
    if isinstance(value, list):
        return [0, new] if value == [0, old] else [_scaled(each, old, new) for each in value]
    return value


def _narrowed(layer: dict[str, Any]) -> dict[str, Any]:
    """Return a layer whose words stand above the bars."""
    name, encoding = layer["data"]["name"], layer["encoding"]
    if name == "labels":
        left = {**layer["mark"], "align": "left"}
        return {**layer, "mark": left, "encoding": {**encoding, "x": {"value": _MARK_ROOM}}}
    if name == "marks":
        y = {**encoding["y"], "field": "label_y"}
        return {**layer, "encoding": {**encoding, "x": {"value": 5}, "y": y}}
    if name == "points" and "text" in encoding:
        return {**layer, "encoding": {**encoding, "x": {**encoding["x"], "field": "text_x"}}}
    return layer
