"""Networks of a given number of steps: three calendars, greatest lags, an examination, a target."""

from __future__ import annotations

from typing import Final

import numpy as np

from comity.core.days.period import Period
from comity.core.days.workdays import WorkCalendar
from comity.core.plan.earliest import earliest_plan
from comity.core.plan.limits import Limits, Load, Task
from comity.core.plan.network import (
    After,
    Duration,
    Network,
    Sitting,
    Sittings,
    Step,
    Within,
)

FIRST: Final = 46_350
"""Thursday 2026-11-26."""
HORIZON: Final = FIRST + 1_100
CALENDARS: Final = (
    WorkCalendar(frozenset({5, 6}), tuple(range(FIRST + 28, FIRST + 37))),
    WorkCalendar(frozenset({4, 5}), tuple(range(FIRST + 100, FIRST + 104))),
    WorkCalendar(frozenset({4}), (FIRST + 60,)),
)
SITTINGS: Final = Sittings(
    tuple(Sitting(FIRST + 45 + 60 * k, FIRST + 20 + 60 * k) for k in range(12)),
    p_pass=0.62,
    attempts=4,
    wait=Period(days=30),
)


def network(n_steps: int, *, seed: int = 1) -> Network:
    """Return a network that has a plan, with greatest lags for every fifth step."""
    rng = np.random.default_rng(seed)
    steps = [_step(number, rng) for number in range(n_steps - 1)]
    waited = {link.step for step in steps for link in step.after}
    loose = tuple(After(step.id) for step in steps if step.id not in waited)
    end = Step("end", "end", "x", Duration.fixed(0), after=loose)
    found = Network.of((*steps, end), horizon=HORIZON)
    assert earliest_plan(found) is not None
    return found


def _step(number: int, rng: np.random.Generator) -> Step:
    after = {int(rng.integers(max(number - 6, 0), number)) for _ in range(2)} if number else set()
    least = int(rng.integers(2, 8))
    within = (
        (Within(f"s{max(number - 5, 0)}", Period(months=12)),) if number and not number % 5 else ()
    )
    return Step(
        f"s{number}",
        f"step {number}",
        "x",
        Duration(least, least * 4, least * 2),
        CALENDARS[number % 3],
        tuple(After(f"s{each}") for each in sorted(after)),
        within,
        not_before=FIRST,
        sittings=SITTINGS if number == 3 else None,
    )


def task(n_steps: int, *, seed: int = 1) -> Task:
    """Return the network with fees on half of its steps, study on a third, and limits."""
    found = network(n_steps, seed=seed)
    rng = np.random.default_rng(seed)
    loads = {
        step.id: Load(
            fee_minor=int(rng.integers(1, 5)) * 5_000 if index % 2 else 0,
            study_minutes_a_week=240 if index % 3 == 0 else 0,
        )
        for index, step in enumerate(found.steps[:-1])
    }
    limits = Limits(FIRST, cash_minor=40_000, savings_minor=22_000, study_minutes_a_week=480)
    return Task(found, loads, limits, "end")
