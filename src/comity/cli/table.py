"""Many assessments as one table."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from io import StringIO
from typing import TYPE_CHECKING, Final

from comity.cli.sentences import MARKS, Line, laid_out
from comity.core.days.calendar import iso
from comity.core.eligibility.assessment import Assessment, RequirementResult, Verdict

if TYPE_CHECKING:
    from rich.table import Table

_NARROWEST: Final = 60
_WIDEST: Final = 120
SOON_DAYS: Final = 60
"""An open date that closes within two months is news."""


def comparison(assessments: Sequence[Assessment]) -> str:
    """Return a table with a line for each applicant and title, within the terminal's width.

    On a terminal too narrow for columns, paragraphs say the same.
    """
    width = min(_WIDEST, shutil.get_terminal_size().columns)
    if width < _NARROWEST:
        cautions = (Line(text) for text in _cautions(assessments))
        return laid_out((*_paragraphs(assessments), *cautions))
    return "\n".join((*_table_lines(assessments, width), *_cautions(assessments)))


def _paragraphs(assessments: Sequence[Assessment]) -> Iterator[Line]:
    for assessment in assessments:
        title = f"{assessment.applicant}: {assessment.authority}/{assessment.title}"
        parts = (assessment.verdict.value, _day(assessment), _deciding(assessment))
        yield Line(title, mark=MARKS[assessment.verdict])
        yield Line("; ".join(part for part in parts if part), 1)


def _table_lines(assessments: Sequence[Assessment], width: int) -> list[str]:
    from rich.console import Console  # noqa: PLC0415 - Rich is slow to load

    out = StringIO()
    Console(file=out, width=width, no_color=True, highlight=False, markup=False).print(
        _table(assessments)
    )
    return [line.rstrip() for line in out.getvalue().splitlines()]


def _table(assessments: Sequence[Assessment]) -> Table:
    from rich import box  # noqa: PLC0415
    from rich.table import Table  # noqa: PLC0415

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for heading in ("Applicant", "Title", "Answer", "Until / from", "What decides"):
        table.add_column(heading, overflow="fold")
    for assessment in assessments:
        table.add_row(*row_of(assessment))
    return table


def row_of(assessment: Assessment) -> tuple[str, str, str, str, str]:
    """Return one line of the table."""
    return (
        assessment.applicant,
        f"{assessment.authority}/\n{assessment.title}",
        f"{MARKS[assessment.verdict]} {assessment.verdict.value}",
        _day(assessment),
        _deciding(assessment),
    )


def _day(assessment: Assessment) -> str:
    if assessment.verdict is Verdict.MET:
        current = assessment.windows[0].until if assessment.windows else None
        return "" if current is None else f"until {iso(current)}"
    if assessment.earliest is None:
        return ""
    day = f"from {iso(assessment.earliest)}"
    if assessment.earliest_is_own_pace and assessment.earliest <= assessment.on:
        day = "once done"
    return f"{day}, perhaps" if assessment.earliest_is_conditional else day


def _deciding(assessment: Assessment) -> str:
    first = next(iter(assessment.requirements), None)
    if first is None:
        return ""
    more = sum(each.verdict is first.verdict for each in assessment.requirements) - 1
    is_met = first.verdict in {Verdict.MET, Verdict.NOT_APPLICABLE}
    others = "" if is_met or not more else f" (and {more} more)"
    return f"{first.label}{_shortfall(first)}{others}{_news(assessment)}"


def _news(assessment: Assessment) -> str:
    """Return what an adviser scans for: dates that close soon, and answers that will change."""
    news = ""
    current = assessment.windows[0].until if assessment.windows else None
    if assessment.verdict is Verdict.MET and current is not None:
        left = current - assessment.on
        news = f"; closes in {left} days" if left <= SOON_DAYS else ""
    for change in assessment.coming:
        news += f"; {change.verdict_after.value} from {iso(change.start)}"
    return news


def _shortfall(result: RequirementResult) -> str:
    if result.verdict is not Verdict.NOT_MET or not result.shortfall:
        return ""
    return f": {result.shortfall:g} {result.unit} {'over' if _is_over(result) else 'short'}"


def _is_over(result: RequirementResult) -> bool:
    return result.amount is not None and result.needed is not None and result.amount > result.needed


def _cautions(assessments: Sequence[Assessment]) -> list[str]:
    """Return what must be said beside the answers, each once, what concerns all of them."""
    if not assessments:
        return ["Nothing to compare."]
    shared = [
        caution
        for caution in assessments[0].cautions
        if all(caution in each.cautions for each in assessments)
    ]
    more = "Each answer in sentences: the same call with --details."
    return ["", more, *(f"· {caution}" for caution in shared)]
