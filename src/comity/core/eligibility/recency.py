"""Days of the kinds about gaps: interruptions, and the time since the last contact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.eligibility.context import (
    Context,
    all_masks,
    bound,
    leaf_days,
)
from comity.core.eligibility.events import (
    earliest_of_rows,
    first_event,
    first_event_at_latest,
    trailing_end,
    where_event_is_known,
)
from comity.core.eligibility.scopes import in_scope, practice_days, registrations_in_scope
from comity.core.eligibility.triple import Days
from comity.core.rulebook.kinds.combining import Bands
from comity.core.rulebook.kinds.practising import (
    Anchor,
    Interruption,
    Recency,
)

AFTER: Final[Anchor] = "after last practice day"


def last_allowed(lasts: Ints, period: Period, anchor: Anchor) -> Ints:
    """Return the last day on which a gap after a last day of practice is not too long."""
    if anchor == "after last practice day":
        return period.after(lasts)
    return period.beginning(lasts + 1) - 1


@leaf_days.register
def _interruption(requirement: Interruption, context: Context) -> Days:
    since, latest = gaps_count_since(requirement, context)
    spells = practice_days(context, requirement.scope)
    counted = (spells & DaySet.between(latest, FOREVER)) | DaySet.between(latest, latest + 1)
    bad = _exceeded(counted, requirement)
    yes = DaySet.between(since, FOREVER) - bad
    yes = context.known("practice", yes)
    if requirement.since == "qualification":
        yes = where_event_is_known(yes, "qualification", context)
    return Days.of(yes)


def gaps_count_since(requirement: Interruption, context: Context) -> tuple[Ints, Ints]:
    """Return for every row the day from which gaps matter: as surely come, as surely not passed.

    The first practice is the first that counts.
    """
    if requirement.since == "qualification":
        return first_event(context, "qualification"), first_event_at_latest(
            context, "qualification"
        )
    table = context.columns.table("practice")
    kept = in_scope(table, requirement.scope, context)
    rows = table.rows[kept]
    return (
        earliest_of_rows(rows, table.since("start")[kept], context.n_rows),
        earliest_of_rows(rows, table.until("start")[kept], context.n_rows),
    )


def _exceeded(contact: DaySet, requirement: Interruption) -> DaySet:
    """Return the days on which a gap between days of contact has been too long."""
    rows, lasts = contact.rows, contact.ends - 1
    following = np.full(rows.size, FOREVER, np.int64)
    follows = rows[1:] == rows[:-1]
    following[:-1][follows] = contact.starts[1:][follows]
    first_bad = last_allowed(lasts, requirement.greatest, requirement.anchor) + 1
    is_bad = first_bad < following
    ends = np.full(rows.size, FOREVER, np.int64)
    if requirement.look_back is not None:
        ends = trailing_end(following - 1, requirement.look_back)
        ends[following == FOREVER] = FOREVER
    return DaySet.from_runs(
        contact.n_rows, rows[is_bad], starts=first_bad[is_bad], ends=ends[is_bad]
    )


@leaf_days.register
def _recency(requirement: Recency, context: Context) -> Days:
    yes = DaySet.empty(context.n_rows)
    for counted in requirement.counts:
        yes = yes | _recent(counted, requirement, context)
    return Days.of(yes)


def _recent(counted: str, requirement: Recency, context: Context) -> DaySet:
    contact = contacts(counted, requirement, context)
    # An award is an event, after which months are counted; only spells have a first idle day.
    anchor = AFTER if counted == "qualification" else requirement.anchor
    ends = last_allowed(contact.lasts, requirement.within, anchor) + 1
    recent = DaySet.from_runs(context.n_rows, contact.rows, starts=contact.starts, ends=ends)
    return context.known(SECTION_OF[counted], recent)


SECTION_OF: Final = {
    "practice": "practice",
    "qualification": "qualifications",
    "registration": "registrations",
}


@dataclass(frozen=True, slots=True)
class Contacts:
    """Spells of contact with the profession, one by one.

    A spell of which start and end are known to the month may begin, at the latest, after it ends,
    at the earliest: it holds no certain day, and yet there surely was one by its start.
    """

    rows: Ints
    starts: Ints
    lasts: Ints

    def days(self, n_rows: int) -> DaySet:
        """Return the days that are certain, or possible, in any of the spells."""
        return DaySet.from_runs(n_rows, self.rows, starts=self.starts, ends=self.lasts + 1)


def contacts(counted: str, requirement: Recency | Bands, context: Context) -> Contacts:
    """Return the spells of practice, of qualifying, or of being registered."""
    section, start, end = {
        "practice": ("practice", "start", "end"),
        "qualification": ("qualifications", "completed", "completed"),
        "registration": ("registrations", "start", "end"),
    }[counted]
    table = context.columns.table(section)
    if counted == "practice":
        kept = in_scope(table, requirement.scope, context)
    else:
        kept = all_masks(table, bound(table, context, "country", "authority"))
    if counted == "registration":
        kept = kept & registrations_in_scope(table, requirement.registrations)
    return Contacts(table.rows[kept], table.since(start)[kept], table.until(end)[kept])


def contact_days(counted: str, requirement: Recency | Bands, context: Context) -> DaySet:
    """Return the days of practice, of qualifying, or of being registered."""
    return contacts(counted, requirement, context).days(context.n_rows)
