"""Payments made: what of a fee they settle, what can be had back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.eligibility.assessment import Verdict

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.core.days.calendar import Day
    from comity.core.facts.model import Applicant, Payment
    from comity.core.plan.building import Route
    from comity.core.rulebook.model import Fee


@dataclass(frozen=True, slots=True)
class Settled:
    """What payments settle of a fee that lies ahead.

    Parameters
    ----------
    payments : tuple of Payment
        For this fee, by day; those paid back left out.
    n_paid : int
        Attempts, or orders, ahead that are paid for already.
    minor : int
        Paid for the time that is next, in the fee's currency.
    is_again : bool
        Whether it falls due anew though it has been paid before.
    """

    payments: tuple[Payment, ...] = ()
    n_paid: int = 0
    minor: int = 0
    is_again: bool = False


NOTHING_PAID: Final = Settled()


def payments_of(applicant: Applicant, route: Route, fee: str) -> tuple[Payment, ...]:
    """Return the payments for a fee of a title that have not been paid back, by day."""
    mine = (route.edition.authority.id, route.title.id)
    found = []
    for each in applicant.payments:
        *before, name = each.purpose.split("/")
        if name == fee and all(part in mine for part in before) and each.refunded is None:
            found.append(each)
    return tuple(sorted(found, key=lambda each: each.on))


def unmatched(applicant: Applicant, fees: Iterable[str]) -> tuple[Payment, ...]:
    """Return the payments whose purpose is none of some fees."""
    known = set(fees)
    return tuple(each for each in applicant.payments if each.purpose.split("/")[-1] not in known)


def refundable(applicant: Applicant, today: Day) -> tuple[Payment, ...]:
    """Return the payments that can still be had back on a day, those that soon cannot first."""
    found = [
        each
        for each in applicant.payments
        if each.refunded is None
        and each.refundable_until is not None
        and each.refundable_until >= today
    ]
    return tuple(sorted(found, key=lambda each: each.refundable_until or 0))


def settled(fee: Fee, step: str, route: Route, *, applicant: Applicant) -> Settled:
    """Return what payments settle of a fee that is paid with a step.

    A payment for an attempt counts for an attempt not yet sat. One for a step whose former
    outcome is at hand and will have run out does not: that is paid for anew.
    """
    made = payments_of(applicant, route, fee.id)
    if not made:
        return Settled()
    if fee.each == "attempt":
        n_sat = _n_sat(applicant, route, step)
        ahead = [p for i, p in enumerate(made) if (p.attempt or i + 1) > n_sat]
        return Settled(made, n_paid=len(ahead), is_again=len(ahead) < len(made))
    if _is_done_anew(route, step):
        return Settled(made, is_again=True)
    same = [each.amount.minor for each in made if each.amount.currency == fee.amount.currency]
    # An amount in another currency is taken to be the whole fee.
    is_whole = len(same) < len(made)
    return Settled(made, n_paid=1, minor=fee_total(fee) if is_whole else sum(same))


def fee_total(fee: Fee) -> int:
    """Return more than any fee: what an amount in another currency is taken for."""
    return (fee.most or fee.amount).minor * 1_000


def _n_sat(applicant: Applicant, route: Route, step: str) -> int:
    """Return how many attempts at the examination of a step have been sat."""
    examination = next((s.sits for s in route.title.steps if s.id == step), None)
    return sum(
        each.examination == examination and each.outcome in {"passed", "failed", "awaiting"}
        for each in applicant.results.examinations or ()
    )


def _is_done_anew(route: Route, step: str) -> bool:
    """Tell whether what a step proves is met now, and it is taken again all the same."""
    proves = next((s.proves for s in route.title.steps if s.id == step), ())
    met = {each.id for each in route.checked if each.verdict is Verdict.MET}
    return bool(proves) and met.issuperset(proves)
