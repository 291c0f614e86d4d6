"""What stands behind verdicts about tests, examinations, certificates and papers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

import numpy as np

from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.context import folded
from comity.core.eligibility.findings_practice import PROPOSED
from comity.core.eligibility.testing import (
    Attempts,
    certificates_passing,
    expiry_days,
    is_at_least,
    papers_passing,
)
from comity.core.eligibility.view import (
    Finding,
    Proposal,
    View,
    figure,
    finding,
    measured,
    months_between,
    plain_day,
    proposals,
    with_entry,
)
from comity.core.facts.model import (
    Applicant,
    Certificate,
    ExaminationResult,
    LanguageResult,
    Paper,
)
from comity.core.rulebook.kinds.testing import (
    CertificateHeld,
    ExaminationPassed,
    LanguageProved,
    LanguageTest,
    PaperHeld,
)
from comity.core.rulebook.model import Sitting
from comity.core.rulebook.phrases import either, together


def _sittings(view: View, test: LanguageTest) -> list[LanguageResult]:
    name = folded(test.test)
    return [
        result
        for result in view.applicant.results.language or ()
        if folded(result.test) == name
        and (not view.confirmed_only or result.evidence == "confirmed")
    ]


def _below(test: LanguageTest, parts: Mapping[str, str] | None) -> dict[str, str]:
    """Return the parts of a sitting below what is asked, with what was reached."""
    given = {folded(name): value for name, value in (parts or {}).items()}
    return {
        name: given.get(folded(name), "nothing")
        for name, needed in (test.parts or {}).items()
        if folded(name) not in given or not is_at_least(given[folded(name)], needed, test.scale)
    }


@finding.register
def _language(requirement: LanguageProved, view: View) -> Finding:
    nearest: tuple[int, str, Finding] | None = None
    for test in requirement.tests:
        for sitting in _sittings(view, test):
            found = _sitting_finding(requirement, test, sitting)
            key = len(_below(test, sitting.parts))
            if nearest is None or key < nearest[0]:
                nearest = (key, test.test, found)
    if nearest is None:
        return Finding(
            reason=f"no result of {either([test.test for test in requirement.tests])} on file"
        )
    return nearest[2]


def _sitting_finding(
    requirement: LanguageProved, test: LanguageTest, sitting: LanguageResult
) -> Finding:
    below = _below(test, sitting.parts)
    reason = f"{test.test} of {sitting.taken or 'an unknown day'}"
    if not below:
        if test.overall and not is_at_least(sitting.overall or "", test.overall, test.scale):
            return Finding(reason=f"{reason}: {sitting.overall} overall, {test.overall} asked")
        age = requirement.greatest_age
        return Finding(reason=reason if age is None else f"{reason}, good for {age}")
    words = [f"{got} in {name}, {(test.parts or {})[name]} asked" for name, got in below.items()]
    reason = f"{reason}: {together(words)}"
    if len(below) == 1:
        (name, got), *_rest = below.items()
        return _part_finding(got, (test.parts or {})[name], part=name, reason=reason)
    return Finding(reason=reason)


def _part_finding(got: str, needed: str, *, part: str, reason: str) -> Finding:
    try:
        return measured(float(got), float(needed), f"points in {part}", reason=reason)
    except ValueError:
        return Finding(reason=reason)


@proposals.register
def _language_proposals(requirement: LanguageProved, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    found = []
    for test in requirement.tests:
        for sitting in _sittings(view, test):
            again = _resit(test, sitting, day)
            if again is not None:
                found.append(again)
    found.extend(_sit_whole(test, day) for test in requirement.tests)
    return tuple(found)


def _resit(test: LanguageTest, sitting: LanguageResult, day: Day) -> Proposal | None:
    """Return the sitting that can be combined with an earlier one, if one can."""
    combining, below = test.combining, _below(test, sitting.parts)
    if combining is None or not below or sitting.taken is None:
        return None
    last = combining.within.after(sitting.taken.earliest)
    if day > last:
        return None
    floor = {**(test.parts or {}), **(combining.floor or {})}
    parts = {**floor, **{name: (test.parts or {})[name] for name in below}}
    aims = together([f"{(test.parts or {})[name]} in {name}" for name in below])
    entry = LanguageResult(
        id=PROPOSED,
        evidence="confirmed",
        test=test.test,
        taken=PartialDate.exact(day),
        overall=combining.least_overall or test.overall,
        parts=parts,
        place=_allowed_place(test),
    )
    floors = [f"{result} in {name}" for name, result in (combining.floor or {}).items()]
    return Proposal(
        what=f"Sit the test {test.test} again by {iso(last)} and reach {aims}",
        detail=f"combined with {sitting.taken}"
        + (f"; at least {together(floors)}" if floors else ""),
        plain=f"Sit the test {test.test} once more by {plain_day(last)}. "
        f"What you need to improve: {together(list(below))}.",
        change=with_entry("language", entry),
        since=day,
        is_own_pace=True,
    )


def _allowed_place(test: LanguageTest) -> str:
    """Return a place of sitting that is not refused."""
    return next(
        place
        for place in ("test centre", "on site", "elsewhere")
        if place not in {folded(refused) for refused in test.excluded_places or ()}
    )


def _sit_whole(test: LanguageTest, day: Day) -> Proposal:
    entry = LanguageResult(
        id=PROPOSED,
        evidence="confirmed",
        test=test.test,
        taken=PartialDate.exact(day),
        overall=test.overall,
        parts=test.parts,
        place=_allowed_place(test),
    )
    aims = [f"{result} in {name}" for name, result in (test.parts or {}).items()]
    if test.overall:
        aims.append(f"{test.overall} overall")
    reach = f" and reach {together(aims)}" if aims else ""
    return Proposal(
        what=f"Sit the test {test.test}{reach}",
        plain=f"Sit the test {test.test}.",
        change=with_entry("language", entry),
        since=day,
        is_own_pace=True,
    )


@finding.register
def _examination(requirement: ExaminationPassed, view: View) -> Finding:
    used, allowed = attempts_used(requirement, view), requirement.attempts
    if "passed" not in requirement.outcomes:
        is_there = "an" if view.verdict(requirement).value == "met" else "no"
        name, outcomes = _examination_name(requirement, view), either(requirement.outcomes)
        return Finding(reason=f"{is_there} attempt at {name} is {outcomes}")
    of = f" of {allowed}" if allowed is not None else ""
    reason = f"{used}{of} attempts used" if used else "not sat yet"
    if view.verdict(requirement).value == "met":
        reason = "passed"
    return Finding(reason=reason)


def attempts_used(requirement: ExaminationPassed, view: View, stage: str | None = None) -> int:
    """Return the number of attempts that count against those allowed."""
    attempts = Attempts(requirement, view.context, stage=stage)
    mine = attempts.table.rows[attempts.order] == view.row
    return int(attempts.number[mine][-1]) if mine.any() else 0


@proposals.register
def _examination_proposals(requirement: ExaminationPassed, view: View) -> tuple[Proposal, ...]:
    if requirement.outcomes == ("failed",):
        return ()
    stages: list[str | None] = [stage.id for stage in requirement.stages]
    entries = []
    for stage in stages or [None]:
        if stage is not None and _stage_is_passed(requirement, view, stage):
            continue
        day = next_attempt(requirement, view, stage)
        if day is None:
            return ()
        entries.append(_sitting_entry(requirement, view, stage=stage, day=day))
    if not entries:
        return ()
    return (_examination_proposal(requirement, view, entries),)


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
        application=_application(view),
    )


def _examination_proposal(
    requirement: ExaminationPassed, view: View, entries: list[ExaminationResult]
) -> Proposal:
    name = _examination_name(requirement, view)
    last = max(entry.taken.latest for entry in entries if entry.taken)
    is_place_enough = "booked" in requirement.outcomes

    def change(applicant: Applicant) -> Applicant:
        for entry in entries:
            applicant = with_entry("examinations", entry)(applicant)
        return applicant

    verb = "Enter for" if is_place_enough else "Pass"
    sitting = _published(requirement, view, last)
    when, plain = "", ""
    if sitting is not None:
        when = f"; the next sitting is on {iso(last)}"
        plain = f" The next sitting is on {plain_day(last)}."
        if sitting.closes is not None:
            when += f", enter by {iso(sitting.closes)}"
            plain += f" Enter for it by {plain_day(sitting.closes)}."
    elif last > max(view.on, view.today):
        when = f", on {iso(last)} at the earliest"
        plain = f" The earliest you can sit it is {plain_day(last)}."
    return Proposal(
        what=f"{verb} {name}{when}",
        detail=_attempts_left(requirement, view, entries),
        plain=f"{verb} {name}.{plain}",
        change=change,
        since=max(view.on, view.today) if is_place_enough else last,
        is_own_pace=sitting is None or is_place_enough,
    )


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


def _application(view: View) -> str | None:
    results = view.applicant.results.examinations or ()
    return results[-1].application if results else None


def _examination_name(requirement: ExaminationPassed, view: View) -> str:
    exams = view.title.examinations
    named = (f"the {exam.name}" for exam in exams if exam.id == requirement.examination)
    return next(named, f"the {requirement.examination.replace('-', ' ')} examination")


def _stage_is_passed(requirement: ExaminationPassed, view: View, stage: str) -> bool:
    attempts = Attempts(requirement, view.context, stage=stage)
    wanted = next(each for each in requirement.stages if each.id == stage)
    passes = attempts.passes(wanted.least_score)
    return bool((attempts.table.rows[passes] == view.row).any())


def next_attempt(requirement: ExaminationPassed, view: View, stage: str | None) -> Day | None:
    """Return the first day on which the examination may be sat again; None for never."""
    attempts = Attempts(requirement, view.context, stage=stage)
    mine = attempts.table.rows[attempts.order] == view.row
    taken = attempts.table.since("taken")[attempts.order][mine]
    day = max(view.on, view.today)
    if taken.size:
        last, number = int(taken[-1]), int(attempts.number[mine][-1])
        if requirement.wait is not None:
            day = max(day, requirement.wait.after(last))
        if requirement.attempts is not None and number % requirement.attempts == 0:
            if requirement.bar is None:
                return None
            day = max(day, requirement.bar.after(last))
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


_CERTIFICATE: Final = {
    "good standing": "certificate of good standing",
    "criminal record": "criminal record certificate",
    "health": "health certificate",
}


@finding.register
def _certificate(requirement: CertificateHeld, view: View) -> Finding:
    table = view.context.columns.table("certificates")
    kept = certificates_passing(requirement, view.context) & (table.rows == view.row)
    whose = f" from {view.name_of(view.context.each.value)}" if view.context.each else ""
    if not kept.any():
        return Finding(reason=f"no {_CERTIFICATE[requirement.of]}{whose} on file")
    issued, expires = table.since("issued")[kept], expiry_days(table)[kept]
    best = int(np.argmax(issued))
    day, last = int(issued[best]), int(expires[best])
    reason = f"{_CERTIFICATE[requirement.of]}{whose} issued {iso(day)}"
    if last < FOREVER - 1:
        reason += f", expires {iso(last)}"
    age = requirement.greatest_age
    if age is None or day > view.on:
        return Finding(reason=reason)
    unit = "months" if age.months else "days"
    amount = months_between(day, view.on) if age.months else float(view.on - day)
    needed = float(age.months or age.days)
    too_old = int(age.after(day)) + 1
    if too_old <= view.on:
        reason += f", older than {age} since {iso(too_old)}"
    return measured(amount, needed, unit, reason=reason, lower_is_better=True)


@proposals.register
def _certificate_proposals(requirement: CertificateHeld, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    each = view.context.each
    entry = Certificate(
        id=f"{PROPOSED}-{each.value if each else 'new'}",
        evidence="confirmed",
        of=requirement.of,
        authority=_first(requirement.authorities),
        country=_first(requirement.countries),
        issued=PartialDate.exact(day),
        sent=requirement.sent or "directly",
    )
    if each is not None:
        changed: dict[str, Any] = {each.field: each.value}
        entry = replace(entry, **changed)
    whose = f" from {view.name_of(each.value)}" if each else ""
    table = view.context.columns.table("certificates")
    kept = certificates_passing(requirement, view.context) & (table.rows == view.row)
    new = "new " if kept.any() else ""
    good = (
        f"; it is good for {requirement.greatest_age} from its day"
        if requirement.greatest_age
        else ""
    )
    sent = f", sent {requirement.sent}" if requirement.sent else ""
    return (
        Proposal(
            what=f"Ask for a {new}{_CERTIFICATE[requirement.of]}{whose}{sent}",
            detail=f"issued on {iso(day)} at the earliest{good}",
            plain=f"Ask for a {new}{_CERTIFICATE[requirement.of]}{whose}.",
            change=with_entry("certificates", entry),
            since=day,
            is_own_pace=True,
        ),
    )


def _first(values: tuple[str, ...] | None) -> str | None:
    return values[0] if values else None


_PAPER_LACKS = {
    "status": "it has not come far enough",
    "form": "its form is not accepted",
    "certified_by": "its copy is certified by someone else",
    "issuer": "it comes from another issuer",
    "country": "it comes from another country",
    "language": "it is not in an accepted language or translation",
    "legalised": "it is not legalised as asked",
    "width": "its width is wrong",
    "height": "its height is wrong",
    "least face": "the face is too small on it",
    "greatest face": "the face is too large on it",
    "each": "it comes from another country",
}


@finding.register
def _paper(requirement: PaperHeld, view: View) -> Finding:
    table = view.context.columns.table("papers")
    passing = papers_passing(requirement, view.context)
    mine = np.flatnonzero((table.rows == view.row) & passing["kind"])
    if not mine.size:
        return Finding(reason=f"no {requirement.paper} on file")
    lacks = {int(index): [n for n, ok in passing.items() if not ok[index]] for index in mine}
    best = min(lacks, key=lambda index: (len(lacks[index]), -int(table.until("expires")[index])))
    if lacks[best]:
        return Finding(
            reason=f"{requirement.paper}: {together([_PAPER_LACKS[x] for x in lacks[best]])}"
        )
    last = int(expiry_days(table)[best])
    until = "" if last >= FOREVER - 1 else f", valid until {iso(last)}"
    left = requirement.remaining_validity
    if left is not None and last < FOREVER - 1:
        until += f"; {left} more are asked, good for submission until {iso(left.last_start(last))}"
    return Finding(reason=f"{requirement.paper} on file{until}")


@proposals.register
def _paper_proposals(requirement: PaperHeld, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    photo = requirement.photo
    entry = Paper(
        id=PROPOSED,
        evidence="confirmed",
        kind=requirement.paper,
        status="accepted",
        issuer=_first(requirement.issuers),
        country=view.context.each.value if view.context.each else _first(requirement.countries),
        issued=PartialDate.exact(day),
        expires=PartialDate.exact(FOREVER - 2),
        form=requirement.forms[0] if requirement.forms else "original",
        certified_by=_first(requirement.certified_by),
        language=_first(requirement.languages),
        translated_into=requirement.languages,
        translated_by=_first(requirement.translated_by),
        legalised=requirement.legalised[0] if requirement.legalised else None,
        width_mm=photo.width_mm if photo else None,
        height_mm=photo.height_mm if photo else None,
        face_share=photo.least_face or photo.greatest_face if photo else None,
    )
    details = [
        f"in the form of {either(requirement.forms)}" if requirement.forms else "",
        f"certified by {either(requirement.certified_by)}" if requirement.certified_by else "",
        f"in {either(requirement.languages)}, or translated" if requirement.languages else "",
        f"valid for {requirement.remaining_validity} more"
        if requirement.remaining_validity
        else "",
    ]
    kind = folded(requirement.paper)
    has_one = any(folded(paper.kind) == kind for paper in view.applicant.papers or ())
    renew = "Renew" if requirement.remaining_validity and has_one else "Get"
    if photo is not None and photo.width_mm and photo.height_mm:
        size = f"{figure(float(photo.width_mm))} by {figure(float(photo.height_mm))} mm"
        details.append(f"{size} in size")
    return (
        Proposal(
            what=f"{renew} the {requirement.paper}",
            detail=", ".join(detail for detail in details if detail),
            plain=f"{renew} your {requirement.paper}.",
            change=with_entry("papers", entry),
            since=day,
            is_own_pace=True,
        ),
    )
