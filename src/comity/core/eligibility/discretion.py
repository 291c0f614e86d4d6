"""The case for discretion: what a file says where the authority decides case by case.

A letter of facts. Every sentence of it is measured from the applicant's file or copied from the
rulebook; what nothing in the file speaks to is left to the applicant.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from comity.core.days.calendar import Day
from comity.core.eligibility.assessment import (
    Assessment,
    Remedy,
    RequirementResult,
    SourceNote,
    Verdict,
)
from comity.core.eligibility.deciding import is_close
from comity.core.eligibility.evidence import (
    how_known,
    missing_papers,
    papers_for,
    speaking_entries,
    work_now,
)
from comity.core.eligibility.reading import sections_of
from comity.core.eligibility.view import plain_day
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS
from comity.core.rulebook.editions import (
    edition_by_id,
    requirement_by_id,
    target_of,
    title_of,
    walk,
)
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.kinds.combining import Refer, SameAs
from comity.core.rulebook.model import Rulebook
from comity.core.rulebook.phrases import closed, opened, together

_PASSED: Final = {Verdict.MET, Verdict.NOT_APPLICABLE}


@dataclass(frozen=True, slots=True)
class LetterRow:
    """A requirement the letter is about: what is asked for, what there is, what is lacking."""

    label: str
    needed: str
    has: str
    shortfall: str
    source: str


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter of facts to an authority that may use its discretion.

    Parameters
    ----------
    to, sender : tuple of str
        Addresses, a line each.
    on : Day
        The letter's date.
    subject : str
        One line.
    facts : tuple of str
        Paragraphs.
    rows : tuple of LetterRow
        The requirements concerned.
    speaks_for : tuple of str
        What speaks for discretion, a sentence each.
    papers : tuple of str
        What to attach.
    cautions : tuple of str
        For the sender, on a page of their own that is not sent.
    """

    to: tuple[str, ...]
    sender: tuple[str, ...]
    on: Day
    subject: str
    facts: tuple[str, ...] = ()
    rows: tuple[LetterRow, ...] = ()
    speaks_for: tuple[str, ...] = ()
    papers: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Concern:
    """A requirement the letter is about."""

    result: RequirementResult
    requirement: Requirement | None

    @property
    def refers(self) -> tuple[Refer, ...]:
        """What the rulebook says of deciding case by case, inside the requirement."""
        if self.requirement is None:
            return ()
        return tuple(each for _path, each in walk(self.requirement) if isinstance(each, Refer))

    @property
    def is_conflict(self) -> bool:
        """Whether the authority's own texts differ on it."""
        return bool(self.result.conflict)


@dataclass(frozen=True, slots=True)
class Case:
    """A case for discretion: a letter, or why there is none and what could be done instead.

    Parameters
    ----------
    letter : Letter or None
        None where there is nothing to ask discretion for.
    says : tuple of str
        Sentences for the applicant where there is no letter.
    """

    letter: Letter | None
    says: tuple[str, ...] = ()


def case_for_discretion(
    assessment: Assessment, *, applicant: Applicant, rulebook: Rulebook
) -> Case:
    """Return the letter for what the authority decides case by case, or misses by little.

    Parameters
    ----------
    assessment : Assessment
        Of one title on one day.
    applicant : Applicant
        The file it was made from.
    rulebook : Rulebook
        The authority's, which names who decides and what they look at.
    """
    concerns = tuple(
        Concern(result, _requirement(result, assessment, rulebook))
        for result in assessment.requirements
        if _is_concern(result, assessment)
    )
    concerns = tuple(each for each in concerns if _is_asked_by_authority(each))
    if not concerns:
        return Case(None, tuple(_instead(assessment)))
    letter = Letter(
        to=_addressee(rulebook, concerns),
        sender=(assessment.applicant_name,),
        on=assessment.on,
        subject=_subject(assessment, concerns),
        facts=tuple(_facts(assessment, concerns)),
        rows=tuple(_row(each) for each in concerns),
        speaks_for=tuple(_speaks_for(assessment, concerns, applicant)),
        papers=papers_for(applicant, _sections(concerns)),
        cautions=tuple(_cautions(assessment, concerns, applicant)),
    )
    return Case(letter)


def _is_concern(result: RequirementResult, assessment: Assessment) -> bool:
    return result.verdict is Verdict.REFER or (
        result.verdict is Verdict.NOT_MET
        and (is_close(result) or result.id in assessment.never_together)
    )


def _is_asked_by_authority(concern: Concern) -> bool:
    return concern.requirement is None or concern.requirement.demanded_by == "authority"


def _requirement(
    result: RequirementResult, assessment: Assessment, rulebook: Rulebook
) -> Requirement | None:
    """Return the requirement which a result is of; that which `same as` points to."""
    edition = edition_by_id(rulebook, result.edition)
    title = None if edition is None else title_of(edition, assessment.title)
    if edition is None or title is None:
        return None
    listed = requirement_by_id(title, result.id.rsplit("/", 1)[-1])
    if listed is not None and isinstance(listed.requirement, SameAs):
        found = target_of(edition, title, name=listed.requirement.requirement)
        listed = found[1] if found else listed
    return None if listed is None else listed.requirement


def _sections(concerns: Sequence[Concern]) -> tuple[str, ...]:
    """Return the sections of the file that speak to the requirements, in the file's order."""
    read: set[str] = set()
    for concern in concerns:
        if concern.requirement is not None:
            read |= sections_of(concern.requirement) or set(SECTIONS)
    return tuple(section for section in SECTIONS if section in read)


# ------------------------------------------------------------------------------------ address


def _addressee(rulebook: Rulebook, concerns: Sequence[Concern]) -> tuple[str, ...]:
    deciders = [refer.decided_by for concern in concerns for refer in concern.refers]
    lines = [rulebook.authority.name, *dict.fromkeys(opened(each) for each in deciders)]
    if rulebook.authority.contact:
        lines.append(opened(rulebook.authority.contact))
    return tuple(dict.fromkeys(lines))


def _subject(assessment: Assessment, concerns: Sequence[Concern]) -> str:
    if all(concern.is_conflict for concern in concerns):
        asked = "a question on your requirements"
    elif all(concern.result.verdict is Verdict.REFER for concern in concerns):
        asked = "request to look at my case"
    else:
        asked = "request to accept what falls a little short"
    return f"{assessment.title_name}: {asked}"


# -------------------------------------------------------------------------------------- facts


def _facts(assessment: Assessment, concerns: Sequence[Concern]) -> Iterator[str]:
    names = together(f"“{concern.result.label}”" for concern in concerns)
    yield (
        f"I wish to apply to you: {assessment.title_name}. This letter is about {names}, as your "
        f"requirements stand for {plain_day(assessment.on)}. {_how_many_are_met(assessment)}"
    )
    for concern in concerns:
        yield _conflict(concern) if concern.is_conflict else _situation(concern)
    if assessment.never_together:
        yield assessment.answer.lead
    yield _request(concerns)


def _how_many_are_met(assessment: Assessment) -> str:
    counted = [
        each for each in assessment.requirements if each.verdict is not Verdict.NOT_APPLICABLE
    ]
    met = sum(each.verdict is Verdict.MET for each in counted)
    return f"Of the {len(counted)} requirements that concern me, {met} are met on that day."


def _situation(concern: Concern) -> str:
    result = concern.result
    sentences = [f"{result.label} ({_cited(result.source)}). You ask: {closed(result.says)}"]
    if result.reason and result.verdict is Verdict.NOT_MET:
        sentences.append(f"The facts: {closed(result.reason)}")
    remedy = result.remedy
    if result.verdict is Verdict.NOT_MET and remedy is not None and remedy.earliest is not None:
        sentences.append(
            f"{_by_what(remedy)} it could be met from {plain_day(remedy.earliest)} at the earliest."
        )
    return " ".join(sentences)


def _by_what(remedy: Remedy) -> str:
    """Return how it would come to be met, as the beginning of a sentence."""
    if remedy.what.startswith("Keep working"):
        return "If my work goes on as it does now,"
    if remedy.what.startswith(("Wait", "As the file has it")):
        return "By waiting alone"
    return "By my own doing"


def _conflict(concern: Concern) -> str:
    """Name the readings side by side; which of them holds is for the authority to say."""
    result = concern.result
    readings = [
        f"{opened(_cited(source))}: {closed(part.says)} By this reading: {part.verdict.value} "
        f"({part.reason})."
        for source, part in zip(result.conflict, result.children, strict=False)
    ]
    return f"Your texts differ on “{result.label}”. {' '.join(readings)}"


def _request(concerns: Sequence[Concern]) -> str:
    asks = []
    if any(concern.is_conflict for concern in concerns):
        asks.append("tell me which of these readings holds")
    if any(not concern.is_conflict for concern in concerns):
        asks.append("look at these facts and tell me whether you can accept them")
    return f"I ask you to {together(asks)}, and what else you would need to see."


def _cited(source: SourceNote) -> str:
    return ", ".join(part for part in (source.document, source.edition, source.section) if part)


def _row(concern: Concern) -> LetterRow:
    result = concern.result
    if result.needed is None or result.amount is None or result.verdict is Verdict.REFER:
        asked = "your texts differ" if concern.is_conflict else "decided case by case"
        return LetterRow(result.label, asked, "", "", _cited(result.source))
    over = " over" if result.amount > result.needed else ""
    return LetterRow(
        result.label,
        _measure(result.needed, result.unit),
        result.amount_said or _measure(result.amount, result.unit),
        f"{_shortfall(result)}{over}",
        _cited(result.source),
    )


def _shortfall(result: RequirementResult) -> str:
    return result.shortfall_said or _measure(result.shortfall or 0, result.unit)


def _measure(amount: float, unit: str | None) -> str:
    """Return an amount with its unit: ``1 month``, ``1.42 months``, ``1 point in reading``."""
    noun, *rest = (unit or "").split(" ")
    return " ".join((f"{amount:g}", noun.removesuffix("s") if amount == 1 else noun, *rest))


# --------------------------------------------------------------------------------- speaks for


def _speaks_for(
    assessment: Assessment, concerns: Sequence[Concern], applicant: Applicant
) -> Iterator[str]:
    for concern in concerns:
        if is_close(concern.result):
            yield _smallness(concern.result)
    for result in assessment.requirements:
        if _is_beyond(result):
            amount = result.amount_said or _measure(result.amount or 0, result.unit)
            yield f"{result.label}: {amount}, where you ask for {result.needed:g}."
    yield from work_now(applicant)
    for concern in concerns:
        for factor in _factors(concern):
            found = speaking_entries(factor, applicant)
            if found:
                yield f"You look at {factor}. On that: {together(found)}."
    yield from how_known(applicant, _sections(concerns))


def _smallness(result: RequirementResult) -> str:
    missed = f"{result.label}: by {_shortfall(result)}"
    if (result.amount or 0) > (result.needed or 0):
        allowed = _measure(result.needed or 0, result.unit)
        return f"{missed} over the {allowed} allowed, and by no more."
    return f"{missed} short of the {result.needed:g} asked for, and by no more."


def _is_beyond(result: RequirementResult) -> bool:
    return (
        result.verdict is Verdict.MET
        and result.deemed_by is None
        and result.amount is not None
        and bool(result.needed)
        and result.amount > (result.needed or 0)
    )


def _factors(concern: Concern) -> tuple[str, ...]:
    return tuple(factor for refer in concern.refers for factor in refer.factors)


# ----------------------------------------------------------------------------------- cautions


def _cautions(
    assessment: Assessment, concerns: Sequence[Concern], applicant: Applicant
) -> Iterator[str]:
    labels = {concern.result.id for concern in concerns}
    others = [each for each in assessment.requirements if each.id not in labels]
    blocking = [each.label for each in others if each.verdict is Verdict.NOT_MET]
    if blocking:
        yield f"Discretion here does not help with what is not met besides: {together(blocking)}."
    unknown = [each.label for each in others if each.verdict is Verdict.UNKNOWN]
    if unknown:
        yield f"Still to be known: {together(unknown)}."
    for concern in concerns:
        for factor in _factors(concern):
            if not speaking_entries(factor, applicant):
                yield (
                    f"They look at {factor}. Nothing in the file speaks to it; add what you can "
                    "show, or leave it out."
                )
    yield from missing_papers(applicant, _sections(concerns), _to_prepare(concerns))
    yield "Every sentence is measured from the file. Correct it, and add what only you can tell."
    yield from assessment.cautions


def _to_prepare(concerns: Sequence[Concern]) -> tuple[str, ...]:
    wanted = (thing for each in concerns for refer in each.refers for thing in refer.prepare)
    return tuple(dict.fromkeys(wanted))


# ------------------------------------------------------------------------------------ instead


def _instead(assessment: Assessment) -> Iterator[str]:
    """Yield why there is nothing to ask discretion for, and what else could be done."""
    if assessment.verdict in _PASSED:
        yield f"There is nothing to ask discretion for: {assessment.verdict.value} on that day."
        yield assessment.plain_answer
        return
    if assessment.verdict is Verdict.UNKNOWN:
        yield "It is too early for a letter: the answer still hangs on facts that are not known."
        yield assessment.plain_answer
        return
    yield (
        "Nothing here is left to the authority's discretion, and nothing is missed by so little "
        "that a letter of facts would be likely to help:"
    )
    for result in assessment.requirements:
        if result.verdict is Verdict.NOT_MET:
            yield f"{result.label}: {closed(result.reason or 'not met')}"
    yield assessment.plain_answer
    yield "Other titles and other authorities may ask for less: compare them with comity assess."
