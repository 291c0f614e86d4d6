"""Public holidays of a country, as the `holidays` library knows them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, day_from_date

if TYPE_CHECKING:
    from collections.abc import Iterable


class UnknownCountryError(LookupError):
    """No public holidays are known for a country."""


@dataclass(frozen=True, slots=True)
class PublicHolidays:
    """The public holidays of a country, by day.

    Parameters
    ----------
    certain : tuple of Day
        On which they fall.
    estimated : tuple of Day
        On which feasts are expected that depend on the sighting of the moon; they may fall a day
        earlier or later.
    """

    certain: tuple[Day, ...] = ()
    estimated: tuple[Day, ...] = ()

    @property
    def days(self) -> tuple[Day, ...]:
        """All of them: nobody can count on work on a day that may be a feast."""
        return tuple(sorted({*self.certain, *self.estimated}))


def public_holidays(country: str, years: Iterable[int]) -> PublicHolidays:
    """Return the days on which a country's public holidays fall, or are expected to.

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
    days = {day_from_date(day): "estimated" in found[day] for day in sorted(found)}
    return PublicHolidays(
        tuple(day for day, is_estimated in days.items() if not is_estimated),
        tuple(day for day, is_estimated in days.items() if is_estimated),
    )
