"""The time of a sitting: what is allowed, what is left, when it ended, what may still be answered.

Everything follows from the moment it began and the moment it is now, so that a reload, a lost
network or a restart of the server changes nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from datetime import datetime

MOST_EXTRA_PERCENT: Final = 300
SAID_MINUTES: Final = (60, 30, 15, 5, 1)
"""At so many minutes left the time is said aloud; more often would talk over the questions."""


class Standing(StrEnum):
    """How far a sitting has come."""

    NOT_BEGUN = "not begun"
    RUNNING = "running"
    TIME_UP = "time up"
    HANDED_IN = "handed in"


@dataclass(frozen=True, slots=True)
class Timing:
    """The time of one sitting; it cannot be handed in after its end.

    Parameters
    ----------
    minutes : int or None
        What the form allows; None where there is no limit (practice).
    extra_percent : int
        What is added for a person who needs more time, 0 to 300.
    began, handed_in : datetime or None
        With their time zone.
    """

    minutes: int | None
    extra_percent: int = 0
    began: datetime | None = None
    handed_in: datetime | None = None

    @property
    def allowed(self) -> timedelta | None:
        """The whole time, the extra included, to the second; None where there is no limit."""
        if self.minutes is None:
            return None
        return timedelta(seconds=self.minutes * 60 * (100 + self.extra_percent) // 100)

    @property
    def ends(self) -> datetime | None:
        """The moment from which nothing more is taken; None without a limit or a beginning."""
        if self.began is None or self.allowed is None:
            return None
        return self.began + self.allowed

    def standing(self, now: datetime) -> Standing:
        """Return how far the sitting has come; the very moment of the end is over."""
        if self.began is None:
            return Standing.NOT_BEGUN
        if self.handed_in is not None:
            return Standing.HANDED_IN
        is_up = self.ends is not None and now >= self.ends
        return Standing.TIME_UP if is_up else Standing.RUNNING

    def may_answer(self, now: datetime) -> bool:
        """Tell whether an answer that arrives now is taken."""
        return self.standing(now) is Standing.RUNNING

    def is_over(self, now: datetime) -> bool:
        """Tell whether it was handed in or its time is up."""
        return self.standing(now) in {Standing.HANDED_IN, Standing.TIME_UP}

    def ended(self, now: datetime) -> datetime | None:
        """Return the moment it ended; None while it has not."""
        match self.standing(now):
            case Standing.HANDED_IN:
                return self.handed_in
            case Standing.TIME_UP:
                return self.ends
            case _:
                return None

    def seconds_left(self, now: datetime) -> int | None:
        """Return the whole seconds left, never less than none; None without a limit.

        A clock that was put back gives nobody more than the whole time.

        Examples
        --------
        >>> from datetime import UTC, datetime
        >>> began = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)
        >>> Timing(90, began=began).seconds_left(datetime(2026, 6, 1, 10, 0, tzinfo=UTC))
        1800
        """
        if self.allowed is None:
            return None
        whole = int(self.allowed.total_seconds())
        if self.began is None:
            return whole
        if self.is_over(now):
            return 0
        left = self.allowed - (now - self.began)
        return min(whole, max(0, int(left.total_seconds())))

    def minutes_taken(self, now: datetime) -> int | None:
        """Return how many minutes were taken, begun ones counted whole; None before the start."""
        if self.began is None:
            return None
        end = self.ended(now) or now
        return max(0, -(-int((end - self.began).total_seconds()) // 60))


def most_extra(percent: int) -> int:
    """Return an extra share of time that can be granted.

    Raises
    ------
    ValueError
        When it is less than none or more than 300 percent.
    """
    if not 0 <= percent <= MOST_EXTRA_PERCENT:
        message = f"extra time is 0 to {MOST_EXTRA_PERCENT} percent of the time, got {percent}"
        raise ValueError(message)
    return percent
