"""The window strip in words: a sentence a row, for screen readers and for the PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.charts.strip_layout import rows_of
from comity.charts.wording import ENGLISH, ChartWording

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.charts.strip_layout import Row
    from comity.core.eligibility.assessment import Assessment, Window


def strip_sentences(
    assessment: Assessment,
    *,
    wording: ChartWording = ENGLISH,
    rows: Iterable[Row] | None = None,
) -> tuple[str, ...]:
    """Return what the strip shows: its title, the assessed day, then a sentence a row.

    Parameters
    ----------
    assessment : Assessment
        What is drawn.
    wording : ChartWording
        The chart's own words.
    rows : iterable of Row, optional
        Only these rows of the strip; all by default.
    """
    title = wording.title.format(
        title=assessment.title_name or assessment.title,
        authority=assessment.authority_name or assessment.authority,
    )
    assessed = wording.assessed.format(day=wording.day(assessment.on))
    shown = rows_of(assessment, wording=wording) if rows is None else rows
    return (f"{title}.", f"{assessed}.", *(_sentence(row, wording=wording) for row in shown))


def _sentence(row: Row, *, wording: ChartWording) -> str:
    """Return one row in words."""
    if row.verdict is None:
        return f"{row.label}:"
    verdict = wording.verdicts[row.verdict]
    if not row.applies:
        return f"{row.label}: {verdict}."
    return f"{row.label}: {verdict}, {_days(row.windows, wording=wording)}."


def _days(windows: Iterable[Window], *, wording: ChartWording) -> str:
    """Return the windows of a row in words."""
    parts = [
        (wording.holds if window.certainty == "certain" else wording.may_hold).format(
            span=wording.span(window.start, window.until)
        )
        for window in windows
    ]
    return wording.joiner.join(parts) or wording.no_day
