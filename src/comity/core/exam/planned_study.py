"""Study that is to come, as readiness counts it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from comity.core.days.calendar import Day

ITEMS_AN_HOUR: Final = 20.0
"""Items practised in an hour of study, explanations read: an assumption, not a measured figure."""


class ReadinessError(ValueError):
    """What was asked cannot be answered."""


@dataclass(frozen=True, slots=True)
class StudySession:
    """Study of one domain on one day."""

    on: Day
    domain: str
    minutes: int


@dataclass(frozen=True, slots=True)
class PlannedStudy:
    """Study that is to come.

    Parameters
    ----------
    sessions : tuple of StudySession
        Those before today or after the examination count for nothing.
    items_an_hour : float
        Items practised in an hour.
    by_domain : mapping
        The same for domains in which it differs, by id.
    """

    sessions: tuple[StudySession, ...] = ()
    items_an_hour: float = ITEMS_AN_HOUR
    by_domain: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        rates = (self.items_an_hour, *self.by_domain.values())
        if min(rates) < 0 or any(each.minutes < 0 for each in self.sessions):
            message = "study must take 0 minutes or more, with 0 items an hour or more"
            raise ReadinessError(message)

    def rate(self, domain: str) -> float:
        """Return items practised in an hour of a domain."""
        return self.by_domain.get(domain, self.items_an_hour)


NO_STUDY: Final = PlannedStudy()
