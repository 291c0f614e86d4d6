"""Days added up over spells with breaks between them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import Final

from comity.core.days.accumulate import amount_on, days_with_amount
from comity.core.days.calendar import Day
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.days.steps import Steps

MONTH_DAYS: Final = Fraction(365, 12)
"""Days of a month where days with breaks between them are added up, as with practice."""


def n_days_of(length: Period) -> int:
    """Return the days that make a length: twelve months are 365."""
    return ceil(length.months * MONTH_DAYS) + length.days


def days_with_total(spells: DaySet, *, least: Period, window: Period | None) -> DaySet:
    """Return the days on which the days of a trailing window inside spells come to a length."""
    profile = Steps.of_days(spells, 1)
    return days_with_amount(profile, threshold=n_days_of(least), window=window)


def total_on(spells: DaySet, day: Day, *, row: int, window: Period | None) -> int:
    """Return how many days of a trailing window lie inside the spells of a row."""
    return int(amount_on(Steps.of_days(spells, 1), day=day, window=window)[row])
