"""What stands behind verdicts about examinations, and how to mend them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.attempts import Attempts
from comity.core.eligibility.examinations import passed_days
from comity.core.eligibility.view import (
    PROPOSED,
    Finding,
    Proposal,
    View,
    finding,
    in_turn,
    plain_day,
    proposals,
    with_entry,
)
from comity.core.facts.model import ExaminationResult
from comity.core.rulebook.kinds.testing import ExaminationPassed
from comity.core.rulebook.model import Sitting
from comity.core.rulebook.phrases import either, together

_NEW_APPLICATION: Final = f"{PROPOSED}-application"


@finding.register
def _examination(requirement: ExaminationPassed, view: View) -> Finding:
    is_met = view.verdict(requirement) is Verdict.MET
    if "passed" not in requirement.outcomes:
        name, outcomes = _examination_name(requirement, view), either(requirement.outcomes)
        return Finding(reason=f"{'an' if is_met else 'no'} attempt at {name} is {outcomes}")
    if requirement.remedial is not None and not is_met and _is_passed(requirement, view):
        n_failed = requirement.remedial_after or 1
        failures = "failure" if n_failed == 1 else "failures"
        owed = finding(requirement.remedial, view).reason
        return Finding(reason=f"passed; after {n_failed} {failures} also owed: {owed}")
    if not requirement.stages:
        used = _attempts_in_words(attempts_used(requirement, view), requirement.attempts)
        return Finding(reason="passed" if is_met else used)
    said = []
    for stage in requirement.stages:
        is_passed = _stage_is_passed(requirement, view, stage.id)
        used = _attempts_in_words(attempts_used(requirement, view, stage.id), requirement.attempts)
        said.append(f"{stage.label or stage.id}: {'passed' if is_passed else used}")
    if not is_met and all(_stage_is_passed(requirement, view, s.id) for s in requirement.stages):
        said.append(f"but not all within {requirement.stages_within}")
    return Finding(reason="; ".join(said))


def _attempts_in_words(used: int, allowed: int | None) -> str:
    if not used:
        return "not sat yet"
    attempts = "attempt" if (allowed or used) == 1 else "attempts"
    if allowed is None:
        return f"{used} {attempts} so far, none passed"
    return f"{used} of {allowed} {attempts} used"


def attempts_used(requirement: ExaminationPassed, view: View, stage: str | None = None) -> int:
    """Return the number of attempts that count against those allowed."""
    attempts = Attempts(requirement, view.context, stage=stage)
    mine = attempts.table.rows[attempts.order] == view.row
    return int(attempts.number[mine][-1]) if mine.any() else 0


@proposals.register
def _examination_proposals(requirement: ExaminationPassed, view: View) -> tuple[Proposal, ...]:
    if requirement.outcomes == ("failed",):
        return ()
    if requirement.remedial is not None and _is_passed(requirement, view):
        return proposals(requirement.remedial, view)
    stages: list[str | None] = [stage.id for stage in requirement.stages]
    open_stages = [s for s in stages if s and not _stage_is_passed(requirement, view, s)]
    ways: list[Sequence[str | None]] = [open_stages or stages[:1] or [None]]
    if len(open_stages) < len(stages):
        ways.append(stages)  # a pass may lapse before the next sitting of another stage
    found = (_sat(requirement, view, way) for way in ways)
    return tuple(proposal for proposal in found if proposal is not None)


def _sat(
    requirement: ExaminationPassed, view: View, stages: Sequence[str | None]
) -> Proposal | None:
    """Return the proposal to sit some stages; None where one may never be sat again."""
    entries = []
    for stage in stages:
        day = next_attempt(requirement, view, stage)
        if day is None:
            return None
        entries.append(_sitting_entry(requirement, view, stage=stage, day=day))
    return _examination_proposal(requirement, view, entries)


def _sitting_entry(
    requirement: ExaminationPassed, view: View, *, stage: str | None, day: Day
) -> ExaminationResult:
    is_place_enough = "booked" in requirement.outcomes
    return ExaminationResult(
        id=f"{PROPOSED}-{stage or 'sitting'}",
        evidence="confirmed",
        examination=requirement.examination,
        stage=stage,
        taken=PartialDate.exact(day),
        outcome="booked" if is_place_enough else requirement.outcomes[-1],
        application=_application(requirement, view, stage),
    )


def _examination_proposal(
    requirement: ExaminationPassed, view: View, entries: list[ExaminationResult]
) -> Proposal:
    name = _what_is_sat(requirement, view, entries)
    if any(entry.application == _NEW_APPLICATION for entry in entries):
        name = f"{name} in a new application"
    last = max(entry.taken.latest for entry in entries if entry.taken)
    is_place_enough = "booked" in requirement.outcomes
    verb = "Enter for" if is_place_enough else "Pass"
    sitting = _published(requirement, view, last)
    when = _when_words(sitting, last, view)
    plain = _plain_words(name, sitting, last=last, view=view, is_place_enough=is_place_enough)
    return Proposal(
        what=f"{verb} {name}{when}",
        detail=_attempts_left(requirement, view, entries),
        plain=plain,
        change=in_turn([with_entry("examinations", entry) for entry in entries]),
        since=max(view.on, view.today) if is_place_enough else last,
        # A place is got in a day; a published sitting has to be waited for.
        is_own_pace=sitting is None or is_place_enough,
    )


def _when_words(sitting: Sitting | None, last: Day, view: View) -> str:
    """Return when one can sit it, for the adviser."""
    if sitting is not None:
        enter = "" if sitting.closes is None else f", enter by {iso(sitting.closes)}"
        return f"; the next sitting is on {iso(last)}{enter}"
    return f", on {iso(last)} at the earliest" if last > max(view.on, view.today) else ""


def _plain_words(
    name: str, sitting: Sitting | None, *, last: Day, view: View, is_place_enough: bool
) -> str:
    """Return what to do in the order in which it is done, for the applicant."""
    day = plain_day(last)
    if sitting is not None:
        closes = "" if sitting.closes is None else f" by {plain_day(sitting.closes)}"
        if is_place_enough:
            return f"Enter for {name}{closes}. The next sitting is on {day}."
        return f"Enter for {name}{closes} and pass it on {day}."
    if is_place_enough:
        return f"Enter for {name}."
    earliest = f" The earliest you can sit it is {day}." if last > max(view.on, view.today) else ""
    return f"Pass {name}.{earliest}"


def _attempts_left(
    requirement: ExaminationPassed, view: View, entries: list[ExaminationResult]
) -> str:
    if requirement.attempts is None:
        return ""
    used = max(attempts_used(requirement, view, entry.stage) for entry in entries)
    left = requirement.attempts - used
    return f"{left} of {requirement.attempts} attempts left" if left > 0 else ""


def _published(requirement: ExaminationPassed, view: View, day: Day) -> Sitting | None:
    """Return the published sitting on a day."""
    return next((each for each in _sittings_of(requirement, view) if each.on == day), None)


def _sittings_of(requirement: ExaminationPassed, view: View) -> tuple[Sitting, ...]:
    exams = view.title.examinations
    found = next((exam for exam in exams if exam.id == requirement.examination), None)
    return found.sittings if found else ()


def _application(requirement: ExaminationPassed, view: View, stage: str | None) -> str | None:
    """Return to which application the next attempt belongs: a new one if the last is used up."""
    results = view.applicant.results.examinations or ()
    last = results[-1].application if results else None
    if requirement.attempts is None or requirement.attempts_count == "lifetime":
        return last
    sat = [
        each
        for each in results
        if (each.examination, each.stage, each.application)
        == (requirement.examination, stage, last)
        and each.outcome != "booked"
    ]
    return last if len(sat) < requirement.attempts else _NEW_APPLICATION


def _examination_name(requirement: ExaminationPassed, view: View) -> str:
    exams = view.title.examinations
    named = (f"the {exam.name}" for exam in exams if exam.id == requirement.examination)
    return next(named, f"the {requirement.examination.replace('-', ' ')} examination")


def _what_is_sat(
    requirement: ExaminationPassed, view: View, entries: Sequence[ExaminationResult]
) -> str:
    """Return the stages by their names where not all are meant, else the examination."""
    name = _examination_name(requirement, view)
    sat = {entry.stage for entry in entries}
    named = [stage.label or stage.id for stage in requirement.stages if stage.id in sat]
    is_whole = len(named) in {0, len(requirement.stages)}
    return name if is_whole else f"{together(named)} of {name}"


def _is_passed(requirement: ExaminationPassed, view: View) -> bool:
    """Tell whether it is passed, remedial work left aside."""
    return passed_days(requirement, view.context).run_at(view.row, view.on) is not None


def _stage_is_passed(requirement: ExaminationPassed, view: View, stage: str) -> bool:
    attempts = Attempts(requirement, view.context, stage=stage)
    wanted = next(each for each in requirement.stages if each.id == stage)
    passes = attempts.passes(wanted.least_score)
    return bool((attempts.table.rows[passes] == view.row).any())


def next_attempt(requirement: ExaminationPassed, view: View, stage: str | None) -> Day | None:
    """Return the first day on which the examination may be sat again; None for never."""
    attempts = Attempts(requirement, view.context, stage=stage)
    counting = np.isin(attempts.order, attempts.counting())
    mine = (attempts.table.rows[attempts.order] == view.row) & counting
    taken = attempts.since[attempts.order][mine]
    day = max(view.on, view.today)
    if taken.size:
        last, number = int(taken[-1]), int(attempts.number[mine][-1])
        if requirement.wait is not None:
            day = max(day, requirement.wait.after(last))
        if requirement.attempts is not None and number % requirement.attempts == 0:
            if requirement.bar is not None:
                day = max(day, requirement.bar.after(last))
            elif requirement.attempts_count == "lifetime":
                return None
    return _sitting_from(requirement, view, day)


def _sitting_from(requirement: ExaminationPassed, view: View, day: Day) -> Day:
    """Return the first published sitting from a day on that can still be entered for."""
    sittings = _sittings_of(requirement, view)
    open_days = [
        sitting.on
        for sitting in sittings
        if sitting.on >= day and (sitting.closes is None or sitting.closes >= view.today)
    ]
    return min(open_days, default=day)
