"""Periods such as 24 months or 90 days, kept symbolic and applied to days by a named rule."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final, overload

import numpy as np

from comity.core.days.calendar import (
    Day,
    Ints,
    clamp_adjoint_table,
    clamp_table,
    look_up,
    roll_adjoint_table,
    roll_table,
    trailing_table,
    window_reaches_table,
)

_MOST_MONTHS: Final = 1_200
_MOST_DAYS: Final = 36_525
_ISO = re.compile(r"P(?=\d)(?:(\d+)Y)?(?:(\d+)M)?(?:(\d+)W)?(?:(\d+)D)?")
_WORDS = re.compile(r"(\d+)\s*(year|month|week|day)s?", re.IGNORECASE)
_EXPECTED = 'expected a period such as "24 months", "2 years", "12 weeks", "90 days" or "P24M"'


@dataclass(frozen=True, slots=True, order=True)
class Period:
    """Calendar months, then days.

    Years are 12 months and weeks 7 days; a month is never turned into days. Months are applied
    first, then days.

    Parameters
    ----------
    months, days : int
        >= 0; up to a hundred years.
    written : str
        The text it was read from, so that "2 years" is said and written as the authority says it.
        Two periods that are written differently and last as long are equal.
    """

    months: int = 0
    days: int = 0
    written: str = field(default="", compare=False, repr=False)

    def __post_init__(self) -> None:
        """Refuse what the calendar cannot hold."""
        if not (0 <= self.months <= _MOST_MONTHS and 0 <= self.days <= _MOST_DAYS):
            message = f"{self.months} months and {self.days} days: a period has up to 100 years"
            raise ValueError(message)

    @overload
    def after(self, days: Day) -> Day: ...
    @overload
    def after(self, days: Ints) -> Ints: ...
    def after(self, days: Day | Ints) -> Day | Ints:
        """Return the last day within the period after each event (clamp); the event's day is day 0.

        Examples
        --------
        >>> from datetime import date
        >>> from comity.core.days.calendar import day_from_date, iso
        >>> iso(Period(months=6).after(day_from_date(date(2025, 8, 31))))
        '2026-02-28'
        """
        return look_up(clamp_table(self.months, self.days), days)

    @overload
    def beginning(self, days: Day) -> Day: ...
    @overload
    def beginning(self, days: Ints) -> Ints: ...
    def beginning(self, days: Day | Ints) -> Day | Ints:
        """Return the exclusive end of the period that begins with each day (roll)."""
        return look_up(roll_table(self.months, self.days), days)

    @overload
    def before(self, days: Day) -> Day: ...
    @overload
    def before(self, days: Ints) -> Ints: ...
    def before(self, days: Day | Ints) -> Day | Ints:
        """Return the day which a trailing window on each day opens after: d (+) (-n)."""
        return look_up(clamp_table(-self.months, -self.days), days)

    @overload
    def window_start(self, days: Day) -> Day: ...
    @overload
    def window_start(self, days: Ints) -> Ints: ...
    def window_start(self, days: Day | Ints) -> Day | Ints:
        """Return the first day which the trailing window (d (+) (-n), d] counts."""
        first = look_up(trailing_table(self.months, self.days, 1), days)
        return np.maximum(first, 0) if isinstance(first, np.ndarray) else max(first, 0)

    @overload
    def window_reaches(self, days: Day) -> Day: ...
    @overload
    def window_reaches(self, days: Ints) -> Ints: ...
    def window_reaches(self, days: Day | Ints) -> Day | Ints:
        """Return the first day whose trailing window begins on or after each day."""
        return look_up(window_reaches_table(self.months, self.days, 1), days)

    @overload
    def last_start(self, limits: Day) -> Day: ...
    @overload
    def last_start(self, limits: Ints) -> Ints: ...
    def last_start(self, limits: Day | Ints) -> Day | Ints:
        """Return the last day with the whole period left before each limit ends; -1 when none."""
        return look_up(clamp_adjoint_table(self.months, self.days), limits)

    @overload
    def last_beginning(self, ends: Day) -> Day: ...
    @overload
    def last_beginning(self, ends: Ints) -> Ints: ...
    def last_beginning(self, ends: Day | Ints) -> Day | Ints:
        """Return the last first day of a whole period that ends by each exclusive end; or -1."""
        return look_up(roll_adjoint_table(self.months, self.days), ends)

    @property
    def iso(self) -> str:
        """The period as an ISO 8601 duration: ``P24M``, ``P90D``, ``P2M3D``."""
        months = f"{self.months}M" if self.months else ""
        days = f"{self.days}D" if self.days or not self.months else ""
        return f"P{months}{days}"

    @property
    def words(self) -> str:
        """The period in words, in the units it was written in: ``2 years``, ``14 weeks``.

        In months and days where nobody wrote it: ``24 months``, ``1 month and 3 days``.
        """
        years, months, weeks, days = _units_of(self.written) or (0, self.months, 0, self.days)
        if (12 * years + months, 7 * weeks + days) != (self.months, self.days):
            years, months, weeks, days = 0, self.months, 0, self.days
        counts = {"year": years, "month": months, "week": weeks, "day": days}
        *first, last = [_counted(n, unit) for unit, n in counts.items() if n] or ["0 days"]
        return f"{', '.join(first)} and {last}" if first else last

    def __str__(self) -> str:
        """Return the period in words."""
        return self.words


def parse_period(text: str) -> Period:
    """Return the period which a text states.

    Parameters
    ----------
    text : str
        An ISO 8601 duration of whole years, months, weeks and days (``P2Y``, ``P24M``, ``P3W``,
        ``P90D``), or a number with its unit (``24 months``, ``1 year``).

    Raises
    ------
    ValueError
        When the text is no such period, with what was expected.

    Examples
    --------
    >>> parse_period("2 years")
    Period(months=24, days=0)
    """
    units = _units_of(text)
    if units is None:
        message = f"{text!r} is not a period; {_EXPECTED}"
        raise ValueError(message)
    years, months, weeks, days = units
    months, days = 12 * years + months, 7 * weeks + days
    if months > _MOST_MONTHS or days > _MOST_DAYS:
        message = f"{text!r} is too long a period; expected up to 100 years"
        raise ValueError(message)
    return Period(months, days, text.strip())


def _units_of(text: str) -> tuple[int, int, int, int] | None:
    """Return the years, months, weeks and days which a text states; None if it is no period."""
    stripped = text.strip()
    if match := _ISO.fullmatch(stripped):
        years, months, weeks, days = (int(part or 0) for part in match.groups())
        return years, months, weeks, days
    if match := _WORDS.fullmatch(stripped):
        unit, count = match[2].lower(), int(match[1])
        years, months, weeks, days = (
            count if unit == each else 0 for each in ("year", "month", "week", "day")
        )
        return years, months, weeks, days
    return None


def _counted(count: int, noun: str) -> str:
    """Return ``1 month`` or ``24 months``."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
