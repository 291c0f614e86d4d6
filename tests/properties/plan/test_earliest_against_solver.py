"""The least fixpoint against a solver that knows nothing of fixpoints (OR-Tools CP-SAT)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from ortools.sat.python import cp_model

from comity.core.days.period import Period
from comity.core.days.workdays import WorkCalendar, nth_working_day_after
from comity.core.plan.earliest import Schedule, earliest_plan, latest_plan
from comity.core.plan.network import (
    EVERY_DAY,
    After,
    Duration,
    Network,
    Sitting,
    Sittings,
    Step,
    Within,
)

if TYPE_CHECKING:
    from comity.core.days.calendar import Day

pytestmark = pytest.mark.property

FIRST: Day = 46_080
SPAN = 400
CALENDARS = (
    EVERY_DAY,
    WorkCalendar(),
    WorkCalendar(frozenset({4, 5})),
    WorkCalendar(frozenset({4}), tuple(range(FIRST + 30, FIRST + 37))),
)


def _network(seed: int) -> Network:
    """Return a random network with greatest lags, four calendars, sittings and permitted days."""
    rng = np.random.default_rng(seed)
    steps = []
    for number in range(int(rng.integers(4, 11))):
        after = tuple(
            After(f"s{other}", Period(days=int(rng.integers(0, 6))))
            for other in range(number)
            if rng.random() < 2 / number
        )
        within: tuple[Within, ...] = ()
        if number > 1 and rng.random() < 0.4:
            months = int(rng.integers(0, 3))
            period = Period(months=months, days=int(rng.integers(5, 30)))
            within = (Within(f"s{int(rng.integers(0, number - 1))}", period),)
        step = Step(
            f"s{number}",
            f"step {number}",
            "anyone",
            Duration.fixed(int(rng.integers(0, 15))),
            CALENDARS[int(rng.integers(0, 4))],
            after,
            within,
            not_before=FIRST + int(rng.integers(0, 20)),
            allowed=_runs(rng) if rng.random() < 0.3 else None,
            may_start=_runs(rng) if rng.random() < 0.2 else None,
            sittings=_sittings(rng) if rng.random() < 0.2 else None,
        )
        steps.append(step)
    return Network.of(tuple(steps), horizon=FIRST + SPAN - 1)


def _runs(rng: np.random.Generator) -> tuple[tuple[Day, Day], ...]:
    bounds = np.sort(rng.choice(SPAN, 6, replace=False)) + FIRST
    return tuple((int(a), int(b)) for a, b in bounds.reshape(3, 2))


def _sittings(rng: np.random.Generator) -> Sittings:
    days = np.sort(rng.choice(SPAN, 5, replace=False)) + FIRST
    return Sittings(tuple(Sitting(int(day), int(day) - 10) for day in days))


def _end(step: Step, start: Day) -> Day | None:
    """Return the end of a step, looked for day by day."""
    day = start
    if step.sittings is not None:
        later = [s.on for s in step.sittings.dates if s.closes >= start]
        if not later:
            return None
        day = later[0]
    left = step.duration.planned
    while left:
        day += 1
        left -= day % 7 not in step.calendar.weekend and day not in step.calendar.holidays
    while not _is_end(step, day):
        day += 1
        if day >= FIRST + SPAN:
            return None
    return day if day < FIRST + SPAN else None


def _is_end(step: Step, day: Day) -> bool:
    """Tell whether a step may end on a day; what takes no time also starts on it."""
    is_instant = step.duration.most == 0 and step.sittings is None
    sets = (step.allowed, step.may_start if is_instant else None)
    return all(runs is None or any(a <= day < b for a, b in runs) for runs in sets)


def _may_start(step: Step, day: Day) -> bool:
    return step.may_start is None or any(a <= day < b for a, b in step.may_start)


def _solved(network: Network, *, latest: Day | None = None) -> Schedule | None:
    """Return the schedule with the least sum of ends, or the greatest sum of starts."""
    model = cp_model.CpModel()
    starts, ends = {}, {}
    for step in network.steps:
        days = range(step.not_before, FIRST + SPAN)
        pairs = [(s, e) for s in days if _may_start(step, s) and (e := _end(step, s))]
        if not pairs:
            return None
        starts[step.id] = model.new_int_var(FIRST, FIRST + SPAN, "")
        ends[step.id] = model.new_int_var(FIRST, FIRST + SPAN, "")
        model.add_allowed_assignments([starts[step.id], ends[step.id]], pairs)
        if latest is not None:
            model.add(ends[step.id] <= latest)
    for step in network.steps:
        for link in network.before[step.id]:
            model.add(starts[step.id] >= ends[link.step] + link.wait.days)
    for earlier, later, period in network.limits():
        pairs = [(d, period.after(d)) for d in range(FIRST, FIRST + SPAN)]
        limit = model.new_int_var(FIRST, FIRST + 2 * SPAN, "")
        model.add_allowed_assignments([ends[earlier], limit], pairs)
        model.add(ends[later] <= limit)
    if latest is None:
        model.minimize(sum(ends.values()) + sum(starts.values()))
    else:
        model.maximize(sum(ends.values()) + sum(starts.values()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return Schedule(
        tuple(solver.value(starts[step.id]) for step in network.steps),
        tuple(solver.value(ends[step.id]) for step in network.steps),
    )


@pytest.mark.parametrize("seed", range(24))
def test_the_earliest_plan_is_the_solvers(seed: int) -> None:
    network = _network(seed)
    assert earliest_plan(network) == _solved(network)


@pytest.mark.parametrize("seed", range(16))
def test_the_just_in_time_plan_is_the_solvers(seed: int) -> None:
    network = _network(seed)
    deadline = FIRST + SPAN // 2
    expected = _solved(network, latest=deadline)
    found = latest_plan(network, {step.id: deadline for step in network.steps})
    assert (found is None) == (expected is None)
    if found is not None and expected is not None:
        assert found.ends == expected.ends
        assert found.starts == expected.starts


def test_working_days_of_the_solvers_model_are_the_calendars() -> None:
    step = Step("s", "s", "anyone", Duration.fixed(10), CALENDARS[3])
    for day in range(FIRST, FIRST + 60):
        assert _end(step, day) == nth_working_day_after(day, 10, CALENDARS[3])
