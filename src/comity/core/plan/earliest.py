"""The earliest plan as a least fixpoint, and the just-in-time plan as a greatest one.

Every lag, greatest lag, calendar, sitting and set of permitted days is a monotone map on days. So
sweeping over the steps until nothing moves gives the earliest days of all steps at once; a day past
the horizon means that no plan exists (Knaster-Tarski; for networks with greatest lags: Bartusch,
Mohring and Radermacher 1988, "Scheduling project networks with resource constraints and time
windows").
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.plan.moving import (
    end_after,
    last_allowed,
    last_entry,
    last_start,
    least_before,
    least_start,
    next_allowed,
    next_sitting,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.days.calendar import Day
    from comity.core.days.period import Period
    from comity.core.plan.network import Network, Step

_NEVER: Final = -1


@dataclass(frozen=True, slots=True)
class Schedule:
    """A day on which each step starts and one on which it ends, in the network's order."""

    starts: tuple[Day, ...]
    ends: tuple[Day, ...]


def earliest_plan(network: Network, *, durations: Sequence[int] | None = None) -> Schedule | None:
    """Return the schedule in which every step is as early as any schedule allows.

    Parameters
    ----------
    network : Network
        What is to be done.
    durations : sequence of int, optional
        Days each step takes, in the network's order; the planned ones if left out.

    Returns
    -------
    Schedule or None
        None when no schedule ends by the horizon.

    Notes
    -----
    Examinations count as passed at the first sitting. Each sweep costs one look at each step and
    lag; sweeps repeat only where greatest lags push an earlier step.
    """
    days = _days_of(network, durations)
    before = _links(network)
    limits = _limits(network)
    starts = [max(step.not_before, 0) for step in network.steps]
    ends = [0] * len(starts)
    is_moving = True
    while is_moving:
        for index, step in enumerate(network.steps):
            start = starts[index]
            for earlier, wait in before[index]:
                ready = ends[earlier] if wait is None else wait.after(ends[earlier])
                start = max(start, ready)
            starts[index] = start = next_allowed(start, step.may_start)
            ends[index] = step_end(step, start, days[index])
            if ends[index] > network.horizon:
                return None
        is_moving = False
        for earlier, later, period in limits:
            floor = least_before(ends[later], period)
            if floor > ends[earlier]:
                if network.steps[earlier].happened is not None:
                    return None
                starts[earlier] = _start_for(network.steps[earlier], floor, days[earlier])
                is_moving = True
    return Schedule(tuple(starts), tuple(ends))


def latest_plan(
    network: Network,
    deadlines: dict[str, Day],
    *,
    durations: Sequence[int] | None = None,
) -> Schedule | None:
    """Return the schedule in which every step is as late as deadlines allow: just in time.

    Parameters
    ----------
    network : Network
        What is to be done.
    deadlines : mapping
        Last days on which some steps may end; others may end as late as what follows them allows.
    durations : sequence of int, optional
        As for `earliest_plan`.

    Returns
    -------
    Schedule or None
        None when some step would have to start before its first day.
    """
    days = _days_of(network, durations)
    before = _links(network)
    limits = _limits(network)
    ends = [min(deadlines.get(s.id, network.horizon), network.horizon) for s in network.steps]
    starts = list(ends)
    is_moving = True
    while is_moving:
        is_moving = False
        for earlier, later, period in limits:
            ends[later] = min(ends[later], period.after(ends[earlier]))
        for index in reversed(range(len(ends))):
            step = network.steps[index]
            start = min(_latest_start(step, ends[index], days[index]), starts[index])
            if start < (0 if step.happened is not None else max(step.not_before, 0)):
                return None
            end = step_end(step, start, days[index])
            is_moving |= (start, end) != (starts[index], ends[index])
            starts[index], ends[index] = start, end
            for earlier, wait in before[index]:
                last = starts[index] if wait is None else wait.last_start(starts[index])
                if last < 0:
                    return None
                if last < ends[earlier]:
                    ends[earlier] = last
                    is_moving = True
    return Schedule(tuple(starts), tuple(ends))


def _days_of(network: Network, durations: Sequence[int] | None) -> Sequence[int]:
    return [s.duration.planned for s in network.steps] if durations is None else durations


def _links(network: Network) -> list[list[tuple[int, Period | None]]]:
    """Return for each step the positions of those before it, with the wait if there is one."""
    return [
        [
            (network.position[link.step], link.wait if link.wait.months or link.wait.days else None)
            for link in network.before[step.id]
        ]
        for step in network.steps
    ]


def _limits(network: Network) -> list[tuple[int, int, Period]]:
    return [
        (network.position[earlier], network.position[later], period)
        for earlier, later, period in network.limits()
    ]


def step_end(step: Step, start: Day, days: int) -> Day:
    """Return the day on which a step ends that starts on a day and takes some days."""
    if step.happened is not None:
        return step.happened
    if step.sittings is not None:
        start = next_sitting(start, step.sittings)
    return next_allowed(end_after(start, days, step.calendar), step.end_days)


def _start_for(step: Step, end: Day, days: int) -> Day:
    """Return the first start from which a step ends on or after a day."""
    start = least_start(end, days, step.calendar)
    if step.sittings is None:
        return start
    # The sitting before the needed one must have closed.
    closed = [sitting.closes + 1 for sitting in step.sittings.dates if sitting.on < start]
    return max(closed, default=0)


def _latest_start(step: Step, end: Day, days: int) -> Day:
    """Return the last start from which a step ends on or before a day; -1 when there is none."""
    if step.happened is not None:
        return step.happened if step.happened <= end else _NEVER
    start = last_start(last_allowed(end, step.end_days), days, step.calendar)
    if step.sittings is not None:
        start = last_entry(start, step.sittings)
    return last_allowed(start, step.may_start)
