"""What people can do: hours of study a week, money put aside month by month, days that are blocked.

These are not monotone: a fee paid early may leave nothing for another one. So a plan is first made
step by step (`greedy`), quickly and not always best, then improved by a solver (`solving`); the
plan without limits bounds both from below.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.days.period import Period
from comity.core.plan.earliest import Schedule, step_end
from comity.core.plan.moving import next_allowed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.plan.network import Network


@dataclass(frozen=True, slots=True)
class Load:
    """What a step asks of the applicant.

    Parameters
    ----------
    fee_minor : int
        Paid on the day on which the step starts, in minor units; >= 0.
    study_minutes_a_week : int
        While it goes on; >= 0.
    is_applicants : bool
        Whether the applicant has to be free on the day on which it starts.
    """

    fee_minor: int = 0
    study_minutes_a_week: int = 0
    is_applicants: bool = False


@dataclass(frozen=True, slots=True)
class Limits:
    """What the applicant has.

    Parameters
    ----------
    first_day : Day
        The day on which `cash_minor` is at hand.
    cash_minor : int
        Money at hand, in minor units.
    savings_minor : int or None
        Put aside at the end of every month that begins with the first day; None for no limit of
        money.
    study_minutes_a_week : int or None
        Hours there are; None for no limit.
    blocked : tuple of Run
        Days on which the applicant cannot act, in order.
    """

    first_day: Day
    cash_minor: int = 0
    savings_minor: int | None = None
    study_minutes_a_week: int | None = None
    blocked: tuple[Run, ...] = ()

    def saved_by(self, day: Day) -> int:
        """Return the money put aside by a day, in minor units."""
        return self.cash_minor + (self.savings_minor or 0) * n_months(self.first_day, day)

    def paydays(self, last: Day) -> tuple[Day, ...]:
        """Return the days on which savings come in, up to a day."""
        days: list[Day] = []
        while (day := Period(months=len(days) + 1).beginning(self.first_day)) <= last:
            days.append(day)
        return tuple(days)


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be planned: a network, what its steps ask, what there is, and what matters.

    Parameters
    ----------
    network : Network
        The steps.
    loads : mapping
        By step; a step left out asks for nothing.
    limits : Limits
        What there is.
    target : str
        The step that should end soon.
    """

    network: Network
    loads: Mapping[str, Load]
    limits: Limits
    target: str

    def load(self, step: str) -> Load:
        """Return what a step asks; one that has happened asks for nothing any more."""
        done = self.network[step].happened is not None
        return Load() if done else self.loads.get(step, Load())


@dataclass(frozen=True, slots=True)
class LimitedPlan:
    """A plan that keeps the limits, and how good it is.

    Parameters
    ----------
    schedule : Schedule
        In the network's order.
    end, bound : Day
        When the target ends, and a day before which no plan ends.
    is_best : bool
        Whether it is proved that no plan ends earlier.
    """

    schedule: Schedule
    end: Day
    bound: Day
    is_best: bool

    @property
    def gap_days(self) -> int:
        """How many days earlier another plan might end at most."""
        return self.end - self.bound


def breaks(task: Task, schedule: Schedule) -> tuple[str, ...]:
    """Return in words what a schedule breaks; nothing when it keeps everything.

    Looks at lags, calendars, greatest lags, money, hours and blocked days one by one, so that no
    plan is shown on a solver's word alone.
    """
    network, found = task.network, []
    starts = dict(zip(network.position, schedule.starts, strict=True))
    ends = dict(zip(network.position, schedule.ends, strict=True))
    for step in network.steps:
        if step.happened is None:
            early = step.not_before > starts[step.id] or any(
                link.wait.after(ends[link.step]) > starts[step.id]
                for link in network.before[step.id]
            )
            if early:
                found.append(f"{step.id} starts too early")
            if step_end(step, starts[step.id], step.duration.planned) != ends[step.id]:
                found.append(f"{step.id} ends on another day than it can")
            is_taken = task.load(step.id).is_applicants and is_blocked(task, starts[step.id])
            if is_taken or next_allowed(starts[step.id], step.may_start) != starts[step.id]:
                found.append(f"{step.id} starts on a blocked day")
    for earlier, later, period in network.limits():
        if ends[later] > period.after(ends[earlier]):
            found.append(f"{later} ends too long after {earlier}")
    return (*found, *_overspent(task, starts), *_overworked(task, starts, ends))


def _overspent(task: Task, starts: Mapping[str, Day]) -> list[str]:
    if task.limits.savings_minor is None:
        return []
    fees = sorted((starts[s.id], task.load(s.id).fee_minor, s.id) for s in task.network.steps)
    spent, found = 0, []
    for day, fee, name in fees:
        spent += fee
        if fee and spent > task.limits.saved_by(day):
            found.append(f"the fee of {name} falls before the money is there")
    return found


def _overworked(task: Task, starts: Mapping[str, Day], ends: Mapping[str, Day]) -> list[str]:
    most = task.limits.study_minutes_a_week
    if most is None:
        return []
    loads = {s.id: task.load(s.id).study_minutes_a_week for s in task.network.steps}
    busy = [name for name, minutes in loads.items() if minutes]
    return [
        f"more study than there are hours when {name} starts"
        for name in busy
        if sum(loads[o] for o in busy if starts[o] <= starts[name] < ends[o]) > most
    ]


def is_blocked(task: Task, day: Day) -> bool:
    """Return whether the applicant cannot act on a day."""
    return any(start <= day < until for start, until in task.limits.blocked)


def n_months(first: Day, day: Day) -> int:
    """Return how many whole months that begin with a day have passed on another."""
    n = max((day - first) // 31, 0)
    while Period(months=n + 1).beginning(first) <= day:
        n += 1
    return n
