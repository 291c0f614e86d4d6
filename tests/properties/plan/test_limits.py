"""Plans under limits of money, hours and days: looked at again, and against trying every start."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from comity.core.days.workdays import WorkCalendar
from comity.core.plan.earliest import Schedule, earliest_plan, step_end
from comity.core.plan.greedy import greedy_plan
from comity.core.plan.limits import Limits, Load, Task, breaks
from comity.core.plan.network import After, Duration, Network, Step
from comity.core.plan.solving import solve

pytestmark = pytest.mark.property

FIRST = 46_350
WEEKDAYS = WorkCalendar()


def _task(seed: int, n_steps: int, *, longest: int = 12, opened: int = FIRST) -> Task:
    """Return a random task; savings come in a month, and two, after the day it was opened."""
    rng = np.random.default_rng(seed)
    steps, loads = [], {}
    for number in range(n_steps):
        after = tuple(After(f"s{k}") for k in range(number) if rng.random() < 0.4)
        days = Duration.fixed(int(rng.integers(1, longest)))
        calendar = WEEKDAYS if rng.random() < 0.5 else WorkCalendar(frozenset())
        steps.append(Step(f"s{number}", f"s{number}", "x", days, calendar, after, not_before=FIRST))
        loads[f"s{number}"] = Load(
            fee_minor=int(rng.integers(0, 4)) * 5_000,
            study_minutes_a_week=int(rng.integers(0, 3)) * 240,
            is_applicants=bool(rng.random() < 0.5),
        )
    end = Step("end", "end", "x", Duration.fixed(0), after=tuple(After(step.id) for step in steps))
    limits = Limits(
        opened,
        cash_minor=5_000,
        savings_minor=10_000,
        study_minutes_a_week=480,
        blocked=((FIRST + 3, FIRST + 9),),
    )
    network = Network.of((*steps, end), horizon=FIRST + 700)
    return Task(network, loads, limits, "end")


@pytest.mark.parametrize("seed", range(4))
def test_every_plan_keeps_what_it_must(seed: int) -> None:
    task = _task(seed, 7)
    plan, best = greedy_plan(task), solve(task, seconds=20)
    assert plan is not None
    assert best is not None
    assert breaks(task, plan.schedule) == breaks(task, best.schedule) == ()
    assert plan.bound <= best.end <= plan.end
    assert best.is_best


@pytest.mark.parametrize("seed", [104, 112, 129, 138])
def test_the_solvers_plan_is_the_best_of_all_starts(seed: int) -> None:
    """Tasks of one to six weeks in which the limits bind; every start of every step is tried."""
    task = _task(seed, 3, longest=5, opened=FIRST - 27)
    plan = greedy_plan(task)
    assert plan is not None
    assert not plan.is_best
    names = list(task.network.position)
    ends = []
    for starts in product(range(FIRST, plan.end + 1), repeat=3):
        days = dict(zip([n for n in names if n != "end"], starts, strict=True))
        if any(days[b.step] > days[n] for n in days for b in task.network.before[n]):
            continue
        found = {n: step_end(task.network[n], day, task.network[n].duration.planned)
                 for n, day in days.items()}  # fmt: skip
        last = max(found.values())
        if last > plan.end:
            continue
        schedule = Schedule((*days.values(), last), (*found.values(), last))
        if not breaks(task, schedule):
            ends.append(last)
    best = solve(task, seconds=20)
    assert best is not None
    assert best.end == min(ends)


def test_without_limits_the_plan_is_the_earliest() -> None:
    task = replace(_task(3, 8), limits=Limits(FIRST))
    plan = greedy_plan(task)
    assert plan is not None
    assert plan.is_best
    assert plan.schedule == earliest_plan(task.network)


def test_no_fee_falls_before_the_money_is_there() -> None:
    step = Step("pay", "Pay", "x", Duration.fixed(0), not_before=FIRST)
    limits = Limits(FIRST, cash_minor=0, savings_minor=10_000)
    task = Task(Network.of((step,)), {"pay": Load(fee_minor=25_000)}, limits, "pay")
    plan = greedy_plan(task)
    assert plan is not None
    # Three whole months from Thursday 2026-11-26.
    assert plan.end == limits.paydays(plan.end)[2]
    assert plan.gap_days == plan.end - FIRST


def test_a_solver_told_to_stop_gives_the_best_plan_so_far() -> None:
    task = _task(5, 8)
    heard: list[tuple[int, int]] = []

    def stop(end: int, bound: int) -> bool:
        heard.append((end, bound))
        return False

    plan = solve(task, seconds=20, on_better=stop)
    assert plan is not None
    assert breaks(task, plan.schedule) == ()
    assert len(heard) <= 1 or plan.is_best


def test_what_breaks_is_said_in_words() -> None:
    task = _task(1, 3)
    schedule = Schedule((FIRST - 1,) * 4, (FIRST - 1,) * 4)
    found = breaks(task, schedule)
    assert "s0 starts too early" in found
    assert "s0 ends on another day than it can" in found
