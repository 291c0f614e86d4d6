"""Many futures of a network at once: each step is a few gathers over all draws.

A policy sees only what is known on the day: an examination's first sitting once it is entered for,
never its result before it is out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.days.workdays import nth_working_day_after
from comity.core.plan.network import in_order
from comity.core.plan.policies import Policy
from comity.core.plan.sampling import drawn

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from comity.core.days.calendar import Bools, Ints
    from comity.core.days.dayset import Run
    from comity.core.plan.network import Network, Sittings, Step

MOST_ATTEMPTS: Final = 12
"""Attempts that are simulated where the rules name no limit."""
MOST_ORDERS: Final = 4
"""How often a lapsed paper is ordered anew before a draw is given up."""


@dataclass(frozen=True, slots=True)
class Draws:
    """Everything that chance decides, drawn before anything is decided.

    Parameters
    ----------
    durations : mapping
        By step, shape (MOST_ORDERS, n_draws) for papers that may lapse, else (1, n_draws).
    luck : mapping
        By step with sittings, numbers from [0, 1), shape (attempts, n_draws).
    """

    n_draws: int
    durations: Mapping[str, Ints]
    luck: Mapping[str, np.ndarray[tuple[int, int], np.dtype[np.float64]]]


@dataclass(frozen=True, slots=True)
class Futures:
    """What happens in each draw; FOREVER where it never does.

    Parameters
    ----------
    starts, ends : mapping
        By step, shape (n_draws,).
    needed : mapping
        By step, the day on which the last of what it waits for came.
    lapsed : mapping
        By paper that may lapse, whether it had lapsed when it was needed.
    attempts : mapping
        By examination, how many attempts were made.
    entered : mapping
        By examination, the day of entry for each attempt, shape (attempts, n_draws); FOREVER for
        one that was not needed or could not be made.
    """

    starts: Mapping[str, Ints]
    ends: Mapping[str, Ints]
    needed: Mapping[str, Ints]
    lapsed: Mapping[str, Bools]
    attempts: Mapping[str, Ints]
    entered: Mapping[str, Ints]


def draw(network: Network, n_draws: int, rng: np.random.Generator) -> Draws:
    """Return what chance decides in a number of futures, step by step in the network's order."""
    durations = {}
    luck = {}
    for step in network.steps:
        n_orders = MOST_ORDERS if step.is_short_lived else 1
        days = drawn(step.duration, n_orders * n_draws, rng)
        durations[step.id] = days.reshape(n_orders, n_draws)
        if step.sittings is not None:
            luck[step.id] = rng.random((_attempts(step.sittings), n_draws))
    return Draws(n_draws, durations, luck)


def simulate(network: Network, draws: Draws, *, policies: Iterable[Policy] = ()) -> Futures:
    """Return what happens in each draw.

    Parameters
    ----------
    network : Network
        What is to be done.
    draws : Draws
        What chance decides; the same draws give the same futures.
    policies : iterable of Policy
        When papers that may lapse are ordered; as soon as possible where none is given.

    Raises
    ------
    NetworkError
        When a policy waits for a step that itself waits for the paper.

    Notes
    -----
    A paper that has lapsed when it is needed is ordered anew on that day. Greatest lags other than
    those of papers bind no draw: nobody can keep them by knowing the future. `broken_limits` counts
    how often they break.
    """
    run = _Run(network, draws, {policy.paper: policy for policy in policies})
    before = {name: [link.step for link in links] for name, links in network.before.items()}
    for policy in run.policies.values():
        if policy.step:
            before[policy.paper].append(policy.step)
    for name in in_order(before):
        run.take(network[name])
    return Futures(run.starts, run.ends, run.needed, run.lapsed, run.attempts, run.entered)


def broken_limits(network: Network, futures: Futures) -> dict[tuple[str, str], Bools]:
    """Return for each greatest lag (earlier, later) in which draws the later step ends too late."""
    return {
        (earlier, later): futures.ends[later] > period.after(futures.ends[earlier])
        for earlier, later, period in network.limits()
    }


@dataclass(slots=True)
class _Run:
    """A simulation under way."""

    network: Network
    draws: Draws
    policies: Mapping[str, Policy]
    starts: dict[str, Ints] = field(default_factory=dict)
    ends: dict[str, Ints] = field(default_factory=dict)
    needed: dict[str, Ints] = field(default_factory=dict)
    lapsed: dict[str, Bools] = field(default_factory=dict)
    attempts: dict[str, Ints] = field(default_factory=dict)
    entered: dict[str, Ints] = field(default_factory=dict)
    sittings: dict[str, tuple[Ints, Ints]] = field(default_factory=dict)

    def take(self, step: Step) -> None:
        """Work out one step in all draws; those before it are done."""
        n = self.draws.n_draws
        if step.happened is not None:
            day = np.full(n, step.happened, np.int64)
            self.starts[step.id] = self.ends[step.id] = self.needed[step.id] = day
            return
        start = self._ready(step)
        if step.is_short_lived:
            start = self._ordered(step, start)
            self.lapsed[step.id] = np.zeros(n, np.bool_)
        self.starts[step.id] = start = _next_of(step.may_start, start)
        if step.sittings is not None:
            start = self._passed(step, step.sittings, start)
        papers = [each for each in self.network.steps if step.id in each.used_by]
        if papers:
            start = self._with_fresh(papers, start)
        self.needed[step.id] = self._last_before(step)
        end = nth_working_day_after(start, self.draws.durations[step.id][0], step.calendar)
        self.ends[step.id] = _next_of(step.end_days, end)

    def _ready(self, step: Step) -> Ints:
        """Return the first day on which all that comes before is done."""
        ready = np.full(self.draws.n_draws, step.not_before, np.int64)
        for link in self.network.before[step.id]:
            ready = np.maximum(ready, link.wait.after(self.ends[link.step]))
        return ready

    def _last_before(self, step: Step) -> Ints:
        """Return the day on which the last of what a step waits for came, whatever else held it."""
        last = np.zeros(self.draws.n_draws, np.int64)
        for link in self.network.before[step.id]:
            last = np.maximum(last, link.wait.after(self.ends[link.step]))
        return last

    def _ordered(self, step: Step, ready: Ints) -> Ints:
        """Return the day on which a paper is ordered under its policy."""
        policy = self.policies.get(step.id, Policy(step.id))
        if policy.anchor == "day":
            return np.maximum(ready, policy.offset)
        if policy.anchor == "sitting":
            sitting, entered = self.sittings[policy.step]
            known = np.maximum(ready, entered)
            return np.where(sitting < FOREVER, np.maximum(known, sitting + policy.offset), known)
        if policy.anchor == "end":
            return np.maximum(ready, np.minimum(self.ends[policy.step] + policy.offset, FOREVER))
        return ready

    def _passed(self, step: Step, sittings: Sittings, ready: Ints) -> Ints:
        """Return the sitting at which an examination is passed; FOREVER where it never is."""
        on = np.array([each.on for each in sittings.dates] + [FOREVER], np.int64)
        closes = np.array([each.closes for each in sittings.dates], np.int64)
        result = self.draws.durations[step.id][0]
        passed = np.full_like(ready, FOREVER)
        n_attempts = np.zeros_like(ready)
        is_open = np.ones(ready.shape, np.bool_)
        self.entered[step.id] = np.full(self.draws.luck[step.id].shape, FOREVER, np.int64)
        for attempt, luck in enumerate(self.draws.luck[step.id]):
            sitting = on[closes.searchsorted(ready)]
            if attempt == 0:
                self.sittings[step.id] = sitting, ready
            sits = is_open & (sitting < FOREVER)
            n_attempts += sits
            self.entered[step.id][attempt] = np.where(sits, ready, FOREVER)
            wins = sits & (luck < sittings.p_pass)
            passed[wins] = sitting[wins]
            is_open = sits & ~wins
            if not is_open.any():
                break
            out = nth_working_day_after(np.minimum(sitting, FOREVER), result, step.calendar)
            ready = _next_of(step.may_start, np.maximum(out, sittings.wait.after(sitting)))
        self.attempts[step.id] = n_attempts
        return passed

    def _with_fresh(self, papers: Sequence[Step], ready: Ints) -> Ints:
        """Return the day on which all papers are at hand and good; those lapsed come anew."""
        day = ready
        for paper in papers:
            day = np.maximum(day, self.ends[paper.id])
        for order in range(1, MOST_ORDERS):
            late = {p.id: self._has_lapsed(p, day) for p in papers if p.is_short_lived}
            if not any(each.any() for each in late.values()):
                return day
            again = day
            for paper in papers:
                if paper.is_short_lived:
                    again = self._again(paper, late[paper.id], again=again, day=day, order=order)
            day = again
        return day

    def _has_lapsed(self, paper: Step, day: Ints) -> Bools:
        assert paper.lasts is not None  # noqa: S101 - short-lived
        return (day < FOREVER) & (day > paper.lasts.after(self.ends[paper.id]))

    def _again(self, paper: Step, late: Bools, *, again: Ints, day: Ints, order: int) -> Ints:
        """Order a paper anew where it has lapsed; return the day with its new arrival."""
        days = self.draws.durations[paper.id][order]
        arrival = nth_working_day_after(day, days, paper.calendar)
        self.lapsed[paper.id] |= late
        self.ends[paper.id] = np.where(late, arrival, self.ends[paper.id])
        return np.where(late, np.maximum(again, arrival), again)


def _attempts(sittings: Sittings) -> int:
    left = MOST_ATTEMPTS if sittings.attempts is None else sittings.attempts
    return min(left, MOST_ATTEMPTS, len(sittings.dates))


def _next_of(runs: Sequence[Run] | None, days: Ints) -> Ints:
    """Return the first permitted day on or after each day."""
    if runs is None:
        return days
    starts = np.array([run[0] for run in runs] + [FOREVER], np.int64)
    stops = np.array([run[1] for run in runs], np.int64)
    return np.maximum(days, starts[stops.searchsorted(days, side="right")])
