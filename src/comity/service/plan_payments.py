"""Payments on a plan's page: what was paid, and what would be paid twice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.declaring.amounts import Money
    from comity.core.facts.model import Applicant, Payment
    from comity.service.planning import Plan


@dataclass(frozen=True, slots=True)
class ShownPayment:
    """A payment on file, with what people read for its purpose."""

    entry: str
    label: str
    amount: Money
    on: Day
    payer: str
    receipt: str
    attempt: int | None
    refundable_until: Day | None
    refunded: Day | None
    can_be_had_back: bool


def purposes_of(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Return what can be paid for: the title's fees as the file names them, with their labels."""
    head = f"{plan.rulebook.authority.id}/{plan.title_id}"
    fees = {f"{head}/{fee.id}": fee.label for fee in plan.route.title.fees}
    return tuple(fees.items())


def payments_shown(plan: Plan, *, today: Day) -> tuple[ShownPayment, ...]:
    """Return the payments for the plan's title, and those for no title, newest first."""
    labels = dict(purposes_of(plan))
    mine = f"{plan.rulebook.authority.id}/{plan.title_id}/"
    by_id = {name.removeprefix(mine): label for name, label in labels.items()}
    found = [
        _shown(each, labels.get(each.purpose) or by_id.get(each.purpose, each.purpose), today)
        for each in plan.applicant.payments
        if each.purpose.startswith(mine) or each.purpose.count("/") < 2  # noqa: PLR2004 - a path
    ]
    return tuple(sorted(found, key=lambda each: -each.on))


def _shown(payment: Payment, label: str, today: Day) -> ShownPayment:
    until = payment.refundable_until
    return ShownPayment(
        payment.id,
        label,
        payment.amount,
        payment.on,
        payment.payer or "",
        payment.receipt or "",
        payment.attempt,
        until,
        payment.refunded,
        payment.refunded is None and until is not None and until >= today,
    )


def paid_before(applicant: Applicant, purpose: str, attempt: int | None) -> tuple[Payment, ...]:
    """Return the payments that a new one would repeat: same purpose, same attempt, not had back."""
    name = purpose.rsplit("/", 1)[-1]
    return tuple(
        each
        for each in applicant.payments
        if each.refunded is None
        and each.attempt == attempt
        and purpose.casefold()
        in {each.purpose.casefold(), f"{purpose[: -len(name)]}{each.purpose}"}
    )
