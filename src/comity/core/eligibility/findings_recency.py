"""What stands behind verdicts about interruptions and recency, and how to mend them."""

from __future__ import annotations

import numpy as np

from comity.core.days.calendar import FOREVER, Day, iso
from comity.core.eligibility.findings_practice import proposed_spell
from comity.core.eligibility.recency import contact_days, gaps_count_since, last_allowed
from comity.core.eligibility.scopes import practice_days
from comity.core.eligibility.view import (
    Finding,
    Proposal,
    View,
    finding,
    measured,
    months_between,
    proposals,
    span_words,
    spanned,
    with_entry,
)
from comity.core.rulebook.kinds.practising import (
    Interruption,
    Recency,
    Scope,
)
from comity.core.rulebook.phrases import either


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
    found = measured(length, greatest, unit, reason=reason, lower_is_better=True)
    return spanned(found, begin, begin + longest, limit=int(limit))


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
    found = measured(age, within, unit, reason=reason, lower_is_better=True)
    return spanned(found, last, view.on, limit=int(requirement.within.after(last)))


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
