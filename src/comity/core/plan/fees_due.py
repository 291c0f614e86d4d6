"""The fees that are still ahead on a route, each with the step at which it is paid."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from comity.core.declaring.amounts import Money
from comity.core.plan.budget import FeeDue, PaidFor
from comity.core.plan.payments import NOTHING_PAID, Settled, settled

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant
    from comity.core.plan.building import Route
    from comity.core.rulebook.kinds.base import Source
    from comity.core.rulebook.model import Fee

_PAID_FOR: Final[Mapping[str, PaidFor]] = {"attempt": "attempt"}


@dataclass(frozen=True, slots=True)
class Owed:
    """A fee ahead, where the rulebook says so, and what has been paid of it."""

    due: FeeDue
    source: Source | None
    settled: Settled = NOTHING_PAID


def fees_due(route: Route, applicant: Applicant | None = None) -> tuple[Owed, ...]:
    """Return the fees still to be paid on a route, in the rulebook's order.

    A fee of several amounts is taken as it is on the planned day of its step. One whose step has
    been taken or need not be is left out, and so is one that the applicant has paid; of one paid
    in part the rest is due.
    """
    found = _owed(route)
    if applicant is None:
        return tuple(found)
    return tuple(rest for each in found if (rest := _rest(each, route, applicant)) is not None)


def _rest(owed: Owed, route: Route, applicant: Applicant) -> Owed | None:
    """Return what payments leave of a fee; None where they settle it."""
    due = owed.due
    fee = next(each for each in route.title.fees if each.id == due.id)
    paid = settled(fee, due.step, route, applicant=applicant)
    if due.paid_for == "attempt" or not paid.minor:
        return Owed(replace(due, n_paid=paid.n_paid), owed.source, paid)
    least, most = (
        Money(max(each.minor * due.count - paid.minor, 0), each.currency)
        for each in (due.least, due.most)
    )
    if due.paid_for == "order":
        return Owed(replace(due, n_paid=1), owed.source, paid)
    # A fee that is a range is settled by any payment within it.
    if not least.minor:
        return None
    return Owed(replace(due, least=least, most=most, count=1), owed.source, paid)


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
