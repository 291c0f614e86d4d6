"""The window strip: one row a requirement, time across.

Certain days are solid bars, possible days are outlined and hatched; below stand the days on which
everything checked at submission holds together. The same specification serves page and PDF.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.charts.palette import SCHEMA, Spec, base_config
from comity.charts.strip_bars import Scale
from comity.charts.strip_data import bar_data, legend_data, mark_data, row_data, tick_data
from comity.charts.strip_layers import layers
from comity.charts.strip_layout import PLOT_WIDTH, paged, rows_of
from comity.charts.strip_marks import Mark, marks_of, placed_marks
from comity.charts.strip_text import strip_sentences
from comity.charts.wording import ENGLISH, ChartWording

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.charts.span import Span
    from comity.charts.strip_layout import Row
    from comity.core.eligibility.assessment import Assessment

LEGEND_GAP: Final = 30.0


def strip_spec(
    assessment: Assessment,
    *,
    span: Span,
    wording: ChartWording = ENGLISH,
    marks: Sequence[Mark] = (),
) -> Spec:
    """Return the Vega-Lite specification of an assessment's window strip.

    Parameters
    ----------
    assessment : Assessment
        What is drawn.
    span : Span
        The days shown; windows reaching beyond it end in an arrowhead.
    wording : ChartWording
        The chart's own words.
    marks : sequence of Mark
        Further days to point at; the assessed day and coming editions are added.

    Returns
    -------
    dict
        A layered specification whose datasets have names: ``labels``, ``certain``, ``possible``,
        ``hatching``, ``together``, ``marks``, ``check_points`` and others. Its ``description`` is
        the text alternative.
    """
    rows = rows_of(assessment, wording=wording)
    return _spec(assessment, rows=rows, span=span, wording=wording, marks=marks)


def strip_parts(
    assessment: Assessment,
    *,
    span: Span,
    most_height: float,
    wording: ChartWording = ENGLISH,
    marks: Sequence[Mark] = (),
) -> tuple[Spec, ...]:
    """Return the window strip as drawings of limited height, for pages; each stands alone.

    Parameters
    ----------
    assessment, span, wording, marks
        As for `strip_spec`.
    most_height : float
        Pixels for the rows of one drawing; marks, axis and legend come on top.
    """
    pages = paged(rows_of(assessment, wording=wording), most_height=most_height)
    return tuple(
        _spec(assessment, rows=rows, span=span, wording=wording, marks=marks) for rows in pages
    )


def _spec(
    assessment: Assessment,
    *,
    rows: Sequence[Row],
    span: Span,
    wording: ChartWording,
    marks: Sequence[Mark],
) -> Spec:
    """Return the specification of some rows."""
    scale = Scale(span)
    placed = placed_marks(marks_of(assessment, further=marks, wording=wording), scale=scale)
    bottom = rows[-1].bottom
    return {
        "$schema": SCHEMA,
        "description": " ".join(strip_sentences(assessment, wording=wording, rows=rows)),
        "config": base_config(),
        "width": PLOT_WIDTH,
        "height": bottom,
        "padding": 3,
        "datasets": {
            **tick_data(scale=scale, wording=wording),
            **row_data(rows, scale=scale),
            **bar_data(rows, scale=scale, wording=wording),
            **mark_data(placed, scale=scale, rows=rows),
            **legend_data(bottom + LEGEND_GAP, scale=scale, wording=wording),
        },
        "layer": layers(scale=scale, bottom=bottom),
    }
