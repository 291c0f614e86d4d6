"""The one place where the desk looks at a clock."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import timezone

from comity.core.days.calendar import day_from_date

if TYPE_CHECKING:
    from comity.core.days.calendar import Day


def now() -> datetime:
    """Return the moment it is for the office, in UTC; in the demo, on the demo's day."""
    moment = instant()
    day = demo_day()
    return moment if day is None else datetime.combine(day, moment.time(), tzinfo=UTC)


def instant() -> datetime:
    """Return the real moment: for limits of sessions, which the demo's day does not touch."""
    return timezone.now().astimezone(UTC)


def today_at(time_zone: str | None = None) -> Day:
    """Return the day it is at a place (the office's where none is named), as the core counts."""
    day = demo_day()
    if day is None:
        day = instant().astimezone(ZoneInfo(time_zone or settings.TIME_ZONE)).date()
    return day_from_date(day)


def demo_day() -> date | None:
    """Return the day on which the demo's people live; None outside the demo."""
    return settings.DEMO_DAY if settings.DEMO else None
