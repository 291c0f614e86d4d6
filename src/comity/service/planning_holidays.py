"""The public holidays that the parties of some editions keep, for the years of a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import date_from_day
from comity.files.public_holidays import PublicHolidays, public_holidays

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.core.days.calendar import Day
    from comity.core.rulebook.model import Edition

_YEARS: Final = 6


def holidays_from(editions: Iterable[Edition], start: Day) -> dict[str, PublicHolidays]:
    """Return the public holidays by country, from the year before a day on.

    Raises
    ------
    UnknownCountryError
        When a party keeps the holidays of a country that is not known.
    """
    year = date_from_day(start).year
    years = range(year - 1, year + _YEARS)
    countries = {party.holidays_of for each in editions for party in each.parties}
    return {each: public_holidays(each, years) for each in sorted(filter(None, countries))}
