"""What stands behind verdicts about practice, and how to mend them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from math import ceil
from typing import Final

import numpy as np

from comity.core.days.accumulate import amount_on
from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.educating import SCALE, cycle_end, cycle_event, ledger_of
from comity.core.eligibility.practising import (
    clipped_practice,
    contact_days,
    gaps_count_since,
    last_allowed,
    practice_days,
    practice_needed,
    updating_done,
    updating_needed,
    weekly_minutes,
)
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
    span_words,
    with_entry,
)
from comity.core.facts.model import (
    Applicant,
    EducationUnits,
    PracticeSpell,
    Supervisor,
    Updating,
)
from comity.core.rulebook.kinds.educating import ContinuingEducation
from comity.core.rulebook.kinds.practising import (
    Interruption,
    Practice,
    Recency,
    Scope,
    SupervisorConditions,
    UpdatingOwed,
)
from comity.core.rulebook.phrases import either

_DAY_OF_STUDY: Final = 7 * 60
_HOWS: Final = ("supervised practice", "formal study", "private study")


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
    window = "" if requirement.look_back is None else f" in the last {requirement.look_back}"
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
    share = "full time" if is_full else f"at {round(100 * minutes / full_time)} %"
    part = "full time" if is_full else f"{hours} hours a week"
    return Proposal(
        what=f"Work{under}{place} until {{day}} {share}",
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


@finding.register
def _interruption(requirement: Interruption, view: View) -> Finding:
    since = int(gaps_count_since(requirement, view.context)[1][view.row])
    if since >= FOREVER or since > view.on:
        return Finding(reason=f"there is no {requirement.since} yet to count from")
    spells = practice_days(view.context, requirement.scope)
    longest, begin = _longest_gap(spells.runs_of(view.row), since, view.on)
    greatest = float(requirement.greatest.months or requirement.greatest.days)
    unit = "months" if requirement.greatest.months else "days"
    length = months_between(begin, begin + longest) if unit == "months" else float(longest)
    if not longest:
        return measured(0.0, greatest, unit, reason="no interruption", lower_is_better=True)
    words = span_words(begin, begin + longest) if unit == "months" else f"{longest} days"
    reason = (
        f"the longest interruption lasted {words}, from {iso(begin + 1)} to "
        f"{iso(begin + longest)}; {requirement.greatest} allowed"
    )
    limit = last_allowed(np.array([begin]), requirement.greatest, requirement.anchor)[0]
    over = begin + longest - int(limit)
    if over > 0:
        reason += f", {span_words(int(limit), begin + longest)} too long"
    return measured(length, greatest, unit, reason=reason, lower_is_better=True)


def _longest_gap(runs: tuple[tuple[Day, Day], ...], since: Day, on: Day) -> tuple[int, Day]:
    """Return the length of the longest gap up to a day, and the last day before it."""
    longest, begin, last = 0, since, since
    for start, end in (*runs, (on + 1, on + 1)):
        start = min(start, on + 1)  # noqa: PLW2901 - the gap is cut at the day asked
        if start - 1 - last > longest:
            longest, begin = start - 1 - last, last
        last = max(last, min(end - 1, on))
    return longest, begin


@finding.register
def _recency(requirement: Recency, view: View) -> Finding:
    lasts: list[tuple[Day, str]] = []
    for counted in requirement.counts:
        for start, end in contact_days(counted, requirement, view.context).runs_of(view.row):
            if start <= view.on:
                lasts.append((min(end - 1, view.on), counted))
    if not lasts:
        return Finding(reason=f"nothing on file counts as {either(requirement.counts)}")
    last, what = max(lasts)
    unit = "months" if requirement.within.months else "days"
    age = months_between(last, view.on) if unit == "months" else float(view.on - last)
    within = float(requirement.within.months or requirement.within.days)
    reason = f"the last day of {what} was {iso(last)}; {requirement.within} allowed"
    return measured(age, within, unit, reason=reason, lower_is_better=True)


@proposals.register
def _recency_proposals(requirement: Recency, view: View) -> tuple[Proposal, ...]:
    if "practice" not in requirement.counts:
        return ()
    start = max(view.on, view.today)
    spell = proposed_spell(
        requirement.scope, start=start, minutes=requirement_minutes(requirement.scope)
    )
    return (
        Proposal(
            what="Return to practice; it counts from the first day",
            detail=f"any post that counts; not met again {requirement.within} after its last day",
            plain="Start working in your profession again.",
            change=with_entry("practice", spell),
            since=start,
        ),
    )


def requirement_minutes(scope: Scope | None) -> int:
    """Return hours a week, in minutes, that a post needs to count at all."""
    return max(scope.least_hours_a_week or 0, 40 * 60) if scope else 40 * 60


@finding.register
def _updating(requirement: UpdatingOwed, view: View) -> Finding:
    done = sum(
        int(profile.value_at(view.on)[view.row])
        for _how, profile in updating_done(requirement, view.context)
    )
    per_unit = 60 if requirement.amount.unit == "hours" else requirement.hours_a_day or 60
    needed = float(requirement.amount.number)
    reason = f"{figure(done / per_unit)} of {requirement.amount} of updating counted"
    reason += "".join(f"; {cause}" for cause in _not_counted(requirement, view))
    return measured(done / per_unit, needed, requirement.amount.unit, reason=reason)


def _not_counted(requirement: UpdatingOwed, view: View) -> list[str]:
    """Return which updating on file does not count, and why."""
    causes = []
    for entry in view.applicant.facts.updating or ():
        cause = _why_not_counted(requirement, entry, view)
        if cause:
            causes.append(f"{entry.id} does not count: {cause}")
    return causes


def _why_not_counted(requirement: UpdatingOwed, entry: Updating, view: View) -> str:
    if requirement.allowed is not None and entry.how not in requirement.allowed:
        return f"{entry.how or 'its kind'} is not accepted"
    if entry.end is not None and entry.end.earliest > view.on:
        return f"it ends on {entry.end}"
    within, start = requirement.within, entry.start
    if within is not None and start is not None and start.latest < within.window_start(view.on):
        return f"it began on {start}, before the last {within}"
    if entry.how != "supervised practice" or requirement.supervisor is None:
        return ""
    return _supervisor_lacks(requirement.supervisor, entry)


def _supervisor_lacks(wanted: SupervisorConditions, entry: Updating) -> str:
    supervisor = entry.supervisor
    if supervisor is None:
        return "nothing is known of the supervisor"
    if wanted.same_profession and supervisor.same_profession is False:
        return "the supervisor is of another profession"
    if wanted.not_sanctioned and supervisor.sanctioned:
        return "the supervisor is under proceedings or a sanction"
    since, start = supervisor.registered_since, entry.start
    if wanted.registered_for is not None and since is not None and start is not None:
        needed = wanted.registered_for.after(since.earliest)
        if needed > start.latest:
            return f"the supervisor had not been registered for {wanted.registered_for}"
    return ""


def updating_gap(requirement: UpdatingOwed, view: View, day: Day) -> tuple[int, tuple[str, ...]]:
    """Return the minutes lacking on a day, and the kinds which can fill all of them."""
    done = {
        how: int(profile.value_at(day)[view.row])
        for how, profile in updating_done(requirement, view.context)
    }
    needed = updating_needed(requirement)
    lacking = needed - sum(done.values())
    caps: dict[str, int] = {cap.how: int(cap.share * needed) for cap in requirement.caps}
    kinds = tuple(how for how in done if caps.get(how, needed) - done[how] >= lacking)
    return lacking, kinds


@proposals.register
def _updating_proposals(requirement: UpdatingOwed, view: View) -> tuple[Proposal, ...]:
    start = max(view.on, view.today)
    lacking, kinds = updating_gap(requirement, view, start)
    for _round in range(3):
        if lacking <= 0 or not kinds:
            return ()
        end = start + ceil(lacking / _DAY_OF_STUDY) * 7 // 5
        later, kinds_later = updating_gap(requirement, view, end)
        if later == lacking:
            break
        lacking, kinds = later, kinds_later
    return (
        _study(
            requirement,
            start=start,
            end=end,
            lacking=lacking,
            kinds=kinds,
            rooms=_rooms(requirement, view, start),
        ),
    )


def _study(
    requirement: UpdatingOwed,
    *,
    start: Day,
    end: Day,
    lacking: int,
    kinds: tuple[str, ...],
    rooms: Mapping[str, int],
) -> Proposal:
    entry = Updating(
        id=PROPOSED,
        evidence="confirmed",
        how=next(how for how in _HOWS if how in kinds and not _needs_supervisor(requirement, how))
        if any(not _needs_supervisor(requirement, how) for how in kinds)
        else "supervised practice",
        start=PartialDate.exact(start),
        end=PartialDate.exact(end),
        hours=lacking,
        supervisor=proposed_supervisor(),
    )
    hours = _hours_text(lacking)
    barred = [how for how in requirement.allowed or _HOWS if how not in kinds]
    cannot = "".join(f"; {_room(how, rooms)}" for how in barred)
    return Proposal(
        what=f"{hours} more of {either(kinds)}{cannot}",
        detail=f"done full time it takes from {iso(start)} to {iso(end)}",
        plain=f"Do {hours} more of {either(kinds)}.",
        change=with_entry("updating", entry),
        since=end,
    )


def _rooms(requirement: UpdatingOwed, view: View, day: Day) -> dict[str, int]:
    """Return for each capped kind of updating the minutes that may still count."""
    needed = updating_needed(requirement)
    done = dict(updating_done(requirement, view.context))
    return {
        cap.how: int(cap.share * needed) - int(done[cap.how].value_at(day)[view.row])
        for cap in requirement.caps
        if cap.how in done
    }


def _room(how: str, rooms: Mapping[str, int]) -> str:
    room = rooms.get(how, 0)
    return f"{how} can fill {_hours_text(room)} of it" if room > 0 else f"{how} cannot fill it"


def _needs_supervisor(requirement: UpdatingOwed, how: str) -> bool:
    return how == "supervised practice" and requirement.supervisor is not None


def proposed_supervisor() -> Supervisor:
    """Return a supervisor who fulfils every condition."""
    return Supervisor(registered_since=PartialDate.exact(0), same_profession=True, sanctioned=False)


def _hours_text(minutes: int) -> str:
    hours = figure(ceil(minutes / 6) / 10)
    return "1 hour" if hours == "1" else f"{hours} hours"


@finding.register
def _education(requirement: ContinuingEducation, view: View) -> Finding:
    done, lacking = education_state(requirement, view, view.on)
    reason = f"{figure(done)} of {figure(float(requirement.units))} units counted"
    for categories, least, got in lacking:
        reason += f"; {figure(got)} of {figure(float(least))} in {either(categories)}"
    reason += _cycle_words(requirement, view)
    if done >= requirement.units and lacking:
        categories, least, got = lacking[0]
        unit = f"units in {either(categories)}"
        return measured(got, float(least), unit, reason=reason)
    return measured(done, float(requirement.units), "units", reason=reason)


def _cycle_words(requirement: ContinuingEducation, view: View) -> str:
    end = running_cycle_end(requirement, view)
    return "" if end is None else f", in the cycle that ends on {iso(end)}"


def running_cycle_end(requirement: ContinuingEducation, view: View) -> Day | None:
    """Return the last day of the cycle in which the day asked lies."""
    if requirement.cycle is None:
        return None
    event = cycle_event(requirement, requirement.cycle, view.context)[view.row : view.row + 1]
    if event[0] > view.on:
        return None
    return int(cycle_end(requirement.cycle, event, np.array([view.on]))[0]) - 1


def education_state(
    requirement: ContinuingEducation, view: View, day: Day
) -> tuple[float, list[tuple[tuple[str, ...], Fraction, float]]]:
    """Return the units counted on a day, and the category minima not reached with what is there."""
    ledger = ledger_of(requirement, view.context)
    done = int(ledger.counted().value_at(day)[view.row]) / SCALE
    lacking = []
    for minimum in requirement.minima:
        got = int(ledger.sum_in(minimum.categories).value_at(day)[view.row]) / SCALE
        if got < minimum.least:
            lacking.append((minimum.categories, minimum.least, got))
    return done, lacking


@proposals.register
def _education_proposals(requirement: ContinuingEducation, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    done, lacking = education_state(requirement, view, day)
    entries: list[EducationUnits] = []
    names: dict[str, str] = {}
    for number, (categories, least, got) in enumerate(lacking):
        name = either(categories)
        entries.append(_units(number, float(least) - got, category=categories[0], day=day))
        names[entries[-1].id] = name
    in_minima = sum(float(entry.units or 0) for entry in entries)
    rest = float(requirement.units) - done - in_minima
    if rest > 0:
        entries.append(_units(len(entries), rest, category=None, day=day))
    if not entries:
        return ()
    words = [_units_text(entry, names.get(entry.id)) for entry in entries]
    full = _full_categories(requirement, view, day)
    last = running_cycle_end(requirement, view)
    cannot = f"; {either(full)} cannot fill it" if full else ""

    def change(applicant: Applicant) -> Applicant:
        for entry in entries:
            applicant = with_entry("education", entry)(applicant)
        return applicant

    return (
        Proposal(
            what=f"Earn {' and '.join(words)}{cannot}",
            detail=f"by {iso(last)}, the end of the cycle" if last is not None else "",
            plain=f"Earn {' and '.join(words)}.",
            change=change,
            since=day,
            is_own_pace=True,
        ),
    )


def _full_categories(requirement: ContinuingEducation, view: View, day: Day) -> list[str]:
    """Return the categories of which no more units count."""
    ledger = ledger_of(requirement, view.context)
    return [
        category
        for cap in requirement.caps
        if int(ledger.sum_in(cap.categories).value_at(day)[view.row]) >= cap.most * SCALE
        for category in cap.categories
    ]


def _units(number: int, units: float, *, category: str | None, day: Day) -> EducationUnits:
    amount = Fraction(ceil(round(units * SCALE, 3)), SCALE)
    return EducationUnits(
        id=f"{PROPOSED}-{number}",
        evidence="confirmed",
        earned=PartialDate.exact(day),
        units=amount,
        category=category or "any",
    )


def _units_text(entry: EducationUnits, name: str | None) -> str:
    kind = f" in {name}" if name else ""
    amount = figure(float(entry.units or 0))
    return f"{amount} more {'unit' if amount == '1' else 'units'}{kind}"
