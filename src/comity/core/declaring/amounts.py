"""Values with a unit: amounts of practice or study, and money."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal, cast, get_args

from comity.core.declaring.iso import CURRENCY_DECIMALS
from comity.core.declaring.quantities import check_digits, parse_decimal, write_decimal, write_fixed
from comity.core.declaring.scalar import Scalar, refuse

if TYPE_CHECKING:
    from fractions import Fraction

Unit = Literal["minutes", "hours", "days", "weeks", "months", "years", "units", "credits", "points"]
_UNITS: Final[tuple[str, ...]] = get_args(Unit)
_NUMBER_AND_UNIT: Final = re.compile(r"(\S*[0-9]\S*?) ?([A-Za-z]+)", re.ASCII)
_MONEY: Final = re.compile(r"(\S*[0-9]\S*) ([A-Za-z]{3})|([A-Za-z]{3}) (\S*[0-9]\S*)", re.ASCII)


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of units, as written: 24 months are not converted to days or hours."""

    number: Fraction
    unit: Unit

    def __str__(self) -> str:
        """Return it as people write it: "24 months", "1 year"."""
        unit = self.unit[:-1] if self.number == 1 else self.unit
        return f"{write_decimal(self.number)} {unit}"


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in a currency's smallest unit: 12000 cents for 120 EUR."""

    minor: int
    currency: str

    def __str__(self) -> str:
        """Return it as people write it: "120.00 EUR"."""
        number = write_fixed(self.minor, CURRENCY_DECIMALS[self.currency])
        return f"{number} {self.currency}"


def _parse_amount(text: str) -> Amount:
    match = _NUMBER_AND_UNIT.fullmatch(text)
    if match is None:
        check_digits(text)
        refuse("write a number and its unit")
    number = parse_decimal(match.group(1))
    if number < 0:
        refuse("an amount cannot be negative")
    word = match.group(2).lower()
    unit = word if word.endswith("s") else f"{word}s"
    if unit not in _UNITS:
        refuse(f"the unit is one of {', '.join(_UNITS)}")
    return Amount(number, cast("Unit", unit))


def _parse_money(text: str) -> Money:
    match = _MONEY.fullmatch(text)
    if match is None:
        refuse("write the amount and the currency's three letters")
    digits = match.group(1) or match.group(4)
    currency = (match.group(2) or match.group(3)).upper()
    if currency not in CURRENCY_DECIMALS:
        refuse(f"{currency} is no currency code of ISO 4217")
    minor = parse_decimal(digits) * 10 ** CURRENCY_DECIMALS[currency]
    if minor < 0:
        refuse("an amount of money cannot be negative")
    if minor.denominator != 1:
        decimals = CURRENCY_DECIMALS[currency]
        refuse(f"{currency} has {decimals or 'no'} decimal places")
    return Money(int(minor), currency)


AMOUNT: Final = Scalar(
    name="amount",
    noun="a number with its unit",
    code="F407",
    example="24 months",
    parse=_parse_amount,
    write=str,
    schema={"type": "string", "pattern": "^[0-9]+(\\.[0-9]+)? ?[A-Za-z]+$"},
)
MONEY: Final = Scalar(
    name="money",
    noun="an amount of money with its currency",
    code="F408",
    example="120.00 EUR",
    parse=_parse_money,
    write=str,
    schema={
        "type": "string",
        "pattern": "^([0-9]+(\\.[0-9]+)? [A-Za-z]{3}|[A-Za-z]{3} [0-9]+(\\.[0-9]+)?)$",
    },
)
