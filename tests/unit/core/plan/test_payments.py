"""Payments made: what they settle, what falls due all the same, what can be had back."""

from __future__ import annotations

from typing import TYPE_CHECKING
from zlib import crc32

import pytest

from comity.core.plan.fees_due import Owed, fees_due
from comity.core.plan.payments import payments_of, refundable
from tests.unit.core.plan.test_building import REGISTERED, applicant, route
from tests.unit.core.rulebook.samples import day

if TYPE_CHECKING:
    from comity.core.plan.building import Route

NO_RESULTS = REGISTERED
FAILED = REGISTERED.replace(
    "[]}", "[{id: a, examination: national, taken: 2026-05-09, outcome: failed}]}"
)


def owed(*payments: str, facts: str = NO_RESULTS) -> dict[str, Owed]:
    text = f"{facts}\npayments: [{', '.join(payments)}]\n"
    found: Route = route(text)
    return {each.due.id: each for each in fees_due(found, applicant(text))}


def paid(purpose: str, amount: str, *more: str) -> str:
    number = f"p{crc32(repr((purpose, amount, more)).encode())}"
    parts = [f"id: {number}", f"purpose: {purpose}", f"amount: {amount}", "on: 2026-11-02", *more]
    return f"{{{', '.join(parts)}}}"


def test_without_payments_all_fees_are_due() -> None:
    found = owed()
    assert (found["verification"].due.least.minor, found["verification"].due.count) == (4_000, 3)
    assert found["examination"].due.n_paid == 0


def test_what_is_paid_in_full_is_due_no_more() -> None:
    assert "verification" not in owed(paid("verification", "120.00 EUR"))
    assert "verification" not in owed(paid("xa-council/dietitian/verification", "120.00 EUR"))


def test_of_what_is_paid_in_part_the_rest_is_due() -> None:
    rest = owed(paid("verification", "80.00 EUR"))["verification"].due
    assert (rest.least.minor, rest.most.minor, rest.count) == (4_000, 4_000, 1)


def test_a_payment_in_another_currency_settles_the_fee() -> None:
    assert "verification" not in owed(paid("verification", "140.00 USD"))


@pytest.mark.parametrize(
    "payment",
    [
        paid("verification", "120.00 EUR", "refunded: 2026-11-09"),
        paid("xb-register/dietitian/verification", "120.00 EUR"),
        paid("a book", "120.00 EUR"),
    ],
)
def test_what_was_paid_back_or_for_something_else_settles_nothing(payment: str) -> None:
    assert owed(payment)["verification"].due.count == 3


def test_an_attempt_that_is_paid_for_and_not_sat_is_the_next_one() -> None:
    examination = owed(paid("examination", "300.00 EUR"))["examination"]
    assert examination.due.n_paid == 1
    assert not examination.settled.is_again


def test_an_attempt_that_was_sat_is_used_up() -> None:
    first = paid("examination", "300.00 EUR", "attempt: 1")
    assert owed(first, facts=FAILED)["examination"].due.n_paid == 0
    second = paid("examination", "300.00 EUR", "attempt: 2")
    assert owed(first, second, facts=FAILED)["examination"].due.n_paid == 1


def test_payments_that_can_be_had_back_come_by_their_last_day() -> None:
    text = f"""{NO_RESULTS}
payments:
  - {{id: a, purpose: verification, amount: 1.00 EUR, on: 2026-11-02, refundable_until: 2027-02-01}}
  - {{id: b, purpose: examination, amount: 2.00 EUR, on: 2026-11-02, refundable_until: 2027-01-01}}
  - {{id: c, purpose: examination, amount: 3.00 EUR, on: 2026-11-02, refundable_until: 2026-11-05}}
"""
    person = applicant(text)
    assert [each.id for each in refundable(person, day("2026-11-26"))] == ["b", "a"]
    assert [each.id for each in payments_of(person, route(text), "examination")] == ["b", "c"]
