"""From one applicant and one rulebook to an assessment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from comity.core.days.calendar import Day
from comity.core.eligibility.assessment import Assessment, Assumption, Verdict
from comity.core.eligibility.deciding import (
    decides,
    is_close,
    is_failing,
    is_first,
    next_question,
    rank,
    verdict_on_all,
)
from comity.core.eligibility.inquiry import Inquiry, Question
from comity.core.eligibility.missing import named
from comity.core.eligibility.notes import (
    by_hand_open,
    coming_changes,
    conditions_of,
    has_no_rules,
    if_stops_until,
    is_dropped,
    is_stale,
    notes_on,
    other_verdict,
    pathway_of,
    with_own_start,
)
from comity.core.eligibility.plain_steps import plain_steps
from comity.core.eligibility.results import Judged, shown, windows
from comity.core.eligibility.soonest import Soonest, mended_after_applying, soonest_day
from comity.core.eligibility.wording import Told, cautions, plain_answer
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Rulebook


def assess(  # noqa: PLR0913 - a question has six parts
    applicant: Applicant,
    rulebook: Rulebook,
    *,
    title: str,
    on: Day,
    today: Day,
    assumption: Assumption = "continues",
    confirmed_only: bool = False,
) -> Assessment:
    """Return what an authority's rules say of an applicant on a day.

    Parameters
    ----------
    applicant : Applicant
        The file of facts.
    rulebook : Rulebook
        All editions read of one authority.
    title : str
        Id of the title; some edition must have it.
    on : Day
        The day of submission asked about.
    today : Day
        The day on which it is asked; open practice ends then under ``stops``.
    assumption : str
        ``continues`` or ``stops``.
    confirmed_only : bool
        Take what is not confirmed by its issuer as possible only.

    Raises
    ------
    LookupError
        When no edition has the title.
    """
    question = Question(title, on, today, assumption, confirmed_only)
    inquiry = Inquiry(applicant, rulebook, question)
    return _written(_concluded(inquiry), inquiry)


@dataclass(frozen=True, slots=True)
class _Conclusion:
    """The verdict on the whole, and what it rests on; what decides stands first."""

    verdict: Verdict
    judged: tuple[Judged, ...]
    soonest: Soonest

    @property
    def failing(self) -> list[Judged]:
        """What the authority asks for and is not met for certain."""
        return [each for each in self.judged if decides(each) and is_failing(each.result)]


def _concluded(inquiry: Inquiry) -> _Conclusion:
    judged = sorted(inquiry.judged(), key=lambda each: rank(each, inquiry))
    verdict = verdict_on_all(judged, inquiry)
    soonest = Soonest() if verdict is Verdict.MET else soonest_day(judged, inquiry)
    submitted = inquiry.question.on if verdict is Verdict.MET else soonest.day
    later = tuple(
        with_own_start(mended_after_applying(each, submitted, inquiry), inquiry) for each in judged
    )
    return _Conclusion(verdict, later, soonest)


def _written(found: _Conclusion, inquiry: Inquiry) -> Assessment:
    """Return the assessment in all its parts."""
    edition, title = inquiry.chosen.edition, inquiry.chosen.title
    verdict, soonest = found.verdict, found.soonest
    results = tuple(each.result for each in found.judged)
    # What is checked later and can never be met leaves no day on which applying makes sense.
    is_never = verdict is Verdict.NOT_MET and inquiry.submission_verdict() is not Verdict.NOT_MET
    return Assessment(
        applicant=inquiry.applicant.applicant,
        applicant_name=inquiry.applicant.name or inquiry.applicant.applicant,
        authority=edition.authority.id,
        authority_name=edition.authority.name,
        title=title.id,
        title_name=title.name,
        on=inquiry.question.on,
        assumption=inquiry.question.assumption,
        verdict=verdict,
        windows=() if is_never else windows(inquiry.days.submission, inquiry.view),
        requirements=results,
        next_question=next_question(results),
        cautions=cautions(edition, inquiry.applicant, is_stale=is_stale(inquiry)),
        milestones=tuple((each.id, each.label) for each in title.milestones),
        pathway=pathway_of(inquiry),
        conditions=tuple(conditions_of(inquiry)),
        remedies=tuple(each.result.remedy for each in found.failing if each.result.remedy),
        earliest=soonest.day,
        earliest_is_own_pace=soonest.day is not None and _is_own_pace(found.failing, inquiry),
        earliest_is_conditional=soonest.is_conditional,
        coming=tuple(coming_changes(inquiry)),
        by_hand_open=tuple(by_hand_open(found.judged)),
        wholly_read=edition.wholly_read,
        stale=(edition.rulebook,) if is_stale(inquiry) else (),
        other_assumption=other_verdict(inquiry),
        if_stops_until=if_stops_until(inquiry),
        answer=plain_answer(_told(found, inquiry), edition, title),
        notes=tuple(notes_on(inquiry, soonest.anew)),
        never_together=soonest.apart.ids if soonest.apart else (),
    )


def _is_own_pace(failing: Sequence[Judged], inquiry: Inquiry) -> bool:
    """Tell whether nothing but the applicant's own speed stands before applying."""
    unmet = _unmet([each for each in failing if is_first(each, inquiry)])
    return bool(unmet) and all(each.mended and each.mended.is_own_pace for each in unmet)


def _unmet(failing: Sequence[Judged]) -> list[Judged]:
    return [each for each in failing if each.result.verdict is not Verdict.UNKNOWN]


def _told(found: _Conclusion, inquiry: Inquiry) -> Told:
    """Return what the applicant's answer is made from."""
    failing, soonest = found.failing, found.soonest
    first = [each for each in failing if is_first(each, inquiry)]
    later = [each for each in failing if not is_first(each, inquiry)]
    run = inquiry.run(inquiry.view.row)
    missing = tuple(dict.fromkeys(path for each in first for path in each.result.missing))
    unmet = _unmet(first)
    is_open = found.verdict is Verdict.UNKNOWN
    blocked = tuple(each.result.label for each in unmet if each.mended is None)
    return Told(
        verdict=found.verdict,
        on=inquiry.question.on,
        until=soonest.until if run is None else shown(*run)[1],
        earliest=soonest.day,
        now=plain_steps(first if is_open else unmet, again=soonest.again, on=inquiry.question.on),
        later=()
        if found.verdict is Verdict.NOT_MET and soonest.day is None
        else plain_steps(_unmet(later), on=soonest.day or inquiry.question.on),
        is_settled_by_now=all(each.mended for each in first),
        is_own_pace=_is_own_pace(failing, inquiry),
        is_conditional=soonest.is_conditional,
        missing=named(missing, inquiry.applicant),
        blocked=blocked,
        n_besides=len(first) - len(blocked),
        differing=tuple(each.result.label for each in first if each.result.conflict),
        obstacle=(first or later)[0].result.label if failing else "",
        is_dropped=is_dropped(inquiry),
        has_no_rules=has_no_rules(inquiry),
        never_together=_never_together(unmet, soonest),
        apart=soonest.apart.says if soonest.apart else "",
        is_close=bool(unmet) and all(is_close(each.result) for each in unmet),
    )


def _never_together(unmet: Sequence[Judged], soonest: Soonest) -> bool:
    """Tell whether everything can be mended, and yet no day is found on which all of it holds."""
    days = [each.mended and each.mended.remedy.earliest for each in unmet]
    return soonest.day is None and len(unmet) > 1 and all(day is not None for day in days)
