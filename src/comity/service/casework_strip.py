"""The window strip of an answer as a page draws it: compiled for Vega, wide and narrow.

Compiling takes longer than assessing. All strips of one shape compile to the same drawing but for
their data, height and span, so that one is compiled a process and the others are put in its place.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from comity.charts.palette import SCHEMA, base_config
from comity.charts.span import Span, sensible_span
from comity.charts.strip import strip_spec
from comity.charts.strip_bars import Scale
from comity.charts.strip_layers import AXIS_LABEL_GAP, layers
from comity.charts.strip_layout import PLOT_WIDTH
from comity.charts.strip_narrow import NARROW_WIDTH, narrow_layers, narrow_strip_spec
from comity.charts.strip_text import strip_sentences

if TYPE_CHECKING:
    from comity.charts.palette import Spec
    from comity.core.eligibility.assessment import Assessment

_BOTTOM: Final = 77777.0
"""A height no strip has, to be found again in what was compiled."""
_SPAN: Final = Span(11111, 22222)
_BELOW: Final = 3
"""How far lines go below the last row."""


@dataclass(frozen=True, slots=True)
class PageStrip:
    """A strip to be shown.

    Parameters
    ----------
    wide, narrow : dict
        Vega specifications.
    sentences : tuple of str
        The same in words.
    """

    wide: Spec
    narrow: Spec
    sentences: tuple[str, ...]


def page_strip(assessment: Assessment) -> PageStrip:
    """Return the window strip of an answer for a page."""
    span = sensible_span(assessment)
    return PageStrip(
        compiled(strip_spec(assessment, span=span), span=span, is_narrow=False),
        compiled(narrow_strip_spec(assessment, span=span), span=span, is_narrow=True),
        strip_sentences(assessment),
    )


def compiled(spec: Spec, *, span: Span, is_narrow: bool) -> Spec:
    """Return a strip's specification compiled for Vega, without a ground of its own."""
    names = tuple(spec["datasets"])
    text = _stock(names, is_narrow=is_narrow)
    bottom = spec["height"]
    for found, put in (
        (_BOTTOM + _BELOW, bottom + _BELOW),
        (_BOTTOM + AXIS_LABEL_GAP, bottom + AXIS_LABEL_GAP),
        (_BOTTOM, bottom),
    ):
        text = text.replace(f"{found:.0f}", f"{put:g}")
    for day, place in ((_SPAN.start, span.start), (_SPAN.end, span.end)):
        old, new = Scale(_SPAN).time_of(day), Scale(span).time_of(place)
        # The interpreter that the page reads expressions with takes one number for a year.
        text = text.replace(f"datetime({old})", str(new))
    vega: Spec = json.loads(text)
    for each in vega["data"]:
        if each["name"] in spec["datasets"]:
            each["values"] = spec["datasets"][each["name"]]
    return {**vega, "description": spec["description"], "background": None}


def untold(vega: Spec) -> Spec:
    """Return a specification whose marks assistive programs pass over.

    The page gives the whole of it in words beside the drawing.
    """
    return {**vega, "marks": [{**mark, "aria": False} for mark in vega["marks"]]}


@lru_cache(maxsize=4)
def _stock(names: tuple[str, ...], *, is_narrow: bool) -> str:
    """Return a compiled strip without data, as text."""
    import vl_convert  # noqa: PLC0415 - loaded only when a strip is shown: commands start fast

    make = narrow_layers if is_narrow else layers
    spec: dict[str, Any] = {
        "$schema": SCHEMA,
        "config": base_config(),
        "width": NARROW_WIDTH if is_narrow else PLOT_WIDTH,
        "height": _BOTTOM,
        "padding": 3,
        "datasets": {name: [] for name in names},
        "layer": make(scale=Scale(_SPAN), bottom=_BOTTOM),
    }
    return json.dumps(untold(vl_convert.vegalite_to_vega(spec)))
