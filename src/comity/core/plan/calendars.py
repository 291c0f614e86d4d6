"""The working days of the parties of an edition, and durations as the network counts them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from comity.core.days.workdays import WorkCalendar
from comity.core.plan.network import EVERY_DAY, Duration
from comity.core.plan.runs import days_in
from comity.core.rulebook.steps import APPLICANT, WEEKDAYS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.declaring.estimates import Estimate
    from comity.core.rulebook.model import Edition
    from comity.core.rulebook.steps import Party

_UNLISTED = WorkCalendar()
"""Of a party of which nothing is said: Monday to Friday."""


@dataclass(frozen=True, slots=True)
class Calendars:
    """Who works when.

    Parameters
    ----------
    parties : mapping
        By id.
    holidays : mapping
        Public holidays by country, as far as parties keep them.
    blocked : tuple of Day
        Days on which the applicant can do nothing.
    """

    parties: Mapping[str, Party]
    holidays: Mapping[str, tuple[Day, ...]] = field(default_factory=dict)
    blocked: tuple[Day, ...] = ()

    @classmethod
    def of(
        cls,
        edition: Edition,
        holidays: Mapping[str, tuple[Day, ...]],
        *,
        blocked: Iterable[Run] = (),
    ) -> Calendars:
        """Return the calendars of an edition's parties."""
        return cls({party.id: party for party in edition.parties}, holidays, days_in(blocked))

    def label(self, party: str) -> str:
        """Return the name that people read."""
        found = self.parties.get(party)
        return party if found is None else found.label

    def is_applicant(self, party: str) -> bool:
        """Tell whether a party is the applicant."""
        found = self.parties.get(party)
        return party == APPLICANT if found is None else found.who == APPLICANT

    def calendar(self, party: str) -> WorkCalendar:
        """Return the working days of a party."""
        found = self.parties.get(party)
        if found is None:
            return self._every_day(party) if party == APPLICANT else _UNLISTED
        blocked = self.blocked if self.is_applicant(party) else ()
        public = self.holidays.get(found.holidays_of, ()) if found.holidays_of else ()
        weekend = frozenset(WEEKDAYS.index(day) for day in found.weekend)
        return WorkCalendar(weekend, (*found.holidays, *public, *blocked))

    def of_estimate(self, estimate: Estimate | None, party: str) -> WorkCalendar:
        """Return the calendar in which a party's time is counted: every day, or working days."""
        is_working = estimate is not None and estimate.is_working
        return self.calendar(party) if is_working else self._every_day(party)

    def _every_day(self, party: str) -> WorkCalendar:
        """Return the calendar in which every day counts on which a party can act."""
        is_blocked = self.blocked and self.is_applicant(party)
        return WorkCalendar(frozenset(), self.blocked) if is_blocked else EVERY_DAY


def duration_of(estimate: Estimate | None) -> Duration:
    """Return a duration; what says none takes no time."""
    if estimate is None:
        return Duration.fixed(0)
    return Duration(estimate.least, estimate.most, estimate.likely)
