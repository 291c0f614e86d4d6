"""Plans by CP-SAT as one would first write them: each step over the whole horizon, by tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ortools.sat.python import cp_model

from comity.core.plan.earliest import step_end
from tests.bench.plan.networks import FIRST, HORIZON

if TYPE_CHECKING:
    from comity.core.plan.limits import Task
    from comity.core.plan.network import Network

Variables = dict[str, Any]


def earliest_by_solver(network: Network) -> tuple[int, ...]:
    """Return the ends of all steps in the earliest plan."""
    model, _starts, ends = _model(network)
    model.minimize(sum(ends.values()))
    solver = _solver(seconds=120)
    assert solver.solve(model) == cp_model.OPTIMAL
    return tuple(solver.value(ends[step.id]) for step in network.steps)


def limited_by_solver(task: Task, *, seconds: float) -> tuple[int, bool]:
    """Return the end of the best plan within money and hours, and whether it is proved the best."""
    model, starts, ends = _model(task.network)
    limits = task.limits
    paydays = limits.paydays(HORIZON)
    times: list[Any] = [limits.first_day, *paydays]
    changes: list[int] = [limits.cash_minor, *[limits.savings_minor or 0] * len(paydays)]
    for step in task.network.steps:
        fee = task.load(step.id).fee_minor
        if fee:
            times.append(starts[step.id])
            changes.append(-fee)
    # Money that comes in goes below nought, so that what is spent stays above what there is.
    model.add_reservoir_constraint(times, changes, 0, sum(each for each in changes if each > 0))
    intervals, demands = [], []
    for step in task.network.steps:
        minutes = task.load(step.id).study_minutes_a_week
        if minutes:
            length = model.new_int_var(0, HORIZON - FIRST, "")
            intervals.append(
                model.new_interval_var(starts[step.id], length, ends[step.id], step.id)
            )
            demands.append(minutes)
    model.add_cumulative(intervals, demands, limits.study_minutes_a_week or 0)
    model.minimize(ends[task.target])
    solver = _solver(seconds=seconds)
    status = solver.solve(model)
    return int(solver.objective_value), status == cp_model.OPTIMAL


def _model(network: Network) -> tuple[cp_model.CpModel, Variables, Variables]:
    model = cp_model.CpModel()
    starts: Variables = {}
    ends: Variables = {}
    for step in network.steps:
        table = [
            min(step_end(step, day, step.duration.planned), 2 * HORIZON)
            for day in range(FIRST, HORIZON + 1)
        ]
        starts[step.id] = model.new_int_var(FIRST, HORIZON, step.id)
        ends[step.id] = model.new_int_var(FIRST, HORIZON, f"{step.id} ends")
        model.add_element(starts[step.id] - FIRST, table, ends[step.id])
    for step in network.steps:
        for link in network.before[step.id]:
            model.add(starts[step.id] >= ends[link.step])
    for earlier, later, period in network.limits():
        latest = model.new_int_var(FIRST, 2 * HORIZON, "")
        table = [period.after(day) for day in range(FIRST, HORIZON + 1)]
        model.add_element(ends[earlier] - FIRST, table, latest)
        model.add(ends[later] <= latest)
    return model, starts, ends


def _solver(*, seconds: float) -> cp_model.CpSolver:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    return solver
