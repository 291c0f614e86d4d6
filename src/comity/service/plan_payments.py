"""Payments on a plan's page: what was paid, what would be paid twice, go or wait before a fee."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.eligibility.assessment import Verdict
from comity.core.plan.laying_out import REMEDY

if TYPE_CHECKING:
    from collections.abc import Iterator

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


@dataclass(frozen=True, slots=True)
class Decision:
    """Whether to pay a fee that is lost on refusal.

    Parameters
    ----------
    label : str
        The fee.
    day : Day or None
        When it likely falls due.
    open : tuple of str
        What could still lead to a refusal; empty where nothing known does.
    """

    label: str
    day: Day | None
    open: tuple[str, ...]

    @property
    def is_go(self) -> bool:
        """Whether nothing known stands against paying it."""
        return not self.open


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


def decisions_of(plan: Plan) -> tuple[Decision, ...]:
    """Return the fees ahead that are lost on refusal, each with go or wait, by their day.

    What is met only once a step or remedy of the plan is done counts as open until it is.
    """
    if not plan.is_possible:
        return ()
    still_open = tuple(_open(plan))
    found = [
        Decision(
            each.due.label,
            plan.times[each.due.step].start.p50 if each.due.step in plan.times else None,
            _before(plan, each.due.step, still_open),
        )
        for each in plan.owed
        if not each.due.refundable
    ]
    return tuple(sorted(found, key=lambda each: (each.day is None, each.day or 0)))


def _open(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield id and label of what could lead to a refusal as things stand."""
    for each in plan.route.checked:
        if each.verdict not in {Verdict.MET, Verdict.NOT_APPLICABLE}:
            yield each.id, each.label


def _before(plan: Plan, step: str, still_open: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """Return what is open but for what the step itself, paid with the fee, is there to meet."""
    own = next((each for each in plan.route.title.steps if each.id == step), None)
    proves = set(own.proves) if own is not None else set()
    if own is not None and own.sits is not None:
        proves |= {i for i, _l in still_open if f"{REMEDY}{i}" not in plan.route.network.position}
    return tuple(label for name, label in still_open if name not in proves)
