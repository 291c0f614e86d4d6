"""Which steps hold up the end, and what a day saved on each of them wins."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.plan.simulating import simulate

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.core.days.calendar import Bools, Ints
    from comity.core.plan.network import Network
    from comity.core.plan.policies import Policy
    from comity.core.plan.simulating import Draws, Futures


def criticality(network: Network, futures: Futures, target: str) -> dict[str, float]:
    """Return for each step the share of draws in which it holds up the target.

    A step holds it up in a draw when its end decides the start of a step that does; a wait for a
    sitting or a permitted day counts for the step that came last before it. Draws in which the
    target is never reached do not count; 0 where none is left.

    Parameters
    ----------
    network : Network
        The steps.
    futures : Futures
        Of `simulate`.
    target : str
        The step whose end matters.
    """
    reached = futures.ends[target] < FOREVER
    held: dict[str, Bools] = {step.id: np.zeros_like(reached) for step in network.steps}
    held[target] = reached.copy()
    for step in reversed(network.steps):
        if step.happened is not None:
            continue
        needed = futures.needed[step.id]
        for link in network.before[step.id]:
            decides = link.wait.after(futures.ends[link.step]) >= needed
            held[link.step] |= held[step.id] & decides
    n_reached = int(reached.sum())
    return {
        step.id: float(held[step.id].sum()) / n_reached if n_reached else 0.0
        for step in network.steps
        if step.happened is None
    }


def days_won(
    network: Network, draws: Draws, target: str, *, policies: Iterable[Policy] = ()
) -> dict[str, float]:
    """Return for each step how much earlier the target is reached for each day saved on it.

    The same draws are used with and without the day, so that only the day makes a difference.
    Steps that take no time in any draw are left out.

    Returns
    -------
    dict
        From step to mean days won for a day saved in every draw in which the step takes time; 1
        means that every day counts.
    """
    chosen = tuple(policies)
    ends = simulate(network, draws, policies=chosen).ends[target]
    won = {}
    for step in network.steps:
        days = draws.durations[step.id]
        if step.happened is not None or not days.any():
            continue
        shorter = {**draws.durations, step.id: np.maximum(days - 1, 0)}
        faster = simulate(network, replace(draws, durations=shorter), policies=chosen)
        won[step.id] = _mean_difference(ends, faster.ends[target])
    return won


def _mean_difference(before: Ints, after: Ints) -> float:
    reached = (before < FOREVER) & (after < FOREVER)
    return float((before - after)[reached].mean()) if reached.any() else 0.0
