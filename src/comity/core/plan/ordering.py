"""When to order papers that lapse: early enough not to delay, late enough not to lapse.

A policy is chosen on one set of futures and judged on another, and never looks ahead inside a
future. For one paper alone this is the newsvendor's problem; for several the objective has local
minima, so that the search starts from several places (sample-average approximation with
coordinate descent over whole days; Kleywegt, Shapiro and Homem-de-Mello 2002, "The sample average
approximation method for stochastic discrete optimization").
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.plan.earliest import earliest_plan
from comity.core.plan.network import Duration, Network
from comity.core.plan.policies import Policy
from comity.core.plan.simulating import simulate

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.days.calendar import Day, Ints
    from comity.core.plan.simulating import Draws

LAPSE_COST_DAYS: Final = 12.0
"""What a lapsed paper costs beside the delay, in days: its fee, the errand, the worry."""
_STRIDES: Final = (32, 8, 2, 1)
_STARTS: Final = (-90, -60, -30, 0)
_MOST_ROUNDS: Final = 12


@dataclass(frozen=True, slots=True)
class Judged:
    """What a set of policies does over many futures.

    Parameters
    ----------
    mean_delay : float
        Days by which the target comes later than if papers were at hand at once.
    lapse : mapping
        By paper, the probability that it has lapsed when it is needed.
    cost : float
        Mean delay and `LAPSE_COST_DAYS` for each lapse, in days.
    """

    mean_delay: float
    lapse: Mapping[str, float]
    cost: float


@dataclass(frozen=True, slots=True)
class Search:
    """The futures on which policies for the papers of one target are tried.

    Parameters
    ----------
    network : Network
        With papers that may lapse.
    target : str
        The step that should come soon, such as the submission.
    draws : Draws
        The futures.
    lapse_cost_days : float
        See `LAPSE_COST_DAYS`.
    """

    network: Network
    target: str
    draws: Draws
    lapse_cost_days: float = LAPSE_COST_DAYS

    @property
    def papers(self) -> tuple[str, ...]:
        """The papers that may lapse, in the network's order."""
        return tuple(step.id for step in self.network.steps if step.is_short_lived)

    def without_papers(self) -> Ints:
        """Return the target's days if all papers were at hand at once and never lapsed."""
        return simulate(_with_instant(self.network, self.papers), self.draws).ends[self.target]

    def judge(self, policies: Sequence[Policy], soonest: Ints | None = None) -> Judged:
        """Return what policies do over the futures in which the target is reached at all."""
        first = self.without_papers() if soonest is None else soonest
        futures = simulate(self.network, self.draws, policies=policies)
        counted = first < FOREVER
        if not counted.any():
            return Judged(0.0, dict.fromkeys(self.papers, 0.0), 0.0)
        delay = float((futures.ends[self.target] - first)[counted].mean())
        lapse = {paper: float(futures.lapsed[paper][counted].mean()) for paper in self.papers}
        return Judged(delay, lapse, delay + self.lapse_cost_days * sum(lapse.values()))

    def best(self) -> tuple[Policy, ...]:
        """Return the policies that cost least on these futures."""
        soonest = self.without_papers()
        tried = [
            _descended(self, start, soonest)
            for start in _starts(self.network, self.papers, soonest)
        ]
        tried.append(tuple(Policy(paper) for paper in self.papers))
        return min(tried, key=lambda policies: self.judge(policies, soonest).cost)


def at_the_end(network: Network, target: str, papers: Sequence[str]) -> tuple[Policy, ...]:
    """Return the policies of those who order everything once all else is done.

    All else is done when the step ends that ends last in the earliest plan.
    """
    plan = earliest_plan(network)
    others = [link.step for link in network.before[target] if link.step not in papers]
    if plan is None or not others:
        return tuple(Policy(paper) for paper in papers)
    last = max(others, key=lambda name: plan.ends[network.position[name]])
    return tuple(Policy(paper, "end", last) for paper in papers)


@dataclass(frozen=True, slots=True)
class Point:
    """One place on the trade-off of a paper.

    Parameters
    ----------
    order_on : Day
        The day of the order in half of the futures.
    lapse_risk, delay_risk : float
        Probability that it has lapsed when needed, and that the target waits for it.
    """

    order_on: Day
    lapse_risk: float
    delay_risk: float


@dataclass(frozen=True, slots=True)
class OrderDates:
    """When to order one paper.

    Parameters
    ----------
    paper : str
        The step that gets it.
    policy : Policy
        The rule recommended; it stays right when dates move.
    recommended : Point
        What the rule means as things stand.
    earliest, latest : Day or None
        First day with at most the tolerated risk of lapsing, last day with at most the tolerated
        risk of delay; None where no day is that safe. `earliest` may lie behind `latest`: then
        every day carries one risk or the other.
    trade_off : tuple of Point
        By day.
    """

    paper: str
    policy: Policy
    recommended: Point
    earliest: Day | None
    latest: Day | None
    trade_off: tuple[Point, ...]


def order_dates(
    search: Search, policies: Sequence[Policy], *, tolerated: float = 0.10, reach_days: int = 90
) -> tuple[OrderDates, ...]:
    """Return for each paper when to order it, the others ordered as recommended.

    Parameters
    ----------
    search : Search
        With futures that the policies were not chosen on.
    policies : sequence of Policy
        Recommended, one a paper.
    tolerated : float
        Risk of lapsing and of delay that still counts as safe, 0 to 1.
    reach_days : int
        How far before and behind the recommended day the trade-off is drawn.
    """
    return tuple(
        _dates(search, policies, policy, tolerated=tolerated, reach_days=reach_days)
        for policy in policies
    )


def _dates(
    search: Search,
    policies: Sequence[Policy],
    policy: Policy,
    *,
    tolerated: float,
    reach_days: int,
) -> OrderDates:
    recommended = _point(search, policies, policy)
    days = range(recommended.order_on - reach_days, recommended.order_on + reach_days + 1, 5)
    moved = [_moved(policy, recommended.order_on, day) for day in days]
    points = {p.order_on: p for p in (_point(search, policies, each) for each in moved)}
    points[recommended.order_on] = recommended
    curve = tuple(points[day] for day in sorted(points))
    safe = [point.order_on for point in curve if point.lapse_risk <= tolerated]
    prompt = [point.order_on for point in curve if point.delay_risk <= tolerated]
    return OrderDates(
        policy.paper,
        policy,
        recommended,
        earliest=min(safe, default=None),
        latest=max(prompt, default=None),
        trade_off=curve,
    )


def _moved(policy: Policy, from_day: Day, to_day: Day) -> Policy:
    """Return a policy that orders as much earlier or later as two days lie apart."""
    if policy.anchor == "as soon as possible":
        return Policy(policy.paper, "day", offset=to_day)
    offset = policy.offset + to_day - from_day
    return replace(policy, offset=max(offset, 0) if policy.anchor == "end" else offset)


def _point(search: Search, policies: Sequence[Policy], policy: Policy) -> Point:
    chosen = [policy if each.paper == policy.paper else each for each in policies]
    futures = simulate(search.network, search.draws, policies=chosen)
    instant = _with_instant(search.network, (policy.paper,))
    others = [each for each in chosen if each.paper != policy.paper]
    without = simulate(instant, search.draws, policies=others).ends[search.target]
    counted = without < FOREVER
    if not counted.any():
        counted = np.ones_like(counted)
    starts = np.sort(futures.starts[policy.paper][counted])
    late = futures.ends[search.target] > without
    return Point(
        int(starts[starts.size // 2]),
        lapse_risk=float(futures.lapsed[policy.paper][counted].mean()),
        delay_risk=float(late[counted].mean()),
    )


def _with_instant(network: Network, papers: Sequence[str]) -> Network:
    """Return the network with papers that are at hand at once and never lapse."""
    return Network(
        tuple(
            replace(
                step, duration=Duration.fixed(0), lasts=None, used_by=(), after=(), not_before=0
            )
            if step.id in papers
            else step
            for step in network.steps
        ),
        network.horizon,
    )


def _starts(network: Network, papers: Sequence[str], soonest: Ints) -> Iterator[tuple[Policy, ...]]:
    """Yield policies to start from: around each examination's sitting, and around fixed days."""
    for step in network.steps:
        if step.sittings is not None and step.happened is None:
            for offset in _STARTS:
                yield tuple(Policy(paper, "sitting", step.id, offset) for paper in papers)
    reached = soonest[soonest < FOREVER]
    if reached.size:
        for quantile in (0.1, 0.5):
            day = int(np.quantile(reached, quantile))
            for offset in _STARTS:
                yield tuple(Policy(paper, "day", offset=max(day + offset, 0)) for paper in papers)


def _descended(search: Search, start: tuple[Policy, ...], soonest: Ints) -> tuple[Policy, ...]:
    """Return the policies to which moving one paper at a time leads."""
    policies, cost = list(start), search.judge(start, soonest).cost
    for stride in _STRIDES:
        for _ in range(_MOST_ROUNDS):
            before = cost
            for index, policy in enumerate(policies):
                for step in (-stride, stride):
                    moved = replace(policy, offset=policy.offset + step)
                    trial = [*policies[:index], moved, *policies[index + 1 :]]
                    found = search.judge(trial, soonest).cost
                    if found < cost:
                        policies, cost, policy = trial, found, moved  # noqa: PLW2901
            if cost == before:
                break
    return tuple(policies)
