"""A plan under limits made step by step: at once, and not always the best."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from comity.core.days.period import Period
from comity.core.plan.earliest import Schedule, earliest_plan, step_end
from comity.core.plan.limits import LimitedPlan, n_months
from comity.core.plan.moving import least_before, next_allowed

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.plan.limits import Load, Task
    from comity.core.plan.network import Network, Step

_MOST_REPAIRS: Final = 60


def greedy_plan(task: Task) -> LimitedPlan | None:
    """Return a plan made step by step, each as early as what is planned before it lets it be.

    Steps are taken by the day on which they could start without limits. A greatest lag that breaks
    pushes the earlier step and the plan is made anew.

    Returns
    -------
    LimitedPlan or None
        None when none is found, which does not mean that there is none.
    """
    bound = earliest_plan(task.network)
    if bound is None:
        return None
    position = task.network.position
    order = sorted(task.network.steps, key=lambda s: (bound.starts[position[s.id]], position[s.id]))
    floors: dict[str, Day] = {}
    for _ in range(_MOST_REPAIRS):
        placing = _Placing(task, floors)
        if not all(placing.place(step) for step in _by_need(task.network, order)):
            return None
        pushed = placing.pushed()
        if not pushed:
            end = placing.ends[task.target]
            lowest = bound.ends[position[task.target]]
            return LimitedPlan(placing.schedule(), end, lowest, is_best=end == lowest)
        floors.update(pushed)
    return None


def _by_need(network: Network, order: Sequence[Step]) -> list[Step]:
    """Return steps in an order, each behind all it waits for."""
    done: dict[str, Step] = {}
    waiting = list(order)
    while waiting:
        step = next(s for s in waiting if all(b.step in done for b in network.before[s.id]))
        done[step.id] = step
        waiting.remove(step)
    return list(done.values())


@dataclass(slots=True)
class _Placing:
    """A plan under way."""

    task: Task
    floors: Mapping[str, Day]
    starts: dict[str, Day] = field(default_factory=dict)
    ends: dict[str, Day] = field(default_factory=dict)

    def place(self, step: Step) -> bool:
        """Put a step on its first possible day; False when there is none."""
        network = self.task.network
        if step.happened is not None:
            self.starts[step.id] = self.ends[step.id] = step.happened
            return True
        day = max(step.not_before, self.floors.get(step.id, 0), 0)
        for link in network.before[step.id]:
            day = max(day, link.wait.after(self.ends[link.step]))
        while (day := next_allowed(day, step.may_start)) <= network.horizon:
            end = step_end(step, day, step.duration.planned)
            later = self._next_try(step, day, end)
            if later == day:
                self.starts[step.id], self.ends[step.id] = day, end
                return end <= network.horizon
            day = later
        return False

    def _next_try(self, step: Step, day: Day, end: Day) -> Day:
        """Return the day itself if the limits let the step start on it, else a later one to try."""
        load, limits = self.task.load(step.id), self.task.limits
        if load.is_applicants:
            day = max(
                (until for start, until in limits.blocked if start <= day < until), default=day
            )
        if load.fee_minor and limits.savings_minor is not None and not self._has_money(load, day):
            return Period(months=n_months(limits.first_day, day) + 1).beginning(limits.first_day)
        if load.study_minutes_a_week and limits.study_minutes_a_week is not None:
            return self._next_with_hours(load, day, end)
        return day

    def _has_money(self, load: Load, day: Day) -> bool:
        """Return whether a fee on a day leaves enough for all fees that are planned."""
        fees = [(d, self.task.load(name).fee_minor) for name, d in self.starts.items()]
        fees.append((day, load.fee_minor))
        return all(
            sum(fee for other, fee in fees if other <= due) <= self.task.limits.saved_by(due)
            for due, _fee in fees
            if due >= day
        )

    def _next_with_hours(self, load: Load, day: Day, end: Day) -> Day:
        most = self.task.limits.study_minutes_a_week or 0
        busy = [
            (self.starts[name], self.ends[name], self.task.load(name).study_minutes_a_week)
            for name in self.starts
            if self.ends[name] > day and self.starts[name] < end
        ]
        for point in sorted({day, *(start for start, _end, _m in busy if start > day)}):
            used = sum(minutes for start, until, minutes in busy if start <= point < until)
            if used + load.study_minutes_a_week > most:
                ends = [until for start, until, m in busy if m and start <= point < until]
                return min(ends, default=self.task.network.horizon + 1)
        return day

    def pushed(self) -> dict[str, Day]:
        """Return later first days for steps that end too long before another one."""
        floors: dict[str, Day] = {}
        for earlier, later, period in self.task.network.limits():
            if self.ends[later] > period.after(self.ends[earlier]):
                late_by = least_before(self.ends[later], period) - self.ends[earlier]
                if self.task.network[earlier].happened is not None:
                    return {earlier: self.task.network.horizon + 1}
                floors[earlier] = max(floors.get(earlier, 0), self.starts[earlier] + late_by)
        return floors

    def schedule(self) -> Schedule:
        """Return the days in the network's order."""
        names = self.task.network.position
        return Schedule(tuple(self.starts[n] for n in names), tuple(self.ends[n] for n in names))
