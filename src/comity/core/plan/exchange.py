"""Exchange rates of the user's own dated file: one currency into another, on a day."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from comity.core.declaring.amounts import Money
from comity.core.declaring.iso import CURRENCY_DECIMALS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from comity.core.days.calendar import Day

STALE_AFTER_DAYS: Final = 14


class MissingRateError(LookupError):
    """No rate is known for a currency; the message names it and the day."""

    def __init__(self, currency: str, day: Day) -> None:
        """Remember for what a rate is missing."""
        super().__init__(f"no exchange rate for {currency} on or before the day {day}")
        self.currency = currency
        self.day = day


@dataclass(frozen=True, slots=True)
class Rates:
    """How many units of each currency one unit of the base was worth, day by day.

    Parameters
    ----------
    base : str
        ISO 4217, as EUR for the reference rates of the European Central Bank.
    by_currency : mapping
        From currency to days and rates, by day; without the base.
    """

    base: str
    by_currency: Mapping[str, tuple[tuple[Day, Fraction], ...]]

    def rate(self, currency: str, day: Day) -> tuple[Fraction, Day]:
        """Return the last rate of a currency known on a day, and the day it is of.

        Raises
        ------
        MissingRateError
            When there is none.
        """
        if currency == self.base:
            return Fraction(1), day
        known = self.by_currency.get(currency, ())
        index = bisect_right(known, day, key=lambda each: each[0]) - 1
        if index < 0:
            raise MissingRateError(currency, day)
        return known[index][1], known[index][0]

    def converted(self, money: Money, currency: str, day: Day) -> Money:
        """Return an amount in another currency, rounded half to even to its smallest unit.

        Raises
        ------
        MissingRateError
            When a rate is missing.
        """
        if money.currency == currency:
            return money
        return Money(round(self.factor(money.currency, currency, day) * money.minor), currency)

    def factor(self, from_currency: str, to_currency: str, day: Day) -> Fraction:
        """Return how many smallest units of one currency a smallest unit of another is worth."""
        if from_currency == to_currency:
            return Fraction(1)
        source, target = self.rate(from_currency, day)[0], self.rate(to_currency, day)[0]
        decimals = CURRENCY_DECIMALS[to_currency] - CURRENCY_DECIMALS[from_currency]
        return target / source * Fraction(10) ** decimals

    def is_stale(self, currency: str, day: Day) -> bool:
        """Return whether the rate used on a day is older than a fortnight."""
        return currency != self.base and day - self.rate(currency, day)[1] > STALE_AFTER_DAYS


NO_RATES: Final = Rates("", {})
"""For those whose fees are all in their own currency."""
