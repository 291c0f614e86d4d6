"""What stands behind verdicts about practice, and how to mend them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from comity.core.days.accumulate import amount_on
from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.practising import clipped_practice, practice_needed, weekly_minutes
from comity.core.eligibility.view import (
    PROPOSED,
    Finding,
    Proposal,
    View,
    figure,
    finding,
    measured,
    months_between,
    proposals,
)
from comity.core.facts.model import (
    Applicant,
    PracticeSpell,
)
from comity.core.rulebook.kinds.practising import (
    Practice,
    Scope,
)
from comity.core.rulebook.phrases import either, one_unsaid


@finding.register
def _practice(requirement: Practice, view: View) -> Finding:
    if requirement.run == "consecutive":
        return _longest_run(requirement, view)
    done = int(
        amount_on(
            weekly_minutes(requirement, view.context), day=view.on, window=requirement.look_back
        )[view.row]
    )
    needed = practice_needed(requirement)
    asked = requirement.amount
    amount = float(asked.number * done / needed) if needed else 0.0
    window = (
        "" if requirement.look_back is None else f" in the last {one_unsaid(requirement.look_back)}"
    )
    reason = f"{figure(amount)} of {asked} of practice counted{window}"
    return measured(amount, float(asked.number), asked.unit, reason=reason)


def _longest_run(requirement: Practice, view: View) -> Finding:
    spells = clipped_practice(requirement, view.context)
    window = requirement.look_back
    opens = 0 if window is None else int(window.window_start(view.on))
    best = 0.0
    unit = requirement.amount.unit
    for start, end in spells.runs_of(view.row):
        first, last = max(start, opens), min(end, view.on + 1)
        best = max(best, _run_in_unit(first, last, unit))
    reason = (
        f"the longest run without a break lasts {figure(best)} {unit}; {requirement.amount} asked"
    )
    return measured(best, float(requirement.amount.number), unit, reason=reason)


def _run_in_unit(first: Day, end: Day, unit: str) -> float:
    if end <= first:
        return 0.0
    if unit in {"days", "weeks"}:
        return (end - first) / (7 if unit == "weeks" else 1)
    months = months_between(first - 1, end - 1)
    return months / 12 if unit == "years" else months


def open_rate(view: View) -> int | None:
    """Return the minutes a week of the posts which go on, None without any."""
    spells = view.applicant.facts.practice or ()
    rates = [spell.hours_a_week or 0 for spell in spells if spell.end and spell.end.is_open]
    return sum(rates) if rates else None


def proposed_spell(scope: Scope | None, *, start: Day, minutes: int) -> PracticeSpell:
    """Return a post that would count, from a day on."""
    wanted = scope or Scope()
    return PracticeSpell(
        id=PROPOSED,
        evidence="confirmed",
        setting=wanted.settings[0] if wanted.settings else "clinical",
        title=wanted.titles[0] if wanted.titles else None,
        country=wanted.countries[0] if wanted.countries else None,
        registered=True if wanted.registered is None else wanted.registered,
        supervised=bool(wanted.supervised),
        start=PartialDate.exact(start),
        end=PartialDate.exact(FOREVER - 2),  # goes on, whatever is assumed of other posts
        hours_a_week=minutes,
    )


@proposals.register
def _practice_proposals(requirement: Practice, view: View) -> tuple[Proposal, ...]:
    full_time = requirement.full_time or 40 * 60
    start = view.today
    rates = [full_time]
    goes_on = view.assumption == "continues" and open_rate(view) is not None
    rate = _last_rate(view)
    if not goes_on and rate and rate < full_time:
        rates.insert(0, rate)
    return tuple(_work(requirement, view, start=start, minutes=each) for each in rates)


def _work(requirement: Practice, view: View, *, start: Day, minutes: int) -> Proposal:
    """Return working at a rate from a day on, in place of the posts which go on."""
    full_time = requirement.full_time or 40 * 60
    spell = proposed_spell(requirement.scope, start=start, minutes=minutes)
    under = " under supervision" if spell.supervised else ""
    scope = requirement.scope or Scope()
    place = f" in {either([view.name_of(c) for c in scope.countries])}" if scope.countries else ""
    if scope.settings:
        place += f" (setting: {either(scope.settings)})"
    hours = figure(minutes / 60)
    is_full = minutes >= full_time
    part = "full time" if is_full else f"{hours} hours a week"
    return Proposal(
        what=f"Work{under}{place} until {{day}}, {part}",
        detail=f"from {iso(start)} on, {hours} hours a week in a post that counts",
        plain=f"Work{under}{place} {part} until {{day}}.",
        change=in_place_of_open_posts(spell),
        since=start,
    )


def in_place_of_open_posts(spell: PracticeSpell) -> Callable[[Applicant], Applicant]:
    """Return the change which lets a post begin and those which go on end the day before."""
    begins = spell.start.earliest if spell.start else 0
    last = PartialDate.exact(max(begins - 1, 0))

    def change(applicant: Applicant) -> Applicant:
        posts = tuple(
            replace(post, end=last) if post.end is not None and post.end.is_open else post
            for post in applicant.facts.practice or ()
            if not (post.end is not None and post.end.is_open and _starts_by(post, begins))
        )
        return replace(applicant, facts=replace(applicant.facts, practice=(*posts, spell)))

    return change


def _starts_by(post: PracticeSpell, day: Day) -> bool:
    """Tell whether a post has no day before another one begins."""
    return post.start is not None and post.start.earliest >= day


def _last_rate(view: View) -> int | None:
    """Return the hours a week of the last post, in minutes."""
    current = open_rate(view)
    if current:
        return current
    posts = [post for post in view.applicant.facts.practice or () if post.end and post.hours_a_week]
    latest = max(posts, key=lambda post: post.end.latest if post.end else 0, default=None)
    return latest.hours_a_week if latest else None
