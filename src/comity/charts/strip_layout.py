"""Where the rows of a window strip stand: measures in pixels, from the top down."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

from comity.charts.labels import wrapped
from comity.core.eligibility.assessment import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.charts.wording import ChartWording
    from comity.core.eligibility.assessment import Assessment, RequirementResult, Window

RowKind = Literal["requirement", "heading", "together"]

PLOT_WIDTH: Final = 318.0
LABEL_WIDTH: Final = 204.0
GUTTER: Final = 14.0
VERDICT_WIDTH: Final = 68.0
FAR_RIGHT: Final = PLOT_WIDTH + GUTTER + VERDICT_WIDTH
TYPE_SIZE: Final = 10.5
SMALL_SIZE: Final = 9.0
LINE: Final = 13.0
ROW_PADDING: Final = 9.0
CROWDED_PADDING: Final = 5.0
LEAST_ROW: Final = 23.0
BAR_HEIGHT: Final = 11.0
MOST_LINES: Final = 3
CROWDED: Final = 16
"""With more rows than this, labels get two lines instead of three, and less room."""
SUBMISSION: Final = "submission"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the strip: a requirement, a heading between groups, or all of them together."""

    kind: RowKind
    label: str
    at: str = ""
    verdict: Verdict | None = None
    windows: tuple[Window, ...] = ()
    lines: tuple[str, ...] = ()
    word: tuple[str, ...] = ()
    top: float = 0.0
    height: float = 0.0

    @property
    def middle(self) -> float:
        """Return the height at which the row's bars are centred."""
        return self.top + self.height / 2

    @property
    def bottom(self) -> float:
        """Return the row's lower edge."""
        return self.top + self.height

    @property
    def applies(self) -> bool:
        """Tell whether the row says anything about days."""
        return self.kind != "heading" and self.verdict is not Verdict.NOT_APPLICABLE


def rows_of(assessment: Assessment, *, wording: ChartWording) -> tuple[Row, ...]:
    """Return the rows of the strip, laid out.

    What is checked at submission comes first with the days on which all of it holds below; what is
    checked at a later milestone follows, since it does not narrow those days.
    """
    first = [row for row in assessment.requirements if row.at == SUBMISSION]
    later = [row for row in assessment.requirements if row.at != SUBMISSION]
    together = Row(
        "together",
        wording.together,
        at=SUBMISSION,
        verdict=assessment.verdict,
        windows=assessment.windows,
    )
    heading = [Row("heading", wording.at_submission)] if first and later else []
    groups = _later_groups(later, names=dict(assessment.milestones), wording=wording)
    return _laid_out([*heading, *map(_row, first), together, *groups], wording=wording)


def _later_groups(
    later: Sequence[RequirementResult], *, names: dict[str, str], wording: ChartWording
) -> list[Row]:
    """Return the rows of later check points, a heading before each group."""
    rows: list[Row] = []
    for milestone in dict.fromkeys(row.at for row in later):
        name = names.get(milestone) or milestone.replace("_", " ").replace("-", " ")
        rows.append(Row("heading", wording.later.format(milestone=name)))
        rows.extend(_row(row) for row in later if row.at == milestone)
    return rows


def _row(result: RequirementResult) -> Row:
    """Return the row of one requirement, not yet placed."""
    return Row(
        "requirement",
        result.label,
        at=result.at,
        verdict=result.verdict,
        windows=result.windows,
    )


def _laid_out(rows: Sequence[Row], *, wording: ChartWording) -> tuple[Row, ...]:
    """Break the labels into lines and stack the rows."""
    placed: list[Row] = []
    top = 0.0
    is_crowded = len(rows) > CROWDED
    for row in rows:
        placed.append(_placed(row, top=top, is_crowded=is_crowded, wording=wording))
        top = placed[-1].bottom
    return tuple(placed)


def _placed(row: Row, *, top: float, is_crowded: bool, wording: ChartWording) -> Row:
    """Return the row with its lines and its place."""
    if row.kind == "heading":
        return replace(row, lines=(row.label,), top=top, height=LEAST_ROW + 5)
    most_lines = MOST_LINES - 1 if is_crowded else MOST_LINES
    padding = CROWDED_PADDING if is_crowded else ROW_PADDING
    lines = wrapped(row.label, width=LABEL_WIDTH, size=TYPE_SIZE, most_lines=most_lines)
    word = wrapped(
        wording.verdicts[row.verdict] if row.verdict else "",
        width=VERDICT_WIDTH,
        size=SMALL_SIZE,
        most_lines=2,
    )
    height = max(LEAST_ROW, LINE * len(lines) + padding, LINE * len(word) + 4)
    extra = 8.0 if row.kind == "together" else 0.0
    return replace(row, lines=lines, word=word, top=top, height=height + extra)


def paged(rows: Sequence[Row], *, most_height: float) -> tuple[tuple[Row, ...], ...]:
    """Cut the rows into as few pages of at most `most_height` as will do, evenly filled.

    A heading stays with the row below it.
    """
    n_pages = len(_cut(rows, most_height=most_height))
    limit = rows[-1].bottom / n_pages
    while len(_cut(rows, most_height=limit)) > n_pages:
        limit = min(limit + LINE, most_height)
    return _cut(rows, most_height=limit)


def _cut(rows: Sequence[Row], *, most_height: float) -> tuple[tuple[Row, ...], ...]:
    """Fill one page after the other."""
    pages: list[list[Row]] = [[]]
    top = 0.0
    for row, following in zip(rows, (*rows[1:], None), strict=True):
        needed = row.height
        if row.kind == "heading" and following is not None:
            needed += following.height
        if pages[-1] and top + needed > most_height:
            pages.append([])
            top = 0.0
        pages[-1].append(replace(row, top=top))
        top += row.height
    return tuple(map(tuple, pages))
