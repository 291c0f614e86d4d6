"""Days of events in the facts, and of the windows that look back at them."""

from __future__ import annotations

import numpy as np

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.eligibility.context import (
    Context,
)


def first_event(context: Context, event: str) -> Ints:
    """Return for every row the first day of a qualification or registration; FOREVER for none.

    In a certain row the event has surely come, in a possible row it may have.
    """
    return _first(context, event, until=False)


def first_event_at_latest(context: Context, event: str) -> Ints:
    """Return the same day as the earliest (certain) or latest (possible) one it can be."""
    return _first(context, event, until=True)


def _first(context: Context, event: str, *, until: bool) -> Ints:
    """Return the first day of an event; the earliest it can be rests on every entry."""
    section, name = {
        "qualification": ("qualifications", "completed"),
        "registration": ("registrations", "start"),
    }[event]
    table = context.columns.whole_table(section) if until else context.columns.table(section)
    days = table.until(name) if until else table.since(name)
    held = table.against if until else table.rows >= 0
    if event == "registration":
        held = held & table.where("state", lambda state: state == "held")
    return earliest_of_rows(table.rows[held], days[held], context.n_rows)


def earliest_of_rows(rows: Ints, days: Ints, n_rows: int) -> Ints:
    """Return the earliest day of each row; FOREVER for none."""
    first = np.full(n_rows, FOREVER, np.int64)
    np.minimum.at(first, rows, days)
    return first


def where_event_is_known(yes: DaySet, event: str, context: Context) -> DaySet:
    """Return the days, and all possible ones where nobody has said when the event was."""
    section = "qualifications" if event == "qualification" else "registrations"
    return context.known(section, yes)


def trailing_end(last_days: Ints, window: Period) -> Ints:
    """Return the first day whose trailing window no longer holds each last day."""
    return window.window_reaches(last_days + 1)
