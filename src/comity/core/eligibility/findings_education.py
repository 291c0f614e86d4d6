"""What stands behind verdicts about continuing education, and how to mend them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import numpy as np

from comity.core.days.calendar import Day, iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.educating import (
    SCALE,
    UnitsLedger,
    cycle_end,
    cycle_event,
    lags_of,
    ledgers_of,
    running_ledger,
)
from comity.core.eligibility.view import (
    PROPOSED,
    Finding,
    Proposal,
    View,
    figure,
    finding,
    in_turn,
    measured,
    plain_day,
    proposals,
    with_entry,
)
from comity.core.facts.model import (
    EducationUnits,
)
from comity.core.rulebook.kinds.educating import ContinuingEducation, Cycle
from comity.core.rulebook.phrases import either


@finding.register
def _education(requirement: ContinuingEducation, view: View) -> Finding:
    lag, ledger = _cycle_that_counts(requirement, view)
    done, lacking = education_state(ledger, view, view.on)
    reason = f"{figure(done)} of {figure(float(requirement.units))} units counted"
    for categories, least, got in lacking:
        reason += f"; {figure(got)} of {figure(float(least))} in {either(categories)}"
    reason += _cycle_words(requirement, view, lag)
    if done >= requirement.units and lacking:
        categories, least, got = lacking[0]
        unit = f"units in {either(categories)}"
        return measured(got, float(least), unit, reason=reason)
    return measured(done, float(requirement.units), "units", reason=reason)


def _cycle_that_counts(requirement: ContinuingEducation, view: View) -> tuple[int, UnitsLedger]:
    """Return the first cycle looked at in which something lacks, else the last, with its lag."""
    cycles = tuple(
        zip(lags_of(requirement.cycle), ledgers_of(requirement, view.context), strict=True)
    )
    lacking = (each for each in cycles if each[1].enough().run_at(view.row, view.on) is None)
    return next(lacking, cycles[0])


def _cycle_words(requirement: ContinuingEducation, view: View, lag: int) -> str:
    cycle, end = requirement.cycle, running_cycle_end(requirement, view)
    if cycle is None or end is None:
        return ""
    if not lag:
        return f", in the cycle that ends on {iso(end)}"
    ended = _ends_of_cycles(requirement, cycle, view)
    if len(ended) < lag:
        return "; as many cycles have not ended yet"
    return f", in the cycle that ended on {iso(ended[-lag] - 1)}"


def _ends_of_cycles(requirement: ContinuingEducation, cycle: Cycle, view: View) -> list[Day]:
    """Return the exclusive ends of the cycles that have ended by the day asked."""
    event = cycle_event(requirement, cycle, view.context)[view.row : view.row + 1]
    ends: list[Day] = []
    day = event
    while (end := int(cycle_end(cycle, event, day)[0])) <= view.on:
        ends.append(end)
        day = np.array([end])
    return ends


def running_cycle_end(requirement: ContinuingEducation, view: View) -> Day | None:
    """Return the last day of the cycle in which the day asked lies."""
    if requirement.cycle is None:
        return None
    event = cycle_event(requirement, requirement.cycle, view.context)[view.row : view.row + 1]
    if event[0] > view.on:
        return None
    return int(cycle_end(requirement.cycle, event, np.array([view.on]))[0]) - 1


def education_state(
    ledger: UnitsLedger, view: View, day: Day
) -> tuple[float, list[tuple[tuple[str, ...], Fraction, float]]]:
    """Return the units counted on a day, and the category minima not reached with what is there."""
    done = int(ledger.counted().value_at(day)[view.row]) / SCALE
    lacking = []
    for minimum in ledger.requirement.minima:
        got = int(ledger.sum_in(minimum.categories).value_at(day)[view.row]) / SCALE
        if got < minimum.least:
            lacking.append((minimum.categories, minimum.least, got))
    return done, lacking


@proposals.register
def _education_proposals(requirement: ContinuingEducation, view: View) -> tuple[Proposal, ...]:
    day = max(view.on, view.today)
    asked = _units_asked(requirement, view, day)
    if not asked:
        return ()
    words = " and ".join(_units_text(entry, name) for entry, name in asked)
    full = _full_categories(requirement, view, day)
    cannot = f"; {either(full)} cannot fill it" if full else ""
    last = running_cycle_end(requirement, view)
    waits = "; it counts once the cycle has ended" if max(lags_of(requirement.cycle)) else ""
    # In the running cycle the day of applying counts, which may come before its end.
    by = f" by {plain_day(last)}" if waits and last is not None else ""
    return (
        Proposal(
            what=f"Earn {words}{cannot}",
            detail=f"by {iso(last)}, the end of the cycle{waits}" if last is not None else "",
            plain=f"Earn {words}{by}.",
            change=in_turn([with_entry("education", entry) for entry, _name in asked]),
            since=day,
            is_own_pace=not waits,
        ),
    )


def _units_asked(
    requirement: ContinuingEducation, view: View, day: Day
) -> list[tuple[EducationUnits, str | None]]:
    """Return the units that lack, with the names of their categories; None where any will do."""
    ledger = running_ledger(requirement, view.context)
    done, lacking = education_state(ledger, view, day)
    asked: list[tuple[EducationUnits, str | None]] = []
    rest = float(requirement.units) - done
    for categories, least, got in lacking:
        entry = _units(len(asked), float(least) - got, category=categories[0], day=day)
        asked.append((entry, either(categories)))
        rest -= float(entry.units or 0)
    if rest > 0:
        asked.append((_units(len(asked), rest, category=None, day=day), None))
    return asked


def _full_categories(requirement: ContinuingEducation, view: View, day: Day) -> list[str]:
    """Return the categories of which no more units count."""
    ledger = running_ledger(requirement, view.context)
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
