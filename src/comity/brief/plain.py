"""The page for the applicant: the answer, why, what next, by when, and whom to write to."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.period import Period
from comity.core.eligibility.assessment import Verdict

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from comity.brief.wording import Wording
    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import (
        Assessment,
        PlainStep,
        RequirementResult,
        Window,
    )

PERHAPS: Final = "perhaps: "
MOST_REASONS: Final = 4
MOST_BEFORE: Final = 6
MOST_AFTER: Final = 2
SUBMISSION: Final = "submission"
FAR: Final = Period(months=24)
"""What lies farther ahead is no advice; a case for discretion is."""
SPEAKING_ORDER: Final = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.REFER)
BY_HAND: Final = "reviews/"
CODE: Final = re.compile(r"%|per ?cent|\b\w+[/_]\w+|\b[A-Z]{3,}\b")
"""What does not belong on this page: percentages, paths, ids and abbreviations."""


@dataclass(frozen=True, slots=True)
class Reason:
    """A requirement that decides, and what stands against or for it."""

    verdict: str
    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Step:
    """Something to do, and from when it would help."""

    what: str
    when: str = ""


@dataclass(frozen=True, slots=True)
class PlainPage:
    """All texts of the page."""

    title: str
    authority: str
    verdict: str
    answer: str
    sentence: str
    asides: tuple[str, ...]
    reasons: tuple[Reason, ...]
    reasons_after: str
    steps: tuple[Step, ...]
    dates: tuple[str, ...]
    contact: str


def paths_in_words(paths: Sequence[str]) -> tuple[str, ...]:
    """Return missing facts by their paths, where nobody knows the file they are missing in."""
    return tuple(map(question_in_words, paths))


def plain_page(
    assessment: Assessment,
    *,
    wording: Wording,
    contact: str,
    said: Callable[[Sequence[str]], tuple[str, ...]] = paths_in_words,
) -> PlainPage:
    """Return the page of one assessment in the applicant's words.

    `said` turns the paths of missing facts into what people call them.
    """
    reasons = _deciding(assessment) or _in_order(assessment) or assessment.requirements
    return PlainPage(
        title=assessment.title_name or assessment.title,
        authority=assessment.authority_name or assessment.authority,
        verdict=assessment.verdict,
        answer=_answer(assessment, wording=wording),
        sentence=_sentence(assessment, wording=wording),
        asides=tuple(_asides(assessment, wording=wording)),
        reasons=tuple(_reason(result, wording=wording) for result in reasons[:MOST_REASONS]),
        reasons_after=_reasons_after(len(reasons), wording=wording),
        steps=tuple(_steps(assessment, wording=wording, said=said)),
        dates=tuple(_dates(assessment, wording=wording)),
        contact=contact
        or wording.plain.default_contact.format(
            authority=assessment.authority_name or assessment.authority
        ),
    )


def _answer(assessment: Assessment, *, wording: Wording) -> str:
    """Return the answer in a few words."""
    if assessment.verdict is Verdict.MET and not assessment.wholly_read:
        return wording.plain.so_far
    if assessment.answer.headline:
        return wording.spoken(assessment.answer.headline)
    return wording.plain.answers[assessment.verdict]


def _sentence(assessment: Assessment, *, wording: Wording) -> str:
    """Return what the answer means; the steps stand in a list of their own."""
    answer = assessment.answer
    below = wording.plain.steps_below if answer.steps and answer.close else ""
    said = " ".join(text for text in (answer.lead, below, answer.close) if text)
    if not said or not is_plain(said):
        return wording.plain.sentences[assessment.verdict]
    return wording.spoken(said)


def _asides(assessment: Assessment, *, wording: Wording) -> Iterator[str]:
    """Yield how far the answer can be trusted, where less than usual, and its conditions."""
    if not assessment.wholly_read:
        is_met = assessment.verdict is Verdict.MET
        yield wording.plain.partly_read_met if is_met else wording.plain.partly_read
    if assessment.stale:
        yield wording.plain.stale
    for condition in assessment.conditions:
        certain = condition.removeprefix(PERHAPS)
        said = wording.plain.condition if certain == condition else wording.plain.perhaps
        yield said.format(condition=as_sentence(certain))


def as_sentence(text: str) -> str:
    """Return a text that begins with a capital and ends with a stop."""
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?\N{ARABIC QUESTION MARK}" else ".")


def is_plain(text: str) -> bool:
    """Tell whether a text has no percentages, paths, ids or abbreviations."""
    return CODE.search(text) is None


def _deciding(assessment: Assessment) -> tuple[RequirementResult, ...]:
    """Return the requirements that stand in the way.

    Those checked at submission come first, within them those not met, of these what nothing puts
    right within two years.
    """
    standing = (
        r
        for r in assessment.requirements
        if r.verdict in SPEAKING_ORDER and r.demanded_by == "authority"
    )
    return tuple(
        sorted(
            standing,
            key=lambda r: (
                r.at != SUBMISSION,
                SPEAKING_ORDER.index(r.verdict),
                not _is_out_of_reach(r, on=assessment.on),
            ),
        )
    )


def _in_order(assessment: Assessment) -> tuple[RequirementResult, ...]:
    """Return the requirements that are met."""
    return tuple(r for r in assessment.requirements if r.verdict is Verdict.MET)


def _reason(result: RequirementResult, *, wording: Wording) -> Reason:
    """Return why one requirement stands in the way, in plain words."""
    reason = result.reason if result.reason and is_plain(result.reason) else ""
    text = reason or wording.plain.items[result.verdict]
    return Reason(result.verdict, wording.spoken(result.label), wording.spoken(as_sentence(text)))


def _reasons_after(n_reasons: int, *, wording: Wording) -> str:
    """Return the sentence after the reasons when there are more of them."""
    n_more = n_reasons - MOST_REASONS
    return wording.plain.more_reasons.format(n=n_more) if n_more > 0 else ""


def _steps(
    assessment: Assessment,
    *,
    wording: Wording,
    said: Callable[[Sequence[str]], tuple[str, ...]],
) -> Iterator[Step]:
    """Yield what to do, in order: before the application, the application, after it.

    Where something cannot be put right within two years, putting the case comes first.
    """
    if assessment.never_together:  # to mend each of the two leads nowhere
        yield Step(wording.plain.put_case)
        return
    on = assessment.on
    far = [r for r in _deciding(assessment) if _is_out_of_reach(r, on=on)]
    deciding = [*(r for r in _deciding(assessment) if r not in far), *far]
    deciding = far or deciding  # no step leads on while something cannot be put right
    answer = assessment.answer
    before = _told(answer.steps, wording=wording) or [
        _step(r, on=on, wording=wording) for r in deciding if r.at == SUBMISSION
    ]
    after = _told(answer.after, wording=wording) or [
        _step(r, on=on, wording=wording) for r in deciding if r.at != SUBMISSION
    ]
    case = [Step(wording.plain.put_case)] if far else []
    question = _question(assessment, wording=wording, said=said)
    yield from dict.fromkeys([*case, *before, *question][:MOST_BEFORE])
    if assessment.verdict is Verdict.NOT_APPLICABLE:
        yield Step(wording.plain.other_rules)
    elif assessment.verdict is Verdict.MET or not before:
        yield Step(wording.plain.hand_in)
    elif not far and answer.leads_on:
        yield Step(wording.plain.hand_in_when)
    yield from dict.fromkeys(after[:MOST_AFTER])
    for result in assessment.requirements:
        if result.demanded_by == "employers" and result.verdict in SPEAKING_ORDER:
            step = _step(result, on=on, wording=wording)
            yield Step(wording.plain.employers.format(step=step.what), step.when)


def _told(steps: Sequence[PlainStep], *, wording: Wording) -> list[Step]:
    """Return the steps of the answer; each tells its day by itself."""
    return [Step(wording.spoken(step.says)) for step in steps]


def _is_out_of_reach(result: RequirementResult, *, on: Day) -> bool:
    """Tell whether nothing puts a requirement right, or nothing within two years."""
    if result.verdict is not Verdict.NOT_MET:
        return False
    remedy = result.remedy
    return remedy is None or (remedy.earliest is not None and remedy.earliest > FAR.after(on))


def _question(
    assessment: Assessment,
    *,
    wording: Wording,
    said: Callable[[Sequence[str]], tuple[str, ...]],
) -> Iterator[Step]:
    """Yield the next question, unless a requirement asks for its missing facts already."""
    question = assessment.next_question
    if question is not None and all(not r.missing for r in _deciding(assessment)):
        yield Step(wording.plain.tell_us.format(question=", ".join(said((question,)))))


def _step(result: RequirementResult, *, on: Day, wording: Wording) -> Step:
    """Return what would settle one requirement."""
    words = wording.plain
    remedy = result.remedy
    when = ""
    if remedy is not None and remedy.earliest is not None and remedy.earliest > on:
        when = words.possible_from.format(day=wording.day(remedy.earliest))
    if remedy is not None:
        said = next((text for text in (remedy.plain, remedy.what) if text and is_plain(text)), "")
        if said:
            return Step(wording.spoken(as_sentence(said)), when)
    if result.missing and all(path.startswith(BY_HAND) for path in result.missing):
        return Step(words.by_hand.format(label=wording.spoken(result.label)))
    if result.verdict is Verdict.UNKNOWN and result.missing:
        return Step(words.tell_us.format(question=wording.spoken(result.label)))
    if result.verdict is Verdict.REFER:
        return Step(words.put_case, when)
    return Step(words.talk.format(label=wording.spoken(result.label)), when)


def question_in_words(path: str) -> str:
    """Return the path of a fact as words: ``practice/2/start`` as ``practice 2, start``."""
    parts = [part.replace("_", " ").replace("-", " ").strip() for part in path.split("/")]
    named = [part for part in parts if part]
    if len(named) > 1:
        named[:2] = [f"{named[0]} {named[1]}"]
    return ", ".join(named)


def _dates(assessment: Assessment, *, wording: Wording) -> Iterator[str]:
    """Yield the days that matter, the nearest first."""
    words = wording.plain
    if assessment.verdict is Verdict.MET:
        yield from _while_open(assessment, wording=wording)
    else:
        yield from _until_open(assessment, wording=wording)
    if assessment.if_stops_until is not None:
        yield words.if_you_stop.format(day=wording.day(assessment.if_stops_until))
    for change in assessment.coming:
        yield words.change.format(day=wording.day(change.start))


def _while_open(assessment: Assessment, *, wording: Wording) -> Iterator[str]:
    """Yield by when to hand in, and what ends then."""
    words = wording.plain
    current = next((w for w in assessment.windows if _contains(w, assessment.on)), None)
    if current is None or current.until is None:
        yield words.no_end_known
        return
    yield words.hand_in_by.format(day=wording.day(current.until))
    for result in assessment.requirements:
        if result.at == SUBMISSION and any(w.until == current.until for w in result.windows):
            yield words.limits_it.format(label=wording.spoken(result.label))


def _contains(window: Window, day: int) -> bool:
    """Tell whether a window holds on a day."""
    return (window.start is None or window.start <= day) and (
        window.until is None or day <= window.until
    )


def _until_open(assessment: Assessment, *, wording: Wording) -> Iterator[str]:
    """Yield the earliest day and the coming open dates, or that none is known."""
    words = wording.plain
    ahead = [w for w in assessment.windows if w.until is None or w.until >= assessment.on]
    window = next((w for w in ahead if w.certainty == "certain"), next(iter(ahead), None))
    if assessment.earliest is not None and assessment.earliest <= assessment.on:
        yield words.as_soon
    elif assessment.earliest is not None:
        yield words.earliest.format(day=wording.day(assessment.earliest))
    if window is not None:
        said = words.open_dates if window.certainty == "certain" else words.open_dates_possible
        yield said.format(span=wording.span(window.start, window.until))
    if window is None and assessment.earliest is None:
        yield words.no_date
