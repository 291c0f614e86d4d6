"""Checks of what a plan is made from: parties, steps, their limits, sittings and fees."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import Final

from comity.core.days.calendar import Day, iso
from comity.core.days.period import Period
from comity.core.rulebook.editions import everything_in
from comity.core.rulebook.findings import Finding, Path, Placed, Related, did_you_mean, titles_of
from comity.core.rulebook.model import Edition, Title
from comity.core.rulebook.steps import APPLICANT, Step

_SHORTEST_MONTH: Final = 28
_LONGEST_MONTH: Final = 31


def find_unplannable(edition: Edition) -> Iterator[Finding]:
    """Yield what keeps a plan from being made of an edition's steps."""
    for placed in titles_of(edition):
        yield from _parties(edition, placed)
        yield from _ring(placed)
        yield from _shared_ids(placed)
        yield from _loose_names(placed)
        yield from _short_limits(placed)
        yield from _closing_days(placed)
        yield from _fees(placed)


def is_planned(title: Title) -> bool:
    """Tell whether a title says how long its steps take, so that a plan can be made."""
    return any(step.duration or step.gets or step.sits or step.wait for step in title.steps)


# ------------------------------------------------------------------------------------ parties


def _parties(edition: Edition, placed: Placed) -> Iterator[Finding]:
    known = {party.id for party in edition.parties} | {APPLICANT}
    for name, path, is_needed in _parties_named(placed):
        if name not in known and (edition.parties or is_needed):
            yield Finding(
                code="P101",
                path=path,
                message="no party has this id, so nobody knows on which days it works",
                got=f"'{name}'",
                expected="applicant, or the id of an entry under `parties`",
                hint=did_you_mean(name, known)
                if edition.parties
                else f"parties: [{{id: {name}, label: …, who: authority}}]",
            )


def _parties_named(placed: Placed) -> Iterator[tuple[str, Path, bool]]:
    """Yield the parties a title names, where, and whether their working days are counted."""
    title, path = placed
    for index, step in enumerate(title.steps):
        is_counted = step.duration is not None and step.duration.is_working
        yield step.party, (*path, "steps", index, "party"), is_counted
    for index, examination in enumerate(title.examinations):
        if examination.marked_by is not None:
            yield examination.marked_by, (*path, "examinations", index, "marked_by"), True


# --------------------------------------------------------------------------------------- steps


def _ring(placed: Placed) -> Iterator[Finding]:
    title, path = placed
    positions = {step.id: index for index, step in enumerate(title.steps)}
    ring = _find_ring(_before(title))
    if ring:
        yield Finding(
            code="P102",
            path=(*path, "steps", positions[ring[0]], "after"),
            message="steps wait for each other, so none of them can ever begin",
            got=f"{' waits for '.join(ring)}",
            expected="an order in which the steps can be taken",
            related=tuple(
                Related(0, (*path, "steps", positions[name], "after"), f"what {name} waits for")
                for name in ring[1:-1]
            ),
        )


def _find_ring(before: Mapping[str, list[str]]) -> list[str]:
    """Return steps each of which waits for the next, the first one repeated; else nothing."""
    try:
        TopologicalSorter(before).prepare()
    except CycleError as error:
        ring: list[str] = error.args[1]
        # The sorter tells what comes before, so that the ring runs the other way.
        return ring[::-1]
    return []


def _before(title: Title) -> dict[str, list[str]]:
    """Return for each step the steps it waits for that are there."""
    known = {step.id for step in title.steps}
    return {step.id: [name for name in step.after if name in known] for step in title.steps}


def _shared_ids(placed: Placed) -> Iterator[Finding]:
    title, path = placed
    milestones = {each.id: index for index, each in enumerate(title.milestones)}
    for index, step in enumerate(title.steps):
        if step.id in milestones:
            where = (*path, "milestones", milestones[step.id], "id")
            yield Finding(
                code="P103",
                path=(*path, "steps", index, "id"),
                message="a step and a milestone have one id, so a limit could run from either",
                got=f"'{step.id}'",
                expected="another id for the step",
                related=(Related(0, where, "the milestone"),),
            )


def _loose_names(placed: Placed) -> Iterator[Finding]:
    title, path = placed
    milestones = [each.id for each in title.milestones]
    steps = [step.id for step in title.steps]
    examinations = [each.id for each in title.examinations]
    requirements = [each.requirement.id or "" for each in everything_in(title)]
    for index, step in enumerate(title.steps):
        here = (*path, "steps", index)
        for position, limit in enumerate(step.within):
            where = (*here, "within", position, "after")
            yield from _loose("P104", where, limit.after, known=[*steps, *milestones])
        used_at = step.gets.used_at if step.gets else None
        if used_at is not None:
            yield from _loose("P104", (*here, "gets", "used_at"), used_at, known=milestones)
        if step.sits is not None:
            yield from _loose("P108", (*here, "sits"), step.sits, known=examinations)
        for position, name in enumerate(step.proves):
            yield from _loose("P109", (*here, "proves", position), name, known=requirements)


_WANTED: Final[Mapping[str, tuple[str, str]]] = {
    "P104": ("nothing on the way has this id", "the id of a step or milestone of this title"),
    "P107": ("the title has no such step", "the id of a step"),
    "P108": ("the title lists no such examination", "an id under `examinations`"),
    "P109": ("the title has no such requirement", "the id of a requirement of this title"),
}


def _loose(code: str, path: Path, name: str, *, known: list[str]) -> Iterator[Finding]:
    if name not in known:
        message, expected = _WANTED[code]
        hint = did_you_mean(name, [each for each in known if each])
        yield Finding(
            code=code, path=path, message=message, got=f"'{name}'", expected=expected, hint=hint
        )


# -------------------------------------------------------------------------------------- limits


def _short_limits(placed: Placed) -> Iterator[Finding]:
    """Yield limits shorter than what has to happen in them takes at the very least."""
    title, path = placed
    if _find_ring(_before(title)):
        return
    reached = {step.reaches: step.id for step in title.steps if step.reaches}
    for index, step in enumerate(title.steps):
        for position, limit in enumerate(step.within):
            start = reached.get(limit.after, limit.after)
            least = _least_days(title, start, step.id)
            if least is not None and least > _most_days(limit.period):
                yield Finding(
                    code="P105",
                    path=(*path, "steps", index, "within", position, "period"),
                    message=f"the limit cannot be kept: what lies between takes {least} days"
                    " at least",
                    got=limit.period.words,
                    expected="a longer time, or shorter steps",
                    hint="compare both with the authority's text",
                )


def _least_days(title: Title, start: str, end: str) -> int | None:
    """Return the days that pass at least from the end of a step to that of another after it."""
    steps = {step.id: step for step in title.steps}
    before = _before(title)

    def since_start(name: str) -> int | None:
        if name == start:
            return 0
        found = [days for each in before[name] if (days := since_start(each)) is not None]
        return max(found) + _least_of(steps[name]) if found else None

    return since_start(end) if start in steps else None


def _least_of(step: Step) -> int:
    wait = step.wait or Period()
    duration = step.duration.least if step.duration else 0
    return wait.months * _SHORTEST_MONTH + wait.days + duration


def _most_days(period: Period) -> int:
    return period.months * _LONGEST_MONTH + period.days


# ----------------------------------------------------------------------------- sittings and fees


def _closing_days(placed: Placed) -> Iterator[Finding]:
    """Yield sittings that close later than one held after them."""
    title, path = placed
    for index, examination in enumerate(title.examinations):
        by_day = sorted(enumerate(examination.sittings), key=lambda each: each[1].on)
        for (n, first), (m, second) in pairwise(by_day):
            if (first.closes or first.on) > (second.closes or second.on):
                here = (*path, "examinations", index, "sittings")
                yield Finding(
                    code="P110",
                    path=(*here, m),
                    message="this sitting closes before an earlier one does",
                    got=f"closes {iso(second.closes or second.on)}",
                    expected=f"a day on or after {iso(first.closes or first.on)}",
                    related=(Related(0, (*here, n), "the earlier sitting"),),
                )


def _fees(placed: Placed) -> Iterator[Finding]:
    title, path = placed
    steps = [step.id for step in title.steps]
    for index, fee in enumerate(title.fees):
        if fee.step is not None:
            yield from _loose("P107", (*path, "fees", index, "step"), fee.step, known=steps)
        elif fee.at is None and is_planned(title):
            yield Finding(
                code="P106",
                path=(*path, "fees", index),
                severity="warning",
                message="the fee falls due with no step, so a plan leaves it out",
                got=f"'{fee.id}' without `step` or `at`",
                expected="the step with which it is paid",
                hint=did_you_mean(fee.id, steps),
            )


def find_past_sittings(edition: Edition, *, today: Day) -> Iterator[Finding]:
    """Yield a warning for each examination that is to be sat and has no sitting left."""
    for title, path in titles_of(edition):
        sat = {step.sits for step in title.steps}
        for index, examination in enumerate(title.examinations):
            days = [each.on for each in examination.sittings]
            if examination.id in sat and days and max(days) < today:
                yield Finding(
                    code="P113",
                    path=(*path, "examinations", index, "sittings"),
                    severity="warning",
                    message="every sitting listed is past, so no plan can be made",
                    got=f"the last one on {iso(max(days))}",
                    expected="sittings to come",
                    hint="look up the days that have been published since",
                )
