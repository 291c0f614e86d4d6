"""Plans within what the applicant has: what is told on the way, and what is held back."""

from __future__ import annotations

import pytest

from comity.core.plan.limits import Limits, Load, Task
from comity.core.plan.network import After, Duration, Network, Step
from comity.service.planning_limits import Refining, held_back, limited_plan

FIRST = 46_350


def task(*fees: int, savings: int = 100) -> Task:
    """Return steps side by side that take a day each and are paid for, then an end."""
    steps = [
        Step(f"s{n}", f"s{n}", "x", Duration.fixed(1), not_before=FIRST) for n in range(len(fees))
    ]
    end = Step("end", "end", "x", Duration.fixed(0), after=tuple(After(s.id) for s in steps))
    loads = {f"s{n}": Load(fee_minor=fee) for n, fee in enumerate(fees)}
    limits = Limits(FIRST, savings_minor=savings)
    return Task(Network.of((*steps, end), horizon=FIRST + 3_000), loads, limits, "end")


def test_the_end_without_limits_is_told_first_then_the_plan_made_at_once() -> None:
    heard: list[Refining] = []

    def goes_on(refining: Refining) -> bool:
        heard.append(refining)
        return True

    found = limited_plan(task(100, 200), seconds=5, on_refining=goes_on)
    assert found is not None
    assert heard[0] == Refining(FIRST + 1, None, FIRST + 1)
    assert heard[1].end is not None
    assert heard[1].end >= found.end
    # Three months of saving before the second fee; the paydays are those of 26 November 2026.
    assert found.end == Limits(FIRST).paydays(FIRST + 100)[2] + 1
    assert found.gap_days == 0


def test_whoever_stops_at_once_gets_the_plan_made_at_once() -> None:
    found = limited_plan(task(100, 200), seconds=60, on_refining=lambda r: r.end is None)
    assert found is not None
    assert not found.is_best
    assert found.bound == FIRST + 1


def test_only_what_the_limits_delay_is_held_back() -> None:
    given = task(0, 100)
    found = limited_plan(given, seconds=5)
    assert found is not None
    network = held_back(given.network, found, loaded=("s1",))
    assert network["s0"].not_before == FIRST
    assert network["s1"].not_before == Limits(FIRST).paydays(FIRST + 40)[0]
    assert network["end"].not_before == given.network["end"].not_before


def test_whoever_interrupts_before_the_solver_begins_gets_the_plan_made_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupted(*_args: object, **_options: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("comity.core.plan.solving.solve", interrupted)
    found = limited_plan(task(100, 200), seconds=60)
    assert found is not None
    assert found == limited_plan(task(100, 200), seconds=0)
