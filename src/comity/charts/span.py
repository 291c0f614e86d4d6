"""Choose the stretch of time a chart shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import FOREVER, Day

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.eligibility.assessment import Assessment

LEAST_DAYS: Final = 548
MOST_DAYS: Final = 3653
BEFORE_SHARE: Final = 16
AFTER_SHARE: Final = 7


@dataclass(frozen=True, slots=True)
class Span:
    """The days a chart shows, from `start` up to but not including `end`."""

    start: Day
    end: Day

    @property
    def n_days(self) -> int:
        """Return how many days are shown."""
        return self.end - self.start


def sensible_span(assessment: Assessment) -> Span:
    """Return a little before the assessed day to some months after the last boundary of interest.

    At least a year and a half so that a single date does not look like an eternity, at most ten
    years so that the coming months stay readable; what lies beyond is drawn as going on.
    """
    reach = max((day - assessment.on for day in _boundaries(assessment)), default=0)
    shown = min(max(reach + reach // AFTER_SHARE, LEAST_DAYS), MOST_DAYS)
    return Span(max(assessment.on - shown // BEFORE_SHARE, 0), min(assessment.on + shown, FOREVER))


def _boundaries(assessment: Assessment) -> Iterator[Day]:
    """Yield the days after the assessed one on which something begins, ends or changes."""
    horizon = assessment.on + MOST_DAYS
    runs = [*assessment.windows, *(run for row in assessment.requirements for run in row.windows)]
    days = [
        *(day for run in runs for day in (run.start, run.until)),
        *(change.start for change in assessment.coming),
        assessment.earliest,
    ]
    yield from (day for day in days if day is not None and assessment.on < day < horizon)
