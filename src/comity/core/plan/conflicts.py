"""Why no plan exists: the smallest set of constraints that cannot be kept together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from comity.core.plan.earliest import earliest_plan
from comity.core.plan.network import Network

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.plan.network import Step

Sort = Literal["order", "limit", "lapse", "days", "sittings", "blocked", "first day", "happened"]


@dataclass(frozen=True, slots=True)
class Constraint:
    """One thing a plan has to keep.

    Parameters
    ----------
    sort : str
        ``order``: `step` begins after `other`; ``limit``: `step` ends within a time after `other`;
        ``lapse``: `step` ends while the paper of `other` is good; ``days``: `step` ends on a
        permitted day; ``sittings``: `step` keeps to published sittings; ``blocked``: `step`
        begins on a day on which the applicant can act; ``first day``: `step` begins no earlier than
        a day; ``happened``: `step` ended on a day that is past.
    step, other : str
        Ids.
    """

    sort: Sort
    step: str
    other: str = ""


def smallest_conflict(
    network: Network, *, durations: Sequence[int] | None = None
) -> tuple[Constraint, ...]:
    """Return constraints that no plan keeps together, none of which can be left out.

    Empty when a plan exists. Found by leaving out one constraint after the other and keeping out
    those without which there is still no plan (deletion filter; Chinneck and Dravnieks 1991,
    "Locating minimal infeasible constraint sets in linear programs").
    """
    if earliest_plan(network, durations=durations) is not None:
        return ()
    kept = list(constraints_of(network))
    for constraint in tuple(kept):
        fewer = [each for each in kept if each != constraint]
        if earliest_plan(_with_only(network, fewer), durations=durations) is None:
            kept = fewer
    return tuple(kept)


def constraints_of(network: Network) -> Iterator[Constraint]:
    """Yield all that a plan of the network has to keep, the order of steps last."""
    for step in network.steps:
        yield from (Constraint("limit", step.id, each.step) for each in step.within)
        if step.lasts is not None:
            yield from (Constraint("lapse", user, step.id) for user in step.used_by)
        if step.allowed is not None:
            yield Constraint("days", step.id)
        if step.sittings is not None:
            yield Constraint("sittings", step.id)
        if step.may_start is not None:
            yield Constraint("blocked", step.id)
    for step in network.steps:
        if step.happened is not None:
            yield Constraint("happened", step.id)
        if step.not_before > 0:
            yield Constraint("first day", step.id)
        yield from (Constraint("order", step.id, link.step) for link in network.before[step.id])


def _with_only(network: Network, constraints: Sequence[Constraint]) -> Network:
    """Return the network with some of its constraints."""
    kept = set(constraints)
    return Network(tuple(_step_with(step, kept) for step in network.steps), network.horizon)


def _step_with(step: Step, kept: set[Constraint]) -> Step:
    used_by = tuple(u for u in step.used_by if Constraint("order", u, step.id) in kept)
    lapses = tuple(u for u in step.used_by if Constraint("lapse", u, step.id) in kept)
    return replace(
        step,
        after=tuple(a for a in step.after if Constraint("order", step.id, a.step) in kept),
        within=tuple(w for w in step.within if Constraint("limit", step.id, w.step) in kept),
        allowed=step.allowed if Constraint("days", step.id) in kept else None,
        may_start=step.may_start if Constraint("blocked", step.id) in kept else None,
        sittings=step.sittings if Constraint("sittings", step.id) in kept else None,
        not_before=step.not_before if Constraint("first day", step.id) in kept else 0,
        happened=step.happened if Constraint("happened", step.id) in kept else None,
        # A paper may stay good only for those that still wait for it.
        used_by=tuple(dict.fromkeys((*used_by, *lapses))),
        lasts=step.lasts if lapses else None,
    )
