"""The money of a plan in sentences: fees with source and day, payments made, go or no go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, iso
from comity.core.declaring.amounts import Money
from comity.core.eligibility.assessment import Verdict
from comity.core.plan.chaining import proves_of
from comity.core.plan.exchange import STALE_AFTER_DAYS
from comity.core.plan.payments import payments_of, refundable, unmatched
from comity.core.rulebook.phrases import together

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.facts.model import Payment
    from comity.core.plan.budget import FeeDue, Line
    from comity.core.plan.checkpoints import Checked
    from comity.core.rulebook.kinds.base import Source
    from comity.service.planning import Plan

_UNSURE = {Verdict.UNKNOWN, Verdict.REFER}


def money(plan: Plan, minor: int) -> Money:
    """Return an amount in the currency of the plan."""
    currency = plan.budget.currency if plan.budget else "EUR"
    return Money(minor, currency)


def day_paid(plan: Plan, due: FeeDue) -> Day | None:
    """Return the day on which a fee is first paid, in the middle of all futures."""
    times = plan.times.get(due.step)
    return None if times is None else times.start.p50


# ----------------------------------------------------------------------------------- go or no go


@dataclass(frozen=True, slots=True)
class BeforePaying:
    """What must hold before a fee is paid that is lost if the applicant is refused.

    Parameters
    ----------
    fee, label : str
        Id and name of the fee.
    amount : Money
        At least.
    day : Day or None
        On which it is likely paid.
    open : tuple of str
        Requirements that are not met yet, or of which nobody knows; none: nothing stands against
        paying.
    ending : tuple of (str, Day)
        Requirements that are met and run out, with their last days.
    """

    fee: str
    label: str
    amount: Money
    day: Day | None
    open: tuple[str, ...]
    ending: tuple[tuple[str, Day], ...]

    @property
    def is_go(self) -> bool:
        """Whether nothing stands against paying as things are now."""
        return not self.open


def before_paying(plan: Plan) -> tuple[BeforePaying, ...]:
    """Return a go or no go for each fee ahead that is lost on refusal, by day.

    What nobody knows, or the authority decides, is to be cleared before anything is paid; all that
    is checked at a milestone, before what is paid on or after its day.
    """
    found = [_gate(plan, each.due) for each in plan.owed if not each.due.refundable]
    return tuple(sorted(found, key=lambda gate: (gate.day is None, gate.day or 0)))


def _gate(plan: Plan, due: FeeDue) -> BeforePaying:
    reached = _up_to(plan, due.step)
    proved = _proved(plan)
    ahead = [each for each in plan.route.checked if each.at in plan.milestones]
    here = [each for each in ahead if plan.route.milestones[each.at] in reached]
    unsure = [e for e in ahead if e.verdict in _UNSURE and e.id not in proved and e not in here]
    ending = [
        (each.label, last)
        for each in here
        if each.verdict is Verdict.MET and (last := _last(plan, each)) is not None
    ]
    amount = Money(due.least.minor * due.count, due.least.currency)
    names = [each.label for each in here if each.verdict in {*_UNSURE, Verdict.NOT_MET}]
    names += [each.label for each in unsure]
    return BeforePaying(due.id, due.label, amount, day_paid(plan, due), tuple(names), tuple(ending))


def _last(plan: Plan, each: Checked) -> Day | None:
    """Return the last day of what may run out before it is checked."""
    spread = plan.milestones[each.at]
    last = each.last_day(plan.wishes.start)
    return last if last is not None and last < (spread.p95 or spread.p80 or last + 1) else None


def _up_to(plan: Plan, step: str) -> set[str]:
    """Return a step of the network and all that comes before it."""
    found, waiting = {step}, [step]
    while waiting:
        for link in plan.route.network.before[waiting.pop()]:
            if link.step not in found:
                found.add(link.step)
                waiting.append(link.step)
    return found


def _proved(plan: Plan) -> set[str]:
    """Return the requirements that steps of the plan prove."""
    title, planned = plan.route.title, {each.id for each in plan.route.planned}
    return {name for s in title.steps if s.id in planned for name in proves_of(title, s)}


def before_paying_said(plan: Plan) -> tuple[str, ...]:
    """Return a sentence for each fee that is lost on refusal: go, or what to make sure of first."""
    return tuple(_gate_said(gate) for gate in before_paying(plan))


def _gate_said(gate: BeforePaying) -> str:
    when = "" if gate.day is None else f", about {iso(gate.day)}"
    fee = f"{gate.label} ({gate.amount}{when}; lost if you are refused)"
    if gate.open:
        names = together(f"“{name}”" for name in gate.open)
        return f"{fee}: do not pay it before you are sure of {names}."
    if gate.ending:
        ends = together(f"“{name}” until {iso(day)}" for name, day in gate.ending)
        return f"{fee}: it can be paid while these still hold: {ends}."
    return f"{fee}: it can be paid; nothing stands against it as things are now."


# ---------------------------------------------------------------------------------- payments made


def paid_said(plan: Plan) -> tuple[str, ...]:
    """Return a sentence for each payment made for the plan's title, by day."""
    labels = {each.id: each.label for each in plan.route.title.fees}
    return tuple(
        _payment_said(each, label)
        for fee, label in labels.items()
        for each in payments_of(plan.applicant, plan.route, fee)
    )


def _payment_said(payment: Payment, label: str) -> str:
    more = [
        f"paid by {payment.payer}" if payment.payer else "",
        f"receipt {payment.receipt}" if payment.receipt else "",
        f"attempt {payment.attempt}" if payment.attempt else "",
        f"can be had back until {iso(payment.refundable_until)}"
        if payment.refundable_until is not None
        else "",
    ]
    details = "; ".join(part for part in more if part)
    said = f"{label}: {payment.amount} on {iso(payment.on)}"
    return f"{said} ({details})" if details else said


def payment_warnings(plan: Plan) -> Iterator[str]:
    """Yield second payments for the same thing, refunds that run out, payments for no fee."""
    for each in plan.owed:
        if each.settled.is_again and each.due.paid_for != "attempt":
            last = each.settled.payments[-1]
            yield (
                f"{each.due.label} falls due a second time: {last.amount} was paid on"
                f" {iso(last.on)}, and what it was for will have run out by then."
            )
    mine = {fee.id for edition in plan.rulebook.editions for t in edition.titles for fee in t.fees}
    for payment in unmatched(plan.applicant, mine):
        if payment.purpose.startswith(f"{plan.rulebook.authority.id}/"):
            yield (
                f"The payment of {payment.amount} for “{payment.purpose}” is for no fee of these"
                " rules, so nothing counts as paid by it."
            )
    for payment in refundable(plan.applicant, plan.wishes.start):
        if payment in paid_for_title(plan) and payment.refundable_until is not None:
            yield (
                f"If you give up this way, have {payment.amount} back by"
                f" {iso(payment.refundable_until)}: {payment.purpose.split('/')[-1]}."
            )


def paid_for_title(plan: Plan) -> tuple[Payment, ...]:
    """Return the payments for the title of a plan that have not been paid back."""
    fees = (each.id for each in plan.route.title.fees)
    return tuple(p for fee in fees for p in payments_of(plan.applicant, plan.route, fee))


# -------------------------------------------------------------------------------------- fees ahead


def fee_said(plan: Plan, line: Line) -> str:
    """Return a fee with its amount, its day and where it is written."""
    once, often = money(plan, line.p50), money(plan, line.p80)
    amount = str(once) if once == often else f"{once} to {often}"
    own = line.fee.least
    if own.currency != once.currency:
        asked = own if own == line.fee.most else f"{own} to {line.fee.most}"
        stale = f" at a rate older than {STALE_AFTER_DAYS} days" if line.rate_is_stale else ""
        amount = f"{amount} (asked: {asked}{stale})"
    day = day_paid(plan, line.fee)
    source = next((each.source for each in plan.owed if each.due.id == line.fee.id), None)
    parts = [amount, "" if day is None else f"about {iso(day)}", source_said(plan, source)]
    said = "; ".join(part for part in parts if part)
    paid = "; the next one is paid for" if line.fee.n_paid else ""
    return f"{line.fee.label}: {said}{paid}"


def source_said(plan: Plan, source: Source | None) -> str:
    """Return where a fee is written and when that was last read."""
    if source is None:
        return ""
    edition = plan.route.edition
    document = edition.sources.get(source.document)
    name = source.document if document is None else document.title
    read = source.read or (document.read if document is not None else None) or edition.read
    place = f"{name}, {source.section}" if source.section else name
    return f"{place}, read {iso(read)}"


def refund_said(plan: Plan) -> str:
    """Return what would be paid back on refusal of what is still ahead; empty for nothing."""
    budget = plan.budget
    if budget is None or not budget.refundable_p50:
        return ""
    return f"Of this {money(plan, budget.refundable_p50)} is paid back if you are refused."
