"""One requirement on one day: verdict, days, amounts, what is missing, what would fix it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from comity.core.days.calendar import FOREVER, Day
from comity.core.eligibility import (
    findings_combined,
    findings_education,
    findings_examinations,
    findings_language,
    findings_papers,
    findings_person,
    findings_points,
    findings_practice,
    findings_recency,
    findings_updating,
)
from comity.core.eligibility.assessment import (
    Remedy,
    RequirementResult,
    SourceNote,
    Verdict,
    Window,
)
from comity.core.eligibility.context import days_of, undeemed_days
from comity.core.eligibility.edition_days import Top
from comity.core.eligibility.findings_combined import parts_shown
from comity.core.eligibility.missing import missing_facts, named
from comity.core.eligibility.reading import by_identity
from comity.core.eligibility.remedies import Mended, can_be_settled_otherwise, mend
from comity.core.eligibility.triple import Days
from comity.core.eligibility.view import Finding, View, finding
from comity.core.rulebook import editions
from comity.core.rulebook.kinds.base import Requirement, Source
from comity.core.rulebook.kinds.combining import Conflict
from comity.core.rulebook.model import Deems, Edition, Title
from comity.core.rulebook.naming import names_of
from comity.core.rulebook.phrases import together
from comity.core.rulebook.prose import SUBMISSION, sentence

EXPLAINERS = (
    findings_combined,
    findings_education,
    findings_examinations,
    findings_language,
    findings_papers,
    findings_person,
    findings_points,
    findings_practice,
    findings_recency,
    findings_updating,
)
"""Each of these enters what it can say of its kinds when it is imported."""

Run = tuple[Day, Day]
_NEEDS_NOTHING = {Verdict.MET, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN}


@dataclass(frozen=True, slots=True)
class Judged:
    """A listed requirement with its result and the way to mend it."""

    top: Top
    days: Days
    result: RequirementResult
    mended: Mended | None


def judge(top: Top, days: Days, view: View) -> Judged:
    """Return what one listed requirement says on the day.

    Parameters
    ----------
    top : Top
        The requirement as listed in the edition that applies.
    days : Days
        Its days over all editions, certain rows first, a row for each assumption.
    view : View
        The applicant and the day.
    """
    requirement, at = top.listed.requirement, top.listed.at
    case = _Case(
        requirement,
        days,
        days.verdict(view.row, view.on),
        id=editions.full_id(view.edition.authority.id, title=view.title.id, requirement=top.id),
        label=editions.label_of(requirement),
        at=at,
        source=top.listed.source,
        says=said_of(requirement, view, at=at),
        pathway=top.pathway,
    )
    mended = None
    if case.verdict not in _NEEDS_NOTHING or can_be_settled_otherwise(requirement, view):
        mended = mend(requirement, view, wait_until=days.first_day(view.row, view.on))
    result = _result(case, view, remedy=mended.remedy if mended else None, runs=windows(days, view))
    return Judged(top, days, result, mended)


@dataclass(frozen=True, slots=True)
class _Case:
    """A requirement with its days, and where and as what it stands."""

    requirement: Requirement
    days: Days
    verdict: Verdict
    id: str
    label: str
    at: str
    source: Source | None
    says: str
    pathway: str | None = None


def _result(
    case: _Case, view: View, *, remedy: Remedy | None = None, runs: tuple[Window, ...] = ()
) -> RequirementResult:
    """Return what a requirement says on the day, with its parts."""
    requirement, verdict = case.requirement, case.verdict
    start, until = _bounds(case.days, verdict, view)
    deemer = deemed_by(requirement, view) if verdict is Verdict.MET else None
    missing = missing_facts(requirement, view) if verdict is Verdict.UNKNOWN else ()
    found = _said(case, view, because=deemer or missing)
    # What does not apply is not taken apart: its parts would only raise questions.
    has_parts = verdict is not Verdict.NOT_APPLICABLE
    return RequirementResult(
        id=case.id,
        label=case.label,
        at=case.at,
        edition=view.edition.rulebook,
        verdict=verdict,
        start=start,
        until=until,
        amount=found.amount,
        needed=found.needed,
        unit=found.unit,
        shortfall=found.shortfall,
        amount_said=found.amount_said,
        shortfall_said=found.shortfall_said,
        missing=missing,
        deemed_by=deemer.id if deemer else None,
        remedy=remedy,
        source=source_note(case.source, view),
        says=case.says,
        reason=found.reason,
        windows=runs,
        children=parts_of(requirement, view, case.source) if has_parts else (),
        conflict=conflicting_sources(requirement, view),
        demanded_by=requirement.demanded_by,
    )


def _said(case: _Case, view: View, *, because: Deems | tuple[str, ...]) -> Finding:
    """Return what stands behind a verdict; measured only where its own facts decide.

    `because` is the circumstance that satisfies it, or the facts which are missing.
    """
    if case.verdict is Verdict.NOT_APPLICABLE:
        return Finding(reason=_why_not_applicable(case, view))
    if isinstance(because, Deems):
        return Finding(reason=f"satisfied by: {because.label}")
    found = finding(case.requirement, view)
    if not because:
        return found
    names = named(because, view.applicant)
    reason = f"not certain yet; still open: {together(names)}"
    return replace(found, reason=reason) if found.amount else Finding(reason=reason)


def _why_not_applicable(case: _Case, view: View) -> str:
    when, unless = case.requirement.when, case.requirement.unless
    if unless is not None and view.verdict(unless) is Verdict.MET:
        reason = finding(unless, view).reason
        return f"does not apply: {reason}" if reason else "does not apply"
    if when is not None and view.verdict(when) is not Verdict.MET:
        said = said_of(when, view, at=SUBMISSION)
        return f"does not apply: only with {said[:1].lower()}{said[1:]}"
    labels = (f": only for {each.label}" for each in view.title.pathways if each.id == case.pathway)
    return f"does not apply{next(labels, '')}"


def said_of(requirement: Requirement, view: View, *, at: str) -> str:
    """Return what a requirement asks, with the names its edition gives to codes."""
    return _sentences(view.title).said(requirement, edition=view.edition, at=at)


class _Sentences:
    """The sentences of one title's requirements, each made once."""

    def __init__(self, title: Title) -> None:
        self._title = title
        self._known: dict[tuple[int, str], str] = {}

    def said(self, requirement: Requirement, *, edition: Edition, at: str) -> str:
        """Return the sentence of a requirement of the title."""
        key = id(requirement), at
        if key not in self._known:
            names, examinations = names_of(edition, self._title)
            self._known[key] = sentence(requirement, at=at, names=names, examinations=examinations)
        return self._known[key]


_sentences = by_identity(_Sentences)


def parts_of(
    requirement: Requirement, view: View, source: Source | None
) -> tuple[RequirementResult, ...]:
    """Return the results of the parts of a combined requirement; they inherit its source."""
    return tuple(_part(part, inner, source) for part, inner in parts_shown(requirement, view))


def _part(requirement: Requirement, view: View, around: Source | None) -> RequirementResult:
    label = editions.label_of(requirement)
    if view.context.each is not None:
        label = f"{label} ({view.name_of(view.context.each.value)})"
    days = days_of(requirement, view.context)
    case = _Case(
        requirement,
        days,
        days.verdict(view.row, view.on),
        id=requirement.id or "",
        label=label,
        at=requirement.at or "",
        source=requirement.source or around,
        says=said_of(requirement, view, at=requirement.at or SUBMISSION),
    )
    return _result(case, view)


def _bounds(days: Days, verdict: Verdict, view: View) -> tuple[Day | None, Day | None]:
    """Return the current run of days if it is met, else the next certain one."""
    held = days.na if verdict is Verdict.NOT_APPLICABLE and days.na is not None else days.yes
    is_now = verdict in {Verdict.MET, Verdict.NOT_APPLICABLE}
    day = view.on if is_now else days.first_yes(view.row, view.on)
    run = None if day is None else held.run_at(view.row, day)
    return (None, None) if run is None else shown(*run)


def shown(start: Day, end: Day) -> tuple[Day | None, Day | None]:
    """Return a half-open run as people read it: both ends included, None where it is open."""
    return (start if start > 0 else None), (end - 1 if end < FOREVER else None)


def windows(days: Days, view: View) -> tuple[Window, ...]:
    """Return the runs of days from the day asked on, certain and possible, without overlap."""
    held = days.yes if days.na is None else days.yes | days.na
    certain = held.runs_of(view.row)
    maybe = _outside(held.runs_of(view.twin), certain)
    found = [Window(*shown(*run), "certain") for run in certain if run[1] > view.on]
    found += [Window(*shown(*run), "possible") for run in maybe if run[1] > view.on]
    return tuple(sorted(found, key=lambda window: window.start or 0))


def _outside(runs: Sequence[Run], others: Sequence[Run]) -> list[Run]:
    """Return the runs less the days of other runs; both are in order and disjoint."""
    left: list[Run] = []
    for start, end in runs:
        begin = start
        for other_start, other_end in others:
            if other_end <= begin or other_start >= end:
                continue
            if other_start > begin:
                left.append((begin, other_start))
            begin = max(begin, other_end)
        if begin < end:
            left.append((begin, end))
    return left


def source_note(source: Source | None, view: View) -> SourceNote:
    """Return where a requirement is written, completed from the edition's list of documents."""
    if source is None:
        return SourceNote(view.edition.summary or view.edition.rulebook, read=view.edition.read)
    document = view.edition.sources.get(source.document)
    return SourceNote(
        document=document.title if document else source.document,
        section=source.section or "",
        edition=source.edition or (document.edition if document else None) or "",
        read=source.read or (document.read if document else None) or view.edition.read,
        url=source.url or (document.url if document else None) or "",
    )


def deemed_by(requirement: Requirement, view: View) -> Deems | None:
    """Return the circumstance which alone makes the requirement hold."""
    circumstances = [deems for deems in view.title.deems if requirement.id in deems.satisfies]
    if not circumstances:
        return None
    own = undeemed_days(requirement, view.context)
    if own.verdict(view.row, view.on) is Verdict.MET:
        return None
    holding = (deems for deems in circumstances if view.verdict(deems.when) is Verdict.MET)
    return next(holding, None)


def conflicting_sources(requirement: Requirement, view: View) -> tuple[SourceNote, ...]:
    """Return the sources which disagree, if the requirement stores a conflict."""
    if not isinstance(requirement, Conflict):
        return ()
    return tuple(source_note(part.source or requirement.source, view) for part in requirement.of)
