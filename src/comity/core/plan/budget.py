"""What the way costs: every fee with its day, over all futures, month by month."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from comity.core.days.calendar import FOREVER

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from comity.core.days.calendar import Day, Ints
    from comity.core.declaring.amounts import Money
    from comity.core.plan.exchange import Rates
    from comity.core.plan.simulating import Futures

_DAY_0: Final = np.datetime64("1900-01-01")
PaidFor = Literal["once", "attempt", "order"]


@dataclass(frozen=True, slots=True)
class FeeDue:
    """A fee that is still to be paid.

    Parameters
    ----------
    id, label : str
        Id and what people read.
    step : str
        The step with whose start (each entry of an examination, each order of a paper) it is paid.
    least, most : Money
        The same where the fee is known; any amount between them is as likely as another.
    paid_for : str
        ``once``, each ``attempt`` at an examination, or each ``order`` of a paper.
    count : int
        Documents or years it is paid for at once.
    refundable : bool
        Whether it is paid back on refusal.
    n_paid : int
        Attempts or orders to come that have been paid for.
    """

    id: str
    label: str
    step: str
    least: Money
    most: Money
    paid_for: PaidFor = "once"
    count: int = 1
    refundable: bool = False
    n_paid: int = 0


@dataclass(frozen=True, slots=True)
class Line:
    """One fee over all futures, in the applicant's currency; medians and 80th percentiles."""

    fee: FeeDue
    p50: int
    p80: int
    rate_is_stale: bool


@dataclass(frozen=True, slots=True)
class Month:
    """What falls due in a calendar month, in minor units."""

    year: int
    month: int
    p50: int
    p80: int
    mean: float


@dataclass(frozen=True, slots=True)
class Budget:
    """What is still to be paid, in the smallest unit of one currency.

    `refundable_p50` is the part of the median that would be paid back on refusal. Percentiles of
    months do not add up to those of the total; means do.
    """

    currency: str
    p50: int
    p80: int
    mean: float
    refundable_p50: int
    lines: tuple[Line, ...]
    months: tuple[Month, ...]
    stale: tuple[str, ...]


def budget_of(
    fees: Sequence[FeeDue],
    futures: Futures,
    *,
    currency: str,
    rates: Rates,
    on: Day,
    rng: np.random.Generator,
) -> Budget:
    """Return the budget over all futures.

    Parameters
    ----------
    fees : sequence of FeeDue
        What is still to be paid.
    futures : Futures
        Of `simulate`.
    currency : str
        Of the applicant, ISO 4217.
    rates : Rates
        The user's own; rates of later days are not guessed: all fees are turned at those of `on`.
    on : Day
        The day of the budget.
    rng : numpy.random.Generator
        Draws the amounts of fees that are ranges.

    Raises
    ------
    MissingRateError
        When a rate is missing.
    """
    n_draws = next(iter(futures.starts.values())).size
    payments: list[tuple[FeeDue, Ints, Ints]] = []
    for fee in fees:
        factor = float(rates.factor(fee.least.currency, currency, on))
        least, most = fee.least.minor * fee.count, fee.most.minor * fee.count
        amounts = np.rint(factor * rng.integers(least, most, n_draws, endpoint=True))
        days = _days_paid(fee, futures)
        payments.append((fee, days, amounts.astype(np.int64)))
    totals = [_sums(days, amounts) for _fee, days, amounts in payments]
    zero = np.zeros(n_draws, np.int64)
    total = np.sum([zero, *totals], axis=0)
    refundable = [each for (fee, *_), each in zip(payments, totals, strict=True) if fee.refundable]
    stale = sorted({f.least.currency for f in fees if _is_stale(f, currency, rates, on=on)})
    return Budget(
        currency,
        *_middle_and_high(total),
        mean=float(total.mean()),
        refundable_p50=_middle_and_high(np.sum([zero, *refundable], axis=0))[0],
        lines=tuple(
            Line(fee, *_middle_and_high(each), fee.least.currency in stale)
            for (fee, *_), each in zip(payments, totals, strict=True)
        ),
        months=tuple(_months([(days, amounts) for _fee, days, amounts in payments])),
        stale=tuple(stale),
    )


def _is_stale(fee: FeeDue, currency: str, rates: Rates, *, on: Day) -> bool:
    if fee.least.currency == currency:
        return False
    return rates.is_stale(fee.least.currency, on) or rates.is_stale(currency, on)


def _days_paid(fee: FeeDue, futures: Futures) -> Ints:
    """Return the days on which a fee is paid, shape (payments, n_draws); FOREVER for never."""
    return _all_days(fee, futures)[fee.n_paid :]


def _all_days(fee: FeeDue, futures: Futures) -> Ints:
    """Return the days on which a fee falls due, those paid for included."""
    if fee.paid_for == "attempt" and fee.step in futures.entered:
        return futures.entered[fee.step]
    start = futures.starts[fee.step][None, :]
    if fee.paid_for == "order" and fee.step in futures.lapsed:
        again = np.where(futures.lapsed[fee.step], futures.ends[fee.step], FOREVER)[None, :]
        return np.concatenate((start, again))
    return start


def _sums(days: Ints, amounts: Ints) -> Ints:
    return np.asarray(((days < FOREVER) * amounts).sum(axis=0), np.int64)


def _middle_and_high(totals: Ints) -> tuple[int, int]:
    """Return the median and the 80th percentile, each an amount that was drawn."""
    ordered = np.sort(totals)
    ranks = [max(-(-percent * ordered.size // 100) - 1, 0) for percent in (50, 80)]
    return int(ordered[ranks[0]]), int(ordered[ranks[1]])


def _months(payments: Sequence[tuple[Ints, Ints]]) -> Iterator[Month]:
    """Yield what falls due in each calendar month in which anything may."""
    due: dict[int, Ints] = {}
    for days, amounts in payments:
        for paid_on in days:
            months = (
                (_DAY_0 + np.minimum(paid_on, FOREVER)).astype("datetime64[M]").astype(np.int64)
            )
            for month in np.unique(months[paid_on < FOREVER]):
                here = np.where((months == month) & (paid_on < FOREVER), amounts, 0)
                due[int(month)] = due[int(month)] + here if int(month) in due else here
    for month, amounts in sorted(due.items()):
        years, rest = divmod(month, 12)
        p50, p80 = _middle_and_high(amounts)
        yield Month(1970 + years, rest + 1, p50, p80, mean=float(amounts.mean()))
