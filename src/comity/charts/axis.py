"""Ticks of a time axis: months, quarters, half-years or years, whichever leaves room for words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import date_from_day, day_from_date

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.charts.span import Span
    from comity.charts.wording import ChartWording
    from comity.core.days.calendar import Day

STEPS: Final = (1, 3, 6, 12, 24, 60, 120, 240, 600)
YEARLY: Final = 12
MOST_YEARS: Final = 10
MOST_MONTHS: Final = 6
"""How many labels have room below the plot: a year is shorter than a month with its year."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A first of a month on the axis, with its label."""

    day: Day
    label: str


def ticks(span: Span, *, wording: ChartWording) -> tuple[Tick, ...]:
    """Return ticks on round months, no more than have room for their labels.

    Whole years are labelled by the year alone.
    """
    choices = ((step, tuple(_round_days(span, step))) for step in STEPS)
    step, days = next((step, days) for step, days in choices if len(days) <= _most(step))
    return tuple(Tick(day, _label(day, step=step, wording=wording)) for day in days)


def _most(step: int) -> int:
    """Return how many labels have room."""
    return MOST_YEARS if step >= YEARLY else MOST_MONTHS


def _round_days(span: Span, step: int) -> Iterator[Day]:
    """Yield the firsts of every `step`-th month within the span."""
    first = date_from_day(span.start)
    month = first.year * 12
    while True:
        day = day_from_date(date(month // 12, month % 12 + 1, 1))
        if day >= span.end:
            return
        if day >= span.start:
            yield day
        month += step


def _label(day: Day, *, step: int, wording: ChartWording) -> str:
    """Return the month and year, or the year alone when every tick is a January."""
    return str(date_from_day(day).year) if step >= YEARLY else wording.month(day)
