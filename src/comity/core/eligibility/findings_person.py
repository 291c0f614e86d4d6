"""What stands behind verdicts about training, registration and the person."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.days.period import Period
from comity.core.eligibility.qualifying import (
    days_registered,
    hours_lacking,
    qualifications_passing,
    registrations_passing,
)
from comity.core.eligibility.totals import MONTH_DAYS, total_on
from comity.core.eligibility.view import (
    Finding,
    Proposal,
    View,
    figure,
    finding,
    measured,
    months_between,
    proposals,
    spanned,
)
from comity.core.facts.model import Qualification
from comity.core.rulebook.kinds.combining import ByHand, Refer
from comity.core.rulebook.kinds.qualifying import (
    AgeReached,
    DatesOpen,
    Declared,
    Elapsed,
    NationalityHeld,
    QualificationHeld,
    RegistrationHeld,
    ResidenceHeld,
)
from comity.core.rulebook.phrases import either, one_unsaid, opened, together
from comity.core.rulebook.phrases import hours as duration

Run = tuple[Day, Day]
_LACKS = {
    "title": "its title is another",
    "level": "its level is too low or not known",
    "field": "its field is another",
    "excluded field": "its field is one that does not count",
    "length": "it is too short",
    "country": "it was earned in another country",
    "excluded country": "its country of training does not count",
    "accredited_by": "it is not accredited as asked",
    "equivalent_to": "no evaluation states the equivalence asked",
    "hours": "its hours fall short",
    "following": "it was not completed after the one that comes first, or not soon enough",
    "completed": "it was completed outside the dates allowed",
}


@finding.register
def _qualification(requirement: QualificationHeld, view: View) -> Finding:
    table = view.context.columns.table("qualifications")
    passing = qualifications_passing(requirement, view.context)
    mine = np.flatnonzero(table.rows == view.row)
    if not mine.size:
        return Finding(reason="no qualification is on file")
    lacks = {int(index): [n for n, ok in passing.items() if not ok[index]] for index in mine}
    best = min(lacks, key=lambda index: (len(lacks[index]), index))
    entry = _entry(view, best - int(mine[0]))
    name = entry.title or entry.id
    if not lacks[best]:
        return _completed_finding(requirement, entry, view=view, name=name)
    if lacks[best] == ["hours"]:
        return _hours_finding(requirement, entry, name)
    if lacks[best] == ["length"] and requirement.least_length and entry.length:
        return _length_finding(entry.length, requirement.least_length, name)
    said = together([_LACKS[lack] for lack in lacks[best]])
    return Finding(reason=f"the nearest is {name}: {said}")


def _length_finding(length: Period, least: Period, name: str) -> Finding:
    reason = f"the nearest is {name}: it lasted {length}, {least} asked"
    if length.months and least.months:
        return measured(float(length.months), float(least.months), "months", reason=reason)
    if length.days and least.days:
        return measured(float(length.days), float(least.days), "days", reason=reason)
    return Finding(reason=reason)


def _entry(view: View, index: int) -> Qualification:
    entries = view.applicant.facts.qualifications or ()
    if view.confirmed_only:
        entries = tuple(entry for entry in entries if entry.evidence == "confirmed")
    return entries[index]


def _completed_finding(
    requirement: QualificationHeld, entry: Qualification, *, view: View, name: str
) -> Finding:
    completed = entry.completed
    if completed is None:
        return Finding(reason=f"{name} has no day of completion on file")
    reason = f"{name}, completed {completed}"
    limit = requirement.within or requirement.at_least_ago
    if limit is None or completed.latest > view.on:
        return Finding(reason=reason)
    in_months = bool(limit.months)
    age = months_between(completed.latest, view.on) if in_months else view.on - completed.latest
    return measured(
        float(age),
        float(limit.months or limit.days),
        "months" if in_months else "days",
        reason=reason,
        lower_is_better=requirement.within is not None,
    )


def _hours_finding(requirement: QualificationHeld, entry: Qualification, name: str) -> Finding:
    hours = entry.hours or {}
    lacking = hours_lacking(requirement, hours)
    words = [f"{duration(minutes)} {_of(what)}" for what, minutes in lacking.items()]
    reason = f"the nearest is {name}: it lacks {together(words)}"
    short = max(lacking.values()) / 60
    if requirement.total_hours is not None and "in all" in lacking:
        needed = requirement.total_hours / 60
        return measured(needed - lacking["in all"] / 60, needed, "hours", reason=reason)
    return Finding(reason=reason, shortfall=short, unit="hours")


def _of(what: str) -> str:
    return what if what == "in all" else f"of {what}"


@proposals.register
def _qualification_proposals(requirement: QualificationHeld, view: View) -> tuple[Proposal, ...]:
    parts = []
    if requirement.equivalent_to:
        parts.append(f"ask for an evaluation that states: {either(requirement.equivalent_to)}")
    if _lacks_hours_only(requirement, view):
        parts.append("ask the school for a statement of hours, or make up the hours that lack")
    what = "; ".join(parts) or "earn a qualification that counts"
    what = what[:1].upper() + what[1:]
    plain = "Your training needs something added to it. Ask us which course or statement would do."
    return (Proposal(what=what, plain=plain, is_sure=False),)


def _lacks_hours_only(requirement: QualificationHeld, view: View) -> bool:
    """Tell whether some qualification would do but for its hours."""
    table = view.context.columns.table("qualifications")
    passing = qualifications_passing(requirement, view.context)
    others = [passes for name, passes in passing.items() if name != "hours"]
    kept = table.rows == view.row
    for passes in others:
        kept = kept & passes
    return "hours" in passing and bool(kept.any())


@finding.register
def _registration(requirement: RegistrationHeld, view: View) -> Finding:
    runs = days_registered(requirement, view.context).runs_of(view.row)
    if not runs:
        return Finding(reason=_why_none_counts(requirement, view))
    begun = [run for run in runs if run[0] <= view.on]
    if not begun:
        return Finding(reason="the registration on file has not begun, or its days are not known")
    if requirement.in_all is not None:
        return _held_in_all(requirement, requirement.in_all, view)
    start, end = _run_that_counts(requirement, begun, view.on)
    reason = _run_in_words(requirement, view, start=start, last=end - 1)
    period = requirement.for_at_least
    if period is None:
        return Finding(reason=reason)
    last = min(view.on, end - 1)
    amount = months_between(start, last) if period.months else float(last - start)
    unit = "months" if period.months else "days"
    found = measured(amount, float(period.months or period.days), unit, reason=reason)
    return spanned(found, start, last, limit=int(period.after(start)))


def _run_that_counts(
    requirement: RegistrationHeld, runs: Sequence[Run], on: Day
) -> tuple[Day, Day]:
    """Return the run that fulfils on the day, the last of several; else the nearest to it."""
    if requirement.held == "current":
        return runs[-1]
    period, within = requirement.for_at_least, requirement.within

    def is_enough(run: Run) -> bool:
        is_long = period is None or period.after(run[0]) <= min(on, run[1] - 1)
        return is_long and (within is None or on <= within.after(run[1] - 1))

    enough = [run for run in runs if is_enough(run)]
    if enough:
        return enough[-1]
    if period is None:
        return runs[-1]
    recent = [run for run in runs if within is None or on <= within.after(run[1] - 1)]
    return max(recent or runs, key=lambda run: min(on + 1, run[1]) - run[0])


def _run_in_words(requirement: RegistrationHeld, view: View, *, start: Day, last: Day) -> str:
    """Return from when to when one was registered, with the category where it matters."""
    until = "still held" if last >= FOREVER - 1 else f"held until {iso(last)}"
    told = ""
    if requirement.categories or requirement.excluded_categories:
        table = view.context.columns.table("registrations")
        kept = registrations_passing(requirement, view.context) & (table.rows == view.row)
        kept &= (table.since("start") <= last) & (table.until("end") >= start)
        told = together(_categories_of(view, np.flatnonzero(kept)))
    category = f" (category: {told})" if told else ""
    return f"registered since {iso(start)}, {until}{category}"


def _categories_of(view: View, indices: Iterable[int]) -> list[str]:
    """Return the categories of registrations by their places in the table, each once."""
    codes, values = view.context.columns.table("registrations").codes("category")
    named = (str(values[codes[index]]) for index in indices if codes[index] >= 0)
    return list(dict.fromkeys(named))


def _why_none_counts(requirement: RegistrationHeld, view: View) -> str:
    """Return that no registration counts, and whether the category alone is to blame."""
    anything = replace(requirement, categories=None, excluded_categories=None)
    table = view.context.columns.table("registrations")
    others = registrations_passing(anything, view.context) & (table.rows == view.row)
    held = together(_categories_of(view, np.flatnonzero(others)))
    blame = f"; the category on file is {held}" if held else ""
    return f"no registration on file counts{blame}"


def _held_in_all(requirement: RegistrationHeld, asked: Period, view: View) -> Finding:
    """Return how long one was registered in all, breaks left out."""
    held, window = days_registered(requirement, view.context), requirement.look_back
    n_days = total_on(held, view.on, row=view.row, window=window)
    trailing = "" if window is None else f" in the last {one_unsaid(window)}"
    amount = float(n_days / MONTH_DAYS) if asked.months else float(n_days)
    unit = "months" if asked.months else "days"
    reason = f"registered for {figure(amount)} of {asked} in all{trailing}"
    is_held = held.run_at(view.row, view.on) is not None
    if requirement.held == "current" and not is_held:
        reason += ", but not on that day"
    return measured(amount, float(asked.months or asked.days), unit, reason=reason)


@proposals.register
def _registration_proposals(requirement: RegistrationHeld, view: View) -> tuple[Proposal, ...]:
    own = view.edition.authority
    if own.id in (requirement.authorities or ()):
        titles = f" as {either(requirement.titles)}" if requirement.titles else ""
        what = f"First be entered in the register of {own.name} itself{titles}"
        return (Proposal(what=what, plain=f"{what}.", is_sure=False),)
    codes = requirement.authorities or requirement.countries
    where = either([view.name_of(code) for code in codes]) if codes else "your own authority"
    return (
        Proposal(
            what=f"Register with {where}",
            plain=f"First register with {where}; this authority builds on that registration.",
            is_sure=False,
        ),
    )


@finding.register
def _nationality(requirement: NationalityHeld, view: View) -> Finding:
    held = view.applicant.facts.person.nationality
    said = either([view.name_of(code) for code in held]) if held else "not on file"
    asked = either([view.name_of(code) for code in requirement.countries])
    return Finding(reason=f"nationality: {said}; {asked} asked")


@finding.register
def _residence(requirement: ResidenceHeld, view: View) -> Finding:
    residence = view.applicant.facts.person.residence
    said = view.name_of(residence) if residence else "not on file"
    asked = either([view.name_of(code) for code in requirement.countries])
    return Finding(reason=f"residence: {said}; {asked} asked")


@finding.register
def _age(requirement: AgeReached, view: View) -> Finding:
    born = view.applicant.facts.person.born
    if born is None or not born.is_exact:
        return Finding(reason=f"born {born}" if born else "date of birth not on file")
    years = int(months_between(born.latest, view.on) // 12)
    limit = requirement.at_least or requirement.below
    if limit is None:
        return Finding(reason=f"{years} years old")
    return measured(
        float(years),
        limit.months / 12,
        "years",
        reason=f"{years} years old",
        lower_is_better=requirement.at_least is None,
    )


@finding.register
def _declared(requirement: Declared, view: View) -> Finding:
    entries = view.applicant.facts.declarations or ()
    answer = next((e.answer for e in entries if e.id == requirement.declaration), None)
    said = {True: "yes", False: "no", None: "not answered yet"}[answer]
    return Finding(reason=f"{requirement.question} Answer: {said}")


@finding.register
def _dates(requirement: DatesOpen, view: View) -> Finding:
    return Finding(reason=f"asked for {iso(view.on)}")


@proposals.register
def _elapsed_proposals(requirement: Elapsed, view: View) -> tuple[Proposal, ...]:
    if milestone_day(view, requirement.since) is not None:
        return ()
    name = milestone_name(view, requirement.since)
    when = f"{span} after that" if (span := _span_of(requirement)) else "after that"
    return (
        Proposal(
            what=f"Only after: {name}, which has not happened yet; then {when}",
            plain=f"This comes only after another step: {name}. Tell us when that has happened.",
            is_sure=False,
        ),
    )


def _span_of(requirement: Elapsed) -> str:
    """Return how long after the milestone it must be, in words."""
    parts = []
    if requirement.at_least is not None:
        parts.append(f"at least {requirement.at_least}")
    if requirement.within is not None:
        parts.append(f"at most {requirement.within}")
    return " and ".join(parts)


def milestone_name(view: View, milestone: str) -> str:
    """Return what people call a milestone."""
    labels = {each.id: each.label for each in view.title.milestones}
    return labels.get(milestone) or milestone.replace("-", " ")


@finding.register
def _elapsed(requirement: Elapsed, view: View) -> Finding:
    day = milestone_day(view, requirement.since)
    if day is None:
        return Finding(reason=f"{milestone_name(view, requirement.since)}: not yet")
    limit = requirement.at_least or requirement.within
    reason = f"{milestone_name(view, requirement.since)}: on {iso(day)}"
    if limit is None:
        return Finding(reason=reason)
    months = bool(limit.months)
    amount = months_between(day, view.on) if months else float(view.on - day)
    return measured(
        amount,
        float(limit.months or limit.days),
        "months" if months else "days",
        reason=reason,
        lower_is_better=requirement.at_least is None,
    )


def milestone_day(view: View, milestone: str) -> Day | None:
    """Return the latest day of a milestone that has happened."""
    names = {milestone, f"{view.context.prefix}/{milestone}"}
    days = [step.on.latest for step in view.applicant.progress if step.milestone in names]
    return max(days, default=None)


@finding.register
def _by_hand(requirement: ByHand, view: View) -> Finding:
    full_id = f"{view.context.prefix}/{requirement.id}"
    reviews = [r for r in view.applicant.results.reviews if r.requirement == full_id]
    if not reviews:
        return Finding(reason=f"{requirement.checked_by} has not looked at it yet")
    last = max(reviews, key=lambda review: review.on)
    return Finding(reason=f"{last.by} found it {last.verdict} on {iso(last.on)}: {last.reason}")


@proposals.register
def _by_hand_proposals(requirement: ByHand, _view: View) -> tuple[Proposal, ...]:
    return (
        Proposal(
            what=f"Have {requirement.checked_by} look at it",
            plain="Someone has to look at this by hand; ask us.",
            is_sure=False,
        ),
    )


@finding.register
def _refer(requirement: Refer, _view: View) -> Finding:
    factors = f"; it looks at {together(requirement.factors)}" if requirement.factors else ""
    return Finding(reason=f"{requirement.decided_by} decides case by case{factors}")


@proposals.register
def _refer_proposals(requirement: Refer, _view: View) -> tuple[Proposal, ...]:
    prepare = f": {together(requirement.prepare)}" if requirement.prepare else ""
    return (
        Proposal(
            what=f"Prepare a case for {requirement.decided_by}{prepare}",
            plain=f"{opened(requirement.decided_by)} looks at cases like yours one by one. "
            "We help you write to them.",
            is_sure=False,
            is_case=True,
        ),
    )
