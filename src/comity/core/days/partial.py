"""Partly known dates: EDTF levels 0 and 1 as far as people write them, as earliest and latest day.

Reference: Library of Congress, Extended Date/Time Format specification (2019), levels 0 and 1.
"""

from __future__ import annotations

import re
from calendar import month_name, monthrange
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import FOREVER, Day, day_from_date, iso

if TYPE_CHECKING:
    from comity.core.days.period import Period

FIRST_YEAR: Final = 1900
LAST_YEAR: Final = 2250

_DATE = re.compile(r"(\d{4}|\d{3}X|\d{2}XX)(?:-(\d\d|XX)(?:-(\d\d|XX))?)?([~?%]?)")
_EXPECTED = "expected a date such as 2019-05-03, 2019-05, 2019, 2019-05-XX, 201X or 2019-05~"
_FAULTS: Final = (
    (r"[\[{].*", "is a set of dates; give one date, or the span that covers them all"),
    (r".*(/|\.\.).*", "is a span of dates; give its start and its end as two entries"),
    (r".*T.*:.*", "has a time of day; only dates count here"),
    (r"-\d+.*|Y-?\d+.*", f"has a year out of range ({FIRST_YEAR} to {LAST_YEAR})"),
    (r"\d{4}-\d{1,2}(-\d{1,2})?", "needs two digits for month and day"),
    (r"\d{1,2}\D\d{1,2}\D\d{2,4}", "is not in the order year-month-day"),
)
_LAST_MONTH: Final = 12
_FIRST_SEASON: Final = 21
_LAST_SEASON: Final = 41


@dataclass(frozen=True, slots=True)
class PartialDate:
    """A date of which only part may be known: it lies between two days, both included.

    Parameters
    ----------
    text : str
        Canonical EDTF; ``..`` for an open end, empty for an unknown date.
    earliest, latest : Day
        Equal for an exact date. An open end has FOREVER in both, an unknown date 0 and FOREVER.
    is_open : bool
        "Has not ended": certain only up to the day on which it was known.
    is_uncertain, is_approximate : bool
        Marked ``?`` and ``~`` (``%`` is both); how far that widens is for a rulebook to say.
    """

    text: str
    earliest: Day
    latest: Day
    is_open: bool = False
    is_uncertain: bool = False
    is_approximate: bool = False

    @classmethod
    def exact(cls, day: Day) -> PartialDate:
        """Return a day known exactly."""
        return cls(iso(day), day, day)

    @property
    def is_exact(self) -> bool:
        """Whether the day is known."""
        return self.earliest == self.latest and not self.is_open

    @property
    def is_unknown(self) -> bool:
        """Whether nothing is known."""
        return not self.is_open and self.earliest == 0 and self.latest == FOREVER

    def widened(self, margin: Period) -> PartialDate:
        """Return the date with a margin on either side if it is marked ``~``, ``?`` or ``%``."""
        if not (self.is_uncertain or self.is_approximate):
            return self
        earliest, latest = margin.before(self.earliest), margin.after(self.latest)
        return replace(self, earliest=earliest, latest=latest)

    def __str__(self) -> str:
        """Return the canonical text."""
        return self.text or "unknown"


UNKNOWN: Final = PartialDate("", 0, FOREVER)
OPEN: Final = PartialDate("..", FOREVER, FOREVER, is_open=True)


def parse_partial_date(text: str, *, margin: Period | None = None) -> PartialDate:
    """Return the earliest and the latest day which a text can mean.

    Parameters
    ----------
    text : str
        ``2019-05-03``, ``2019-05``, ``2019``; unspecified digits ``201X``, ``2019-XX``,
        ``2019-05-XX``; each may end in ``~`` (approximate), ``?`` (uncertain) or ``%`` (both);
        ``..`` for an open end; empty or ``unknown`` for an unknown date.
    margin : Period, optional
        How far a mark widens on either side. Without it the bounds are those without the mark.

    Raises
    ------
    ValueError
        When the text is no such date: one sentence that says why and what was expected.

    Examples
    --------
    >>> known = parse_partial_date("2027-08")
    >>> iso(known.earliest), iso(known.latest)
    ('2027-08-01', '2027-08-31')
    """
    stripped = text.strip()
    if stripped.lower() in {"", "unknown"}:
        return UNKNOWN
    if stripped == "..":
        return OPEN
    match = _DATE.fullmatch(stripped.upper())
    if match is None:
        message = f"{text!r} {_fault(stripped)}; {_EXPECTED}"
        raise ValueError(message)
    year, month, day, mark = match.groups()
    first, last = _bounds(year, month, day)
    known = PartialDate(
        stripped.upper(),
        day_from_date(first),
        day_from_date(last),
        is_uncertain=mark in {"?", "%"},
        is_approximate=mark in {"~", "%"},
    )
    return known if margin is None else known.widened(margin)


def _bounds(year: str, month: str | None, day: str | None) -> tuple[date, date]:
    """Return the first and the last date of the digits given."""
    first_year, last_year = int(year.replace("X", "0")), int(year.replace("X", "9"))
    if first_year < FIRST_YEAR or last_year > LAST_YEAR:
        message = f"the year {year} is out of range; expected {FIRST_YEAR} to {LAST_YEAR}"
        raise ValueError(message)
    if month in {None, "XX"}:
        if day not in {None, "XX"}:
            message = f"{year}-{month}-{day} gives a day without its month; {_EXPECTED}"
            raise ValueError(message)
        return date(first_year, 1, 1), date(last_year, 12, 31)
    if first_year != last_year:
        message = f"{year}-{month} gives a month without its year; {_EXPECTED}"
        raise ValueError(message)
    return _bounds_in_year(first_year, month, day)


def _bounds_in_year(year: int, month: str | None, day: str | None) -> tuple[date, date]:
    """Return the first and the last date of a year's month, or its one day."""
    number = int(month or 0)
    if _FIRST_SEASON <= number <= _LAST_SEASON:
        message = f"{year}-{month} is a season, which has no fixed days; give the month or the year"
        raise ValueError(message)
    if not 1 <= number <= _LAST_MONTH:
        message = f"{year}-{month}: there is no month {month}; expected 01 to 12"
        raise ValueError(message)
    n_days = monthrange(year, number)[1]
    if day in {None, "XX"}:
        return date(year, number, 1), date(year, number, n_days)
    if not 1 <= int(day or 0) <= n_days:
        message = (
            f"{year}-{month}-{day} does not exist: {month_name[number]} {year} has {n_days} days"
        )
        raise ValueError(message)
    known = date(year, number, int(day or 0))
    return known, known


def _fault(text: str) -> str:
    """Return what is wrong with a text that is no date."""
    faults = (why for pattern, why in _FAULTS if re.fullmatch(pattern, text, re.IGNORECASE))
    return next(faults, "is not a date")
