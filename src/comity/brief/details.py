"""The pages for the adviser: every requirement with amounts, dates, remedy and source."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from comity.brief.plain import SUBMISSION, as_sentence
from comity.core.eligibility.assessment import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from comity.brief.wording import DetailWording, Wording
    from comity.core.eligibility.assessment import (
        Assessment,
        ComingChange,
        RequirementResult,
        SourceNote,
    )

MOST_UNBROKEN: Final = 1_400
"""A row of more characters than this may be broken across pages."""
DEEPEST_INDENT: Final = 3


@dataclass(frozen=True, slots=True)
class Line:
    """A named line below a requirement."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class RequirementRow:
    """One requirement of the table."""

    depth: int
    label: str
    says: str
    reason: str
    lines: tuple[Line, ...]
    verdict: str
    word: str
    at: str
    amounts: tuple[str, ...]
    dates: tuple[str, ...]
    is_unbroken: bool


@dataclass(frozen=True, slots=True)
class Details:
    """All texts of one chapter."""

    facts: tuple[Line, ...]
    rows: tuple[RequirementRow, ...]
    conditions: tuple[str, ...]
    by_hand: tuple[str, ...]
    unread: str
    coming: tuple[str, ...]
    stale: tuple[str, ...]
    notes: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


def details(
    assessment: Assessment,
    *,
    wording: Wording,
    said: Callable[[Sequence[str]], tuple[str, ...]] = tuple,
) -> Details:
    """Return the chapter of one assessment; `said` names missing facts by their paths."""
    assessment = _with_missing_said(assessment, said)
    return Details(
        facts=tuple(_facts(assessment, wording=wording)),
        rows=tuple(_rows(assessment.requirements, assessment, wording=wording)),
        conditions=assessment.conditions,
        by_hand=assessment.by_hand_open,
        unread="" if assessment.wholly_read else wording.detail.unread,
        coming=tuple(_coming(change, assessment, wording=wording) for change in assessment.coming),
        stale=tuple(map(wording.spoken, assessment.stale)),
        notes=tuple(map(wording.spoken, assessment.notes)),
        sources=tuple(_sources(assessment, wording=wording)),
        cautions=tuple(map(wording.spoken, assessment.cautions)),
    )


def _with_missing_said(
    assessment: Assessment, said: Callable[[Sequence[str]], tuple[str, ...]]
) -> Assessment:
    """Return the assessment with names in place of the paths of missing facts."""
    question = assessment.next_question
    return replace(
        assessment,
        requirements=tuple(_missing_said(result, said) for result in assessment.requirements),
        next_question=None if question is None else ", ".join(said((question,))),
    )


def _missing_said(
    result: RequirementResult, said: Callable[[Sequence[str]], tuple[str, ...]]
) -> RequirementResult:
    return replace(
        result,
        missing=said(result.missing),
        children=tuple(_missing_said(child, said) for child in result.children),
    )


def _facts(assessment: Assessment, *, wording: Wording) -> Iterator[Line]:
    """Yield what was assessed, for whom and when."""
    words = wording.detail
    editions = dict.fromkeys(result.edition for result in _all(assessment.requirements))
    told = {
        "applicant": _named(assessment.applicant_name, assessment.applicant),
        "title": _named(assessment.title_name, assessment.title),
        "authority": _named(assessment.authority_name, assessment.authority),
        "on": wording.day(assessment.on),
        "assumption": _assumption(assessment, words=words),
        "pathway": assessment.pathway or "",
        "edition": ", ".join(edition for edition in editions if edition),
    }
    yield from (Line(words.facts[name], text) for name, text in told.items() if text)
    if assessment.next_question:
        yield Line(words.next_question, assessment.next_question)


def _named(name: str, identifier: str) -> str:
    """Return a name with its id in brackets."""
    return f"{name} ({identifier})" if name and name != identifier else identifier


def _assumption(assessment: Assessment, *, words: DetailWording) -> str:
    """Return what was assumed of practice going on, and the verdict under the other assumption."""
    said = words.assumptions[assessment.assumption]
    if assessment.other_assumption is None:
        return said
    other = words.other_assumption.format(verdict=words.verdicts[assessment.other_assumption])
    return f"{said}; {other}"


def _all(results: tuple[RequirementResult, ...]) -> Iterator[RequirementResult]:
    """Yield the requirements with their parts."""
    for result in results:
        yield result
        yield from _all(result.children)


def _rows(
    results: tuple[RequirementResult, ...],
    assessment: Assessment,
    *,
    wording: Wording,
    depth: int = 0,
) -> Iterator[RequirementRow]:
    """Yield a row for each requirement, its parts below it."""
    names = dict(assessment.milestones)
    for result in results:
        yield _row(result, depth=depth, names=names, wording=wording)
        yield from _rows(
            _parts_shown(result), assessment, wording=wording, depth=min(depth + 1, DEEPEST_INDENT)
        )


def _parts_shown(result: RequirementResult) -> tuple[RequirementResult, ...]:
    """Return the parts to list: of a whole that is met, those which make it so."""
    if result.verdict is not Verdict.MET:
        return result.children
    holding = tuple(part for part in result.children if part.verdict is Verdict.MET)
    return holding or result.children


def _row(
    result: RequirementResult, *, depth: int, names: Mapping[str, str], wording: Wording
) -> RequirementRow:
    """Return the row of one requirement."""
    lines = tuple(_lines(result, wording=wording))
    texts = (result.label, result.says, result.reason, *(line.text for line in lines))
    milestone = names.get(result.at) or result.at
    is_later = result.at not in {"", SUBMISSION}
    return RequirementRow(
        depth=depth,
        label=wording.spoken(result.label),
        says=wording.spoken(as_sentence(result.says)),
        reason=wording.spoken(as_sentence(result.reason)),
        lines=lines,
        verdict=result.verdict,
        word=wording.detail.verdicts[result.verdict],
        at=wording.detail.checked_at.format(milestone=milestone) if is_later else "",
        amounts=tuple(_amounts(result, words=wording.detail)),
        dates=tuple(_dates(result, wording=wording)),
        is_unbroken=sum(map(len, texts)) <= MOST_UNBROKEN,
    )


def _amounts(result: RequirementResult, *, words: DetailWording) -> Iterator[str]:
    """Yield how much there is of how much, and the shortfall."""
    unit = result.unit or ""
    is_over = (result.amount or 0) > (result.needed or 0)
    if result.amount_said and result.needed is not None:
        asked = words.allowed if is_over else words.asked
        yield f"{result.amount_said}; {asked.format(needed=number(result.needed), unit=unit)}"
    elif result.amount is not None and result.needed is not None:
        yield words.amount.format(
            amount=number(result.amount), needed=number(result.needed), unit=unit
        ).strip()
    elif result.amount is not None:
        yield words.amount_alone.format(amount=number(result.amount), unit=unit).strip()
    if result.shortfall:
        said = result.shortfall_said or f"{number(result.shortfall)} {unit}".strip()
        yield (words.over_by if is_over else words.short_by).format(shortfall=said)


def number(value: float) -> str:
    """Return a number with at most two decimals and no idle zeros."""
    return f"{value:,.2f}".rstrip("0").rstrip(".").replace(",", "\N{NO-BREAK SPACE}")


def _dates(result: RequirementResult, *, wording: Wording) -> Iterator[str]:
    """Yield the run of days that counts for the verdict."""
    if result.verdict is Verdict.NOT_APPLICABLE:
        return
    if result.start is not None or result.until is not None:
        yield wording.chart.span(result.start, result.until)
    elif result.verdict is Verdict.MET:
        yield wording.always
    elif result.windows:
        window = result.windows[0]
        said = wording.chart.holds if window.certainty == "certain" else wording.chart.may_hold
        yield said.format(span=wording.chart.span(window.start, window.until))
    else:
        yield wording.detail.no_date


def _lines(result: RequirementResult, *, wording: Wording) -> Iterator[Line]:
    """Yield remedy, missing facts, deeming, conflict and source."""
    words = wording.detail
    if result.remedy is not None:
        earliest = result.remedy.earliest
        parts = [
            result.remedy.what,
            "" if earliest is None else words.earliest.format(day=wording.day(earliest)),
            result.remedy.detail,
        ]
        yield Line(words.remedy, wording.spoken(sentences(parts)))
    if result.missing:
        yield Line(words.missing, ", ".join(result.missing))
    if result.deemed_by:
        yield Line(words.deemed, result.deemed_by)
    if result.conflict:
        yield Line(words.conflict, "; ".join(cited(source) for source in result.conflict))
    yield Line(words.source, cited(result.source))


def sentences(parts: list[str]) -> str:
    """Join texts to sentences, each with its capital and its full stop."""
    return " ".join(filter(None, map(as_sentence, parts)))


def cited(source: SourceNote) -> str:
    """Return a source as an adviser would cite it, without the day it was read."""
    return ", ".join(part for part in (source.document, source.section, source.edition) if part)


def _sources(assessment: Assessment, *, wording: Wording) -> Iterator[str]:
    """Yield each source once, with the day it was read."""
    words = wording.detail
    found: dict[str, None] = {}
    for result in _all(assessment.requirements):
        for source in (result.source, *result.conflict):
            read = (
                words.never_read
                if source.read is None
                else words.read_on.format(day=wording.day(source.read))
            )
            found[", ".join(part for part in (cited(source), source.url, read) if part)] = None
    yield from found


def _coming(change: ComingChange, assessment: Assessment, *, wording: Wording) -> str:
    """Return a coming edition and what it does to the verdict."""
    words = wording.detail
    labels = {result.id: result.label for result in _all(assessment.requirements)}
    is_same = change.verdict_before is change.verdict_after
    line = (words.coming_same if is_same else words.coming_line).format(
        edition=change.edition,
        day=wording.day(change.start),
        before=words.verdicts[change.verdict_before],
        after=words.verdicts[change.verdict_after],
    )
    concerned = ", ".join(labels.get(key, key) for key in change.requirements)
    return f"{line} {words.concerns.format(labels=concerned)}" if concerned else line
