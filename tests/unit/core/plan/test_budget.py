from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from comity.core.declaring.amounts import Money
from comity.core.plan.budget import FeeDue, budget_of
from comity.core.plan.exchange import NO_RATES, MissingRateError, Rates
from comity.core.plan.policies import Policy
from comity.core.plan.simulating import Futures, draw, simulate
from tests.unit.core.plan.samples import FIRST, route

RATES = Rates(
    "EUR",
    {
        "USD": ((FIRST - 40, Fraction("1.25")), (FIRST - 1, Fraction("1.20"))),
        "JPY": ((FIRST - 1, Fraction(160)),),
        "KWD": ((FIRST - 30, Fraction("0.36")),),
    },
)


def _futures(n_draws: int = 2_000) -> Futures:
    network = route()
    draws = draw(network, n_draws, np.random.default_rng(1))
    return simulate(network, draws, policies=[Policy("standing"), Policy("police")])


def _fee(minor: int, currency: str = "EUR", **more: object) -> FeeDue:
    money = Money(minor, currency)
    return FeeDue("fee", "Fee", "submit", money, money, **more)  # type: ignore[arg-type]


def _rng() -> np.random.Generator:
    return np.random.default_rng(2)


def test_a_fixed_fee_is_due_once_in_its_month() -> None:
    found = budget_of([_fee(26_000)], _futures(), currency="EUR", rates=NO_RATES, on=FIRST,
                      rng=_rng())  # fmt: skip
    assert (found.p50, found.p80) == (26_000, 26_000)
    # In 2 % of the futures the examination is never passed and nothing is submitted.
    assert found.mean == pytest.approx(26_000 * 0.98, rel=0.01)
    assert sum(month.mean for month in found.months) == pytest.approx(found.mean)


def test_an_examination_is_paid_for_with_every_attempt() -> None:
    """At 62 % and four attempts the mean number is (1 - 0.38^4) / 0.62."""
    fee = FeeDue("exam", "Examination", "exam", Money(100, "EUR"), Money(100, "EUR"), "attempt")
    found = budget_of([fee], _futures(50_000), currency="EUR", rates=NO_RATES, on=FIRST,
                      rng=_rng())  # fmt: skip
    assert found.mean == pytest.approx(100 * (1 - 0.38**4) / 0.62, rel=0.01)
    assert found.p50 == 100


def test_a_paper_that_lapsed_is_paid_for_again() -> None:
    futures = _futures()
    fee = FeeDue("cert", "Certificate", "police", Money(50, "EUR"), Money(50, "EUR"), "order")
    found = budget_of([fee], futures, currency="EUR", rates=NO_RATES, on=FIRST, rng=_rng())
    assert found.mean == pytest.approx(50 * (1 + futures.lapsed["police"].mean()))


def test_documents_are_counted_and_refunds_told_apart() -> None:
    fees = [_fee(1_000, count=3), _fee(500, refundable=True)]
    found = budget_of(fees, _futures(), currency="EUR", rates=NO_RATES, on=FIRST, rng=_rng())
    assert (found.p50, found.refundable_p50) == (3_500, 500)


def test_a_range_is_drawn_evenly() -> None:
    fee = FeeDue("fee", "Fee", "verify", Money(0, "EUR"), Money(10_000, "EUR"))
    found = budget_of([fee], _futures(20_000), currency="EUR", rates=NO_RATES, on=FIRST,
                      rng=_rng())  # fmt: skip
    assert found.p50 == pytest.approx(5_000, rel=0.03)
    assert found.p80 == pytest.approx(8_000, rel=0.03)


def test_nothing_to_pay_costs_nothing() -> None:
    found = budget_of([], _futures(10), currency="EUR", rates=NO_RATES, on=FIRST, rng=_rng())
    assert (found.p50, found.p80, found.lines, found.months) == (0, 0, (), ())


@pytest.mark.parametrize(
    ("money", "currency", "minor"),
    [
        (Money(12_000, "USD"), "EUR", 10_000),
        (Money(10_000, "EUR"), "JPY", 16_000),
        (Money(16_000, "JPY"), "EUR", 10_000),
        (Money(10_000, "EUR"), "KWD", 36_000),
        (Money(1_000, "USD"), "USD", 1_000),
    ],
)
def test_money_is_turned_with_the_decimals_of_each_currency(
    money: Money, currency: str, minor: int
) -> None:
    assert RATES.converted(money, currency, FIRST) == Money(minor, currency)


def test_the_last_rate_known_on_the_day_counts() -> None:
    assert RATES.rate("USD", FIRST - 2) == (Fraction("1.25"), FIRST - 40)


def test_a_rate_older_than_a_fortnight_is_marked() -> None:
    found = budget_of([_fee(100, "KWD"), _fee(100, "USD")], _futures(10), currency="EUR",
                      rates=RATES, on=FIRST, rng=_rng())  # fmt: skip
    assert found.stale == ("KWD",)
    assert [line.rate_is_stale for line in found.lines] == [True, False]


def test_a_missing_rate_is_named() -> None:
    with pytest.raises(MissingRateError, match="no exchange rate for CHF"):
        RATES.converted(Money(1, "CHF"), "EUR", FIRST)
    with pytest.raises(MissingRateError, match="no exchange rate for JPY"):
        RATES.converted(Money(1, "JPY"), "EUR", FIRST - 30)
