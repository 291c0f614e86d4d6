"""A plan within what the applicant has: made at once, then better while there is time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from comity.core.plan.earliest import earliest_plan
from comity.core.plan.greedy import greedy_plan
from comity.core.plan.laying_out import BEFORE
from comity.core.plan.limits import LimitedPlan, Limits, Load, Task
from comity.core.plan.network import Network

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from comity.core.days.calendar import Day
    from comity.core.plan.building import Route
    from comity.core.plan.fees_due import Owed
    from comity.service.planning import Wishes

_LOOKED_AT_DAYS: Final = 1_096
"""How far behind the earliest end a plan is looked for where none is found at once."""


@dataclass(frozen=True, slots=True)
class Refining:
    """How far a plan within limits has come.

    Parameters
    ----------
    without : Day
        The end if nothing were limited.
    end : Day or None
        Of the best plan so far; None while there is none.
    bound : Day
        No plan ends before it.
    """

    without: Day
    end: Day | None
    bound: Day


OnRefining = Callable[[Refining], bool]
"""Told of every better plan; returns whether to go on."""


def task_of(
    route: Route, owed: Sequence[Owed], *, wishes: Wishes, minutes: int, currency: str
) -> Task | None:
    """Return what is to be planned within limits; None where nothing is limited.

    Hours limit only where the applicant would study for two things at a time.
    """
    studying = [each for each in route.planned if each.study_minutes_a_week]
    if wishes.savings is None and len(studying) <= 1:
        return None
    loads = {
        _begin(route, each.id): Load(study_minutes_a_week=each.study_minutes_a_week)
        for each in studying
    }
    for each in owed if wishes.savings is not None else ():
        due = each.due
        if due.n_paid:
            continue
        cost = wishes.rates.converted(due.most, currency, wishes.start).minor * due.count
        step = done_with(route, due.step)
        before = loads.get(step, Load())
        loads[step] = replace(before, fee_minor=before.fee_minor + cost)
    savings = wishes.savings and wishes.rates.converted(wishes.savings, currency, wishes.start)
    limits = Limits(
        wishes.start,
        savings_minor=None if savings is None else savings.minor,
        study_minutes_a_week=minutes,
    )
    return Task(route.network, loads, limits, route.last)


def limited_plan(
    task: Task, *, seconds: float, on_refining: OnRefining | None = None
) -> LimitedPlan | None:
    """Return the best plan found in some time; None where none was found.

    Parameters
    ----------
    task : Task
        Of a network that has a plan.
    seconds : float
        For the solver; 0 leaves the plan as it is made at once.
    on_refining : callable, optional
        Told first of the plan without limits, then of the one made at once, then of better ones.
    """
    position = task.network.position[task.target]
    lowest = earliest_plan(task.network)
    assert lowest is not None  # noqa: S101 - the network has a plan
    without = lowest.ends[position]
    tell = on_refining or _heard
    if not tell(Refining(without, None, without)):
        return None
    first = greedy_plan(task)
    goes_on = first is None or tell(Refining(without, first.end, first.bound))
    if seconds <= 0 or not goes_on or (first is not None and first.is_best):
        return first
    from comity.core.plan.solving import solve  # noqa: PLC0415 - the solver loads slowly

    try:
        return solve(
            task,
            seconds=seconds,
            horizon=without + _LOOKED_AT_DAYS,
            on_better=lambda end, bound: tell(Refining(without, end, max(bound, without))),
        )
    except KeyboardInterrupt:
        # The solver itself gives its best plan; this is for whoever is quicker than its model.
        if first is None:
            raise
        return first


def _heard(_refining: Refining) -> bool:
    """Say nothing, and go on."""
    return True


def _begin(route: Route, step: str) -> str:
    """Return the step of the network in which the study for a step is done."""
    return BEFORE + step if BEFORE + step in route.network.position else step


def done_with(route: Route, step: str) -> str:
    """Return the milestone on whose day a step is done, else the step itself."""
    before = route.network[step].after
    is_gated = len(before) == 1 and before[0].step in route.milestones.values()
    reaches = next((s.reaches for s in route.title.steps if s.id == step), None)
    return before[0].step if is_gated and reaches == before[0].step else step


def held_back(network: Network, limited: LimitedPlan, *, loaded: Iterable[str]) -> Network:
    """Return the network in which what the limits delay begins no sooner than they let it."""
    earliest = earliest_plan(network)
    assert earliest is not None  # noqa: S101 - there is a limited plan
    delayed = set(loaded)
    return Network(
        tuple(
            replace(step, not_before=start)
            if step.id in delayed and step.happened is None and start > soonest
            else step
            for step, start, soonest in zip(
                network.steps, limited.schedule.starts, earliest.starts, strict=True
            )
        ),
        network.horizon,
    )
