"""The first day on which one could apply once everything that fails has been mended."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

from comity.core.days.calendar import FOREVER, Day
from comity.core.days.dayset import DaySet
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.deciding import decides, is_failing, is_first
from comity.core.eligibility.inquiry import Inquiry
from comity.core.eligibility.remedies import mend
from comity.core.eligibility.results import Judged, shown
from comity.core.eligibility.title_days import TitleDays
from comity.core.eligibility.triple import Days
from comity.core.eligibility.view import plain_day
from comity.core.facts.model import Applicant

_ROUNDS: Final = 3
"""While one paper is fetched anew another may lapse; after three rounds they chase each other."""
_NEAR_DAYS: Final = 92
"""Two things that miss each other by so little are worth a word on it."""
_SETTLED: Final = {Verdict.MET, Verdict.NOT_APPLICABLE, Verdict.UNKNOWN}


@dataclass(frozen=True, slots=True)
class Soonest:
    """The first and last day on which one could then apply, and what will have lapsed by then.

    `anew` names the requirements concerned, `again` tells the applicant what to do about them.
    """

    day: Day | None = None
    until: Day | None = None
    anew: tuple[str, ...] = ()
    again: tuple[str, ...] = ()
    is_conditional: bool = False
    apart: Apart | None = None


@dataclass(frozen=True, slots=True)
class Apart:
    """Two requirements that never hold together: what ends, and what only begins after it."""

    ends: Judged
    until: Day
    begins: Judged
    start: Day

    @property
    def ids(self) -> tuple[str, str]:
        """Ids of the two requirements."""
        return self.ends.result.id, self.begins.result.id

    @property
    def says(self) -> str:
        """The two with their days, in a sentence."""
        n_days = self.start - self.until
        missed = f" They miss each other by {n_days} {'day' if n_days == 1 else 'days'}."
        return (
            f"Two things never hold together: “{self.ends.result.label}” holds until "
            f"{plain_day(self.until)}, “{self.begins.result.label}” only from "
            f"{plain_day(self.start)}.{missed if n_days <= _NEAR_DAYS else ''}"
        )


def soonest_day(judged: Sequence[Judged], inquiry: Inquiry) -> Soonest:
    """Return the first day on which everything holds once all remedies are done.

    What is short-lived is asked for again by the time that the slowest remedy takes. Where one is
    not met and another unknown, the day holds if the unknown turns out well.
    """
    first = [each for each in judged if is_first(each, inquiry)]
    failing = [each for each in first if is_failing(each.result) and decides(each)]
    unmet = [each for each in failing if each.result.verdict is not Verdict.UNKNOWN]
    view, on = inquiry.view, inquiry.question.on
    row = view.twin if unmet and len(unmet) < len(failing) else view.row
    waiting = inquiry.days.submission.first_yes(row, on)
    if any(each.mended is None or each.mended.remedy.earliest is None for each in unmet):
        return Soonest(waiting)
    applicant, day = _applied(unmet, inquiry)
    anew: dict[str, str] = {}
    for _round in range(_ROUNDS):
        mended = inquiry.mended_days(applicant).submission
        found = mended.first_yes(row, on)
        run = None if found is None else mended.yes.run_at(row, found)
        if run is not None:
            is_conditional = row == view.twin
            again = tuple(dict.fromkeys(filter(None, anew.values())))
            return Soonest(found, shown(*run)[1], tuple(anew), again, is_conditional)
        applicant, day, again_now = _mended_again(first, applicant, day=day, inquiry=inquiry)
        anew.update(again_now)
    if waiting is not None or row == view.twin:
        return Soonest(waiting)
    in_the_end = inquiry.mended_days(_applied(unmet, inquiry)[0])
    return Soonest(apart=_never_together(first, in_the_end, inquiry))


def _never_together(first: Sequence[Judged], mended: TitleDays, inquiry: Inquiry) -> Apart | None:
    """Return two requirements of which, all mended, each holds some day and never both."""
    row, on = inquiry.view.row, inquiry.question.on
    held = [
        (each, _on_which_it_lets_pass(mended.requirements[each.top.id]))
        for each in first
        if decides(each)
    ]
    for (one, days), (other, others) in combinations(held, 2):
        starts = int(days.next_day(on)[row]), int(others.next_day(on)[row])
        if max(starts) >= FOREVER or (days & others).next_day(on)[row] < FOREVER:
            continue
        if starts[0] <= starts[1]:
            return Apart(one, _last_day(days, starts[0], row), other, starts[1])
        return Apart(other, _last_day(others, starts[1], row), one, starts[0])
    return None


def _on_which_it_lets_pass(days: Days) -> DaySet:
    """Return the days on which a requirement holds or does not apply."""
    return days.yes if days.na is None else days.yes | days.na


def _last_day(days: DaySet, day: Day, row: int) -> Day:
    run = days.run_at(row, day)
    return day if run is None else run[1] - 1


def _applied(failing: Sequence[Judged], inquiry: Inquiry) -> tuple[Applicant, Day]:
    """Return the facts after all remedies, and the day by which the slowest is done."""
    applicant, day = inquiry.applicant, inquiry.question.on
    for each in failing:
        if each.mended is not None:
            applicant = each.mended.apply(applicant)
            day = max(day, each.mended.remedy.earliest or day)
    return applicant, day


def _mended_again(
    first: Sequence[Judged], applicant: Applicant, *, day: Day, inquiry: Inquiry
) -> tuple[Applicant, Day, dict[str, str]]:
    """Return the facts with what has lapsed by a day mended on that day, its names and how."""
    latest, again = day, {}
    for each in first:
        view = replace(inquiry.view.with_applicant(applicant), on=day)
        requirement = each.top.listed.requirement
        if view.verdict(requirement) in _SETTLED:
            continue
        mended = mend(requirement, view, wait_until=view.first_day(requirement, day))
        if mended is not None and mended.remedy.earliest is not None:
            applicant = mended.apply(applicant)
            latest = max(latest, mended.remedy.earliest)
            again[each.result.label] = "" if mended.is_waiting else mended.remedy.plain
    return applicant, latest, again


def mended_after_applying(judged: Judged, day: Day | None, inquiry: Inquiry) -> Judged:
    """Return what is checked later with a remedy that begins when one can have applied."""
    if day is None or day <= inquiry.question.today or is_first(judged, inquiry):
        return judged
    if judged.mended is None or judged.mended.is_waiting or not is_failing(judged.result):
        return judged
    view = replace(inquiry.view, on=day, today=day)
    requirement = judged.top.listed.requirement
    mended = mend(requirement, view, wait_until=view.first_day(requirement, day))
    remedy = mended.remedy if mended else None
    return replace(judged, mended=mended, result=replace(judged.result, remedy=remedy))
