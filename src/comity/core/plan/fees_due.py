"""The fees that are still ahead on a route, each with the step at which it is paid."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.plan.budget import FeeDue, PaidFor

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from comity.core.days.calendar import Day
    from comity.core.plan.building import Route
    from comity.core.rulebook.kinds.base import Source
    from comity.core.rulebook.model import Fee

_PAID_FOR: Final[Mapping[str, PaidFor]] = {"attempt": "attempt"}


@dataclass(frozen=True, slots=True)
class Owed:
    """A fee ahead, and where the rulebook says so."""

    due: FeeDue
    source: Source | None


def fees_due(route: Route) -> tuple[Owed, ...]:
    """Return the fees still to be paid on a route, in the rulebook's order.

    A fee of several amounts is taken as it is on the planned day of its step. One whose step has
    been taken or need not be is left out.
    """
    return tuple(_owed(route))


def _owed(route: Route) -> Iterator[Owed]:
    for fee in route.title.fees:
        step = _paid_with(fee, route)
        if step is None or route.network[step].happened is not None:
            continue
        if not _is_of(fee, route.day_of(step)):
            continue
        is_short_lived = route.network[step].is_short_lived
        paid_for = _PAID_FOR.get(fee.each, "order" if is_short_lived else "once")
        due = FeeDue(
            fee.id,
            fee.label,
            step,
            fee.amount,
            fee.most or fee.amount,
            paid_for,
            _count(fee, route),
            fee.refundable,
        )
        yield Owed(due, fee.source)


def _paid_with(fee: Fee, route: Route) -> str | None:
    """Return the step of the network with whose beginning a fee is paid."""
    known = route.network.position
    if fee.step is not None:
        return fee.step if fee.step in known else None
    reaching = (step.id for step in route.title.steps if step.reaches == fee.at)
    found = next((name for name in reaching if name in known), None)
    if found is not None and route.network[found].duration.most == 0:
        return found
    return fee.at if fee.at in known else None


def _is_of(fee: Fee, day: Day | None) -> bool:
    """Tell whether a fee is what is asked on a day."""
    if day is None:
        return True
    return (fee.from_ or 0) <= day and (fee.until is None or day <= fee.until)


def _count(fee: Fee, route: Route) -> int:
    if fee.each != "document":
        return 1
    return fee.documents or max(len(route.title.papers), 1)
