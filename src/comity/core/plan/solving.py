"""The best plan under limits, by constraint programming (OR-Tools CP-SAT).

The greedy plan gives a hint and a bound from above, the plan without limits one from below, so that
every step has a narrow window of days. Money is one cumulative resource: each fee takes its amount
from the day it is paid, and savings not yet made take theirs until their payday.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final

from comity.core.days.calendar import FOREVER, Day
from comity.core.plan.earliest import Schedule, earliest_plan, latest_plan, step_end
from comity.core.plan.greedy import greedy_plan
from comity.core.plan.limits import LimitedPlan, Task, breaks, is_blocked
from comity.core.plan.moving import next_allowed

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from comity.core.plan.network import Step

_AFTERWARDS_DAYS: Final = 730
"""How long after the target other steps may start."""
_SLACK_DAYS: Final = 400
"""How far past its longest duration an end may lie that matters to nobody any more."""
OnBetter = Callable[[Day, Day], bool]
"""Told the end of a better plan and the bound; False stops the search."""


def solve(
    task: Task,
    *,
    seconds: float,
    horizon: Day | None = None,
    on_better: OnBetter | None = None,
    n_workers: int = 2,
) -> LimitedPlan | None:
    """Return the best plan found that keeps the limits.

    Parameters
    ----------
    task : Task
        What is to be planned.
    seconds : float
        Time allowed; the best plan so far is given when it is over.
    horizon : Day, optional
        Last day to look at where the greedy way finds nothing; the network's if left out.
    on_better : callable, optional
        Called with every better plan's end and the bound; returns whether to go on.
    n_workers : int
        Threads.

    Returns
    -------
    LimitedPlan or None
        None when there is none up to the horizon, or none was found in time. What is given has
        been looked at again without the solver.
    """
    lowest = earliest_plan(task.network)
    if lowest is None:
        return None
    first = greedy_plan(task)
    if first is not None and first.is_best:
        return first
    last = first.end if first else min(task.network.horizon, horizon or task.network.horizon)
    windows = _windows(task, lowest, last)
    if windows is None:
        return first
    model = _Model(task, windows)
    model.build()
    if first is not None:
        model.hint(first.schedule)
    return model.solved(first, seconds=seconds, on_better=on_better, n_workers=n_workers)


def _windows(task: Task, lowest: Schedule, last: Day) -> list[tuple[Day, Day]] | None:
    """Return the first and last start of each step if the target ends by a day."""
    latest = latest_plan(task.network, {task.target: last})
    if latest is None:
        return None
    leading = _leading_to(task)
    return [
        (first, max(min(end, last if step.id in leading else last + _AFTERWARDS_DAYS), first))
        for step, first, end in zip(task.network.steps, lowest.starts, latest.starts, strict=True)
    ]


def _leading_to(task: Task) -> set[str]:
    """Return the target and all that it waits for."""
    found = {task.target}
    for step in reversed(task.network.steps):
        if step.id in found:
            found.update(link.step for link in task.network.before[step.id])
    return found


@dataclass(slots=True)
class _Model:
    """The model under way: a start and an end a step."""

    task: Task
    windows: list[tuple[Day, Day]]
    starts: dict[str, Any] = field(default_factory=dict)
    ends: dict[str, Any] = field(default_factory=dict)
    model: Any = None

    @property
    def _last_day(self) -> Day:
        """The last day on which any step may start."""
        return max(last for _first, last in self.windows)

    def build(self) -> None:
        """Say all that a plan has to keep."""
        from ortools.sat.python import cp_model  # noqa: PLC0415 - it loads slowly

        self.model = cp_model.CpModel()
        for step, window in zip(self.task.network.steps, self.windows, strict=True):
            self._add_step(step, *window)
        for step in self.task.network.steps:
            if step.happened is None:
                for link in self.task.network.before[step.id]:
                    ready = self._moved(self.ends[link.step], link.step, link.wait.after)
                    self.model.add(self.starts[step.id] >= ready)
        for earlier, later, period in self.task.network.limits():
            latest = self._moved(self.ends[earlier], earlier, period.after)
            self.model.add(self.ends[later] <= latest)
        self._add_money()
        self._add_hours()
        self.model.minimize(self.ends[self.task.target])

    def _add_step(self, step: Step, first: Day, last: Day) -> None:
        if step.happened is not None:
            self.starts[step.id] = self.ends[step.id] = self.model.new_constant(step.happened)
            return
        days = step.duration.planned
        ends = [step_end(step, day, days) for day in range(first, last + 1)]
        self.starts[step.id] = start = self.model.new_int_var(first, last, step.id)
        self.ends[step.id] = end = self.model.new_int_var(min(ends), max(ends), f"{step.id} ends")
        self.model.add_element(start - first, ends, end)
        is_applicants = self.task.load(step.id).is_applicants
        for day in range(first, last + 1):
            is_taken = is_applicants and is_blocked(self.task, day)
            if is_taken or next_allowed(day, step.may_start) != day:
                self.model.add(start != day)

    def _moved(self, var: Any, step: str, move: Callable[[Day], Day]) -> Any:  # noqa: ANN401
        """Return a variable that holds a moved day."""
        first = self.windows[self.task.network.position[step]][0]
        if self.task.network[step].happened is not None:
            return move(self.task.network[step].happened or 0)
        highest = max(self._last_day, first) + self.task.network[step].duration.most + _SLACK_DAYS
        table = [min(move(day), FOREVER) for day in range(first, highest + 1)]
        if all(moved == day for day, moved in enumerate(table, first)):
            return var
        moved = self.model.new_int_var(min(table), max(table), "")
        self.model.add(var <= highest)
        self.model.add_element(var - first, table, moved)
        return moved

    def _add_money(self) -> None:
        limits, model = self.task.limits, self.model
        if limits.savings_minor is None:
            return
        until = self._last_day + 1
        paydays = limits.paydays(self._last_day)
        intervals, demands = [], []
        for step in self.task.network.steps:
            fee = self.task.load(step.id).fee_minor
            if fee:
                start = self.starts[step.id]
                length = model.new_int_var(0, until - limits.first_day + 1, "")
                intervals.append(model.new_interval_var(start, length, until, ""))
                demands.append(fee)
        for day in paydays:
            length = day - limits.first_day
            intervals.append(model.new_fixed_size_interval_var(limits.first_day, length, ""))
            demands.append(limits.savings_minor)
        total = limits.cash_minor + limits.savings_minor * len(paydays)
        model.add_cumulative(intervals, demands, total)

    def _add_hours(self) -> None:
        most = self.task.limits.study_minutes_a_week
        if most is None:
            return
        intervals, demands = [], []
        for step in self.task.network.steps:
            minutes = self.task.load(step.id).study_minutes_a_week
            if minutes:
                start, end = self.starts[step.id], self.ends[step.id]
                length = self.model.new_int_var(0, FOREVER, "")
                intervals.append(self.model.new_interval_var(start, length, end, ""))
                demands.append(minutes)
        self.model.add_cumulative(intervals, demands, most)

    def hint(self, schedule: Schedule) -> None:
        """Begin with a plan."""
        for step, start in zip(self.task.network.steps, schedule.starts, strict=True):
            if step.happened is None:
                self.model.add_hint(self.starts[step.id], start)

    def solved(
        self,
        first: LimitedPlan | None,
        *,
        seconds: float,
        on_better: OnBetter | None,
        n_workers: int,
    ) -> LimitedPlan | None:
        """Return the best plan found, the first one if none is better."""
        from ortools.sat.python import cp_model  # noqa: PLC0415 - it loads slowly

        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.num_workers = n_workers
        callback = _watching(on_better) if on_better else None
        status = solver.solve(self.model, callback)
        if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
            return first
        names = self.task.network.position
        schedule = Schedule(
            tuple(solver.value(self.starts[name]) for name in names),
            tuple(solver.value(self.ends[name]) for name in names),
        )
        broken = breaks(self.task, schedule)
        if broken:
            message = f"the solver's plan does not keep the limits: {'; '.join(broken)}"
            raise AssertionError(message)
        end = schedule.ends[names[self.task.target]]
        bound = max(int(solver.best_objective_bound), first.bound if first else 0)
        return LimitedPlan(schedule, end, bound, is_best=status == cp_model.OPTIMAL)


def _watching(on_better: OnBetter) -> cp_model.CpSolverSolutionCallback:
    from ortools.sat.python import cp_model  # noqa: PLC0415 - it loads slowly

    class Watching(cp_model.CpSolverSolutionCallback):
        """Tells of better plans, and stops when told to."""

        def on_solution_callback(self) -> None:
            if not on_better(int(self.objective_value), int(self.best_objective_bound)):
                self.stop_search()

    return Watching()
