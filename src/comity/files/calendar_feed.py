"""Days as an iCalendar file (RFC 5545): whole-day events with alarms and stable identifiers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import Day, date_from_day

if TYPE_CHECKING:
    from collections.abc import Iterable

    from icalendar import Component

_PRODUCT: Final = "-//Comity//Plan//EN"
_DOMAIN: Final = "comity.invalid"
"""RFC 2606 keeps it free, so that no identifier is that of somebody's host."""
_ALARM_HOUR: Final = 9


@dataclass(frozen=True, slots=True)
class Event:
    """A whole day in a calendar.

    Parameters
    ----------
    key : str
        By which it is known again when its day moves: applicant, title and what it is.
    on : Day
        The day.
    summary, description : str
        What people read; lines of the description are parted by line feeds.
    as_of : Day
        Day of the plan it comes from.
    alarm_days : int or None
        How many days before it is reminded of; None for never.
    """

    key: str
    on: Day
    summary: str
    description: str
    as_of: Day
    alarm_days: int | None = None


def calendar_text(events: Iterable[Event], *, name: str = "Comity") -> str:
    """Return events as the text of an iCalendar file.

    The same event keeps its identifier from plan to plan, so that a calendar which takes the file
    again moves it instead of showing it twice. The same plan gives the same text.
    """
    from icalendar import Calendar  # noqa: PLC0415 - slow to load, seldom needed

    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for event in sorted(events, key=lambda each: (each.on, each.key)):
        calendar.add_component(_component(event))
    text: str = calendar.to_ical().decode("utf-8")
    return text


def uid_of(key: str) -> str:
    """Return the identifier of an event, which tells nobody whose it is."""
    return f"{sha256(key.encode()).hexdigest()[:32]}@{_DOMAIN}"


def _component(event: Event) -> Component:
    from icalendar import Alarm  # noqa: PLC0415
    from icalendar import Event as Entry  # noqa: PLC0415

    entry = Entry()
    day = date_from_day(event.on)
    entry.add("uid", uid_of(event.key))
    entry.add("dtstamp", datetime.combine(date_from_day(event.as_of), time(), tzinfo=UTC))
    entry.add("dtstart", day)
    entry.add("dtend", day + timedelta(days=1))
    entry.add("summary", event.summary)
    entry.add("description", event.description)
    entry.add("transp", "TRANSPARENT")
    # A plan made later replaces one made before.
    entry.add("sequence", event.as_of)
    if event.alarm_days is not None:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", event.summary)
        alarm.add("trigger", timedelta(hours=_ALARM_HOUR) - timedelta(days=event.alarm_days))
        entry.add_component(alarm)
    return entry
