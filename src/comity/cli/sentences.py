"""One assessment in sentences, what decides it first."""

from __future__ import annotations

import shutil
import textwrap
from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import (
    Assessment,
    RequirementResult,
    SourceNote,
    Verdict,
    Window,
)

MARKS: Final = {
    Verdict.MET: "✓",
    Verdict.NOT_MET: "✗",
    Verdict.UNKNOWN: "?",
    Verdict.NOT_APPLICABLE: "–",
    Verdict.REFER: "→",
}
ALWAYS_PERHAPS: Final = Window(None, None, "possible")
"""Nothing is known; no dates to show."""
_NARROWEST: Final = 40
_WIDEST: Final = 100


class Line(NamedTuple):
    """A paragraph: how deep it stands, and what hangs before it."""

    text: str
    depth: int = 0
    mark: str = ""


def laid_out(lines: Iterable[Line]) -> str:
    """Return the lines within the width of the terminal."""
    width = min(_WIDEST, max(_NARROWEST, shutil.get_terminal_size().columns))
    return "\n".join(_filled(line, width) for line in lines)


def _filled(line: Line, width: int) -> str:
    if "\n" in line.text:
        opening, *rest = line.text.splitlines()
        beneath = [Line(*_numbered(text, line.depth)) for text in rest]
        return "\n".join(_filled(each, width) for each in (line._replace(text=opening), *beneath))
    if not line.text:
        return ""
    first = "  " * line.depth + (f"{line.mark} " if line.mark else "")
    return textwrap.fill(
        line.text,
        width=width,
        initial_indent=first,
        subsequent_indent=" " * len(first),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _numbered(text: str, depth: int) -> tuple[str, int, str]:
    """Return a line of a numbered list with its number hanging before it, else as it is."""
    number, dot, rest = text.partition(". ")
    return (rest, depth, f"{number}.") if dot and number.isdigit() else (text, depth, "")


def answer_lines(assessment: Assessment) -> Iterator[Line]:
    """Yield an assessment as paragraphs."""
    yield Line(
        f"{assessment.applicant_name} as {assessment.title_name} "
        f"at {assessment.authority_name}, on {iso(assessment.on)}"
    )
    yield Line("")
    yield Line(assessment.plain_answer)
    yield from _open_dates(assessment)
    yield from _requirements(assessment)
    yield from _changes(assessment)
    yield Line("")
    yield from (Line(text, mark="·") for text in (*assessment.notes, *assessment.cautions))


def _open_dates(assessment: Assessment) -> Iterator[Line]:
    if any(window != ALWAYS_PERHAPS for window in assessment.windows):
        yield Line("")
        yield Line("Open dates, when everything checked at submission holds together:")
        yield from (Line(window_text(window), 1, "·") for window in assessment.windows)
    if assessment.if_stops_until is not None:
        day = iso(assessment.if_stops_until)
        yield Line(f"If you stop working now, this closes on {day}.")
    if (
        assessment.earliest is not None
        and assessment.earliest > assessment.on
        and assessment.verdict is not Verdict.MET
    ):
        yield Line(f"Soonest, once everything below is done: {iso(assessment.earliest)}.")


def window_text(window: Window) -> str:
    """Return a run of open dates in words."""
    start = "" if window.start is None else f"from {iso(window.start)}"
    until = "" if window.until is None else f"until {iso(window.until)}"
    both = " ".join(part for part in (start, until) if part) or "always"
    if window.until is None and window.start is not None:
        both += " on, with no end in sight"
    return (
        both if window.certainty == "certain" else f"{both} (possibly: some facts are not certain)"
    )


def _requirements(assessment: Assessment) -> Iterator[Line]:
    later = dict(assessment.milestones)
    first = next(iter(later), "submission")
    for result in assessment.requirements:
        yield Line("")
        when = (
            "" if result.at == first else f", checked at {later.get(result.at, result.at).lower()}"
        )
        yield Line(f"{result.label}: {result.verdict.value}{when}", 0, MARKS[result.verdict])
        yield from _details(result, on=assessment.on)


def _details(result: RequirementResult, *, on: Day) -> Iterator[Line]:
    yield Line(f"{result.says}.", 1)
    if result.reason and result.verdict is not Verdict.NOT_APPLICABLE:
        yield Line(f"{result.reason[:1].upper()}{result.reason[1:]}.", 1)
    if result.deemed_by:
        yield Line(f"Satisfied otherwise: {result.deemed_by.replace('-', ' ')}.", 1)
    if result.verdict is Verdict.MET and result.until is not None:
        yield Line(f"Holds until {iso(result.until)}.", 1)
    if result.missing:
        yield Line(f"Still to be known: {', '.join(result.missing)}.", 1)
    if result.remedy is not None:
        earliest = result.remedy.earliest
        day = f" (from {iso(earliest)})" if earliest is not None and earliest > on else ""
        yield Line(f"What would fix it: {result.remedy.what}{day}.", 1)
        if result.remedy.detail:
            yield Line(f"{result.remedy.detail[:1].upper()}{result.remedy.detail[1:]}.", 2)
    if result.conflict:
        cited = " / ".join(source_text(source) for source in result.conflict)
        yield Line(f"Sources that disagree: {cited}.", 1)
    yield Line(f"Source: {source_text(result.source)}; edition {result.edition}.", 1)


def source_text(source: SourceNote) -> str:
    """Return a source as one would cite it."""
    parts = [source.document, source.edition, source.section]
    if source.read is not None:
        parts.append(f"read {iso(source.read)}")
    return ", ".join(part for part in parts if part)


def _changes(assessment: Assessment) -> Iterator[Line]:
    for change in assessment.coming:
        yield Line("")
        yield Line(
            f"From {iso(change.start)} edition {change.edition} applies: "
            f"the answer goes from {change.verdict_before.value} to {change.verdict_after.value}"
            + (f" ({', '.join(change.requirements)})." if change.requirements else "."),
            mark="!",
        )
