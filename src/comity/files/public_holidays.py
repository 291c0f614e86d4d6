"""Public holidays of a country, as the `holidays` library knows them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, day_from_date

if TYPE_CHECKING:
    from collections.abc import Iterable


class UnknownCountryError(LookupError):
    """No public holidays are known for a country."""


def public_holidays(country: str, years: Iterable[int]) -> tuple[Day, ...]:
    """Return the days on which a country's public holidays fall.

    Feasts that depend on the sighting of the moon are told only once they are certain: a day that
    the library marks as estimated is left out, because nobody can count on it.

    Raises
    ------
    UnknownCountryError
        When the library does not know the country.
    """
    from holidays import country_holidays  # noqa: PLC0415 - slow to load, seldom needed

    try:
        found = country_holidays(country, years=list(years), language="en_US")
    except NotImplementedError:
        raise UnknownCountryError(country) from None
    return tuple(day_from_date(day) for day in sorted(found) if "estimated" not in found[day])
