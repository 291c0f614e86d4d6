"""What a plan takes for granted: the first day, chances, time for study, days and sittings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from comity.core.plan.runs import outside

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run

LIKELY_TO_PASS: Final = 0.7
HOURS_A_WEEK: Final = 10 * 60
Chances = float | Mapping[str, float]
"""Of passing one attempt: the same at every examination, or by the examination's id."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What a plan takes for granted.

    Parameters
    ----------
    start : Day
        First day on which anything can be done.
    p_pass : float or mapping
        Probability of passing an examination at one attempt, 0 to 1; by id, where it is known for
        some, the others taken as `LIKELY_TO_PASS`.
    study_minutes_a_week : int
        Time for study, in minutes.
    holidays : mapping
        Public holidays by country.
    estimated : tuple of Day
        Those of the holidays that are expected and may fall a day earlier or later.
    blocked : tuple of Run
        Days on which the applicant can do nothing.
    sittings_from : Day or None
        No sitting before this day is entered for.
    skipped : tuple of Day
        Sittings that are passed over.
    """

    start: Day
    p_pass: Chances = LIKELY_TO_PASS
    study_minutes_a_week: int = HOURS_A_WEEK
    holidays: Mapping[str, tuple[Day, ...]] = field(default_factory=dict)
    estimated: tuple[Day, ...] = ()
    blocked: tuple[Run, ...] = ()
    sittings_from: Day | None = None
    skipped: tuple[Day, ...] = ()

    @property
    def free(self) -> tuple[Run, ...] | None:
        """The days on which the applicant can act; None for every day."""
        return outside(self.blocked) if self.blocked else None

    def can_sit(self, day: Day) -> bool:
        """Tell whether the applicant would sit an examination on a day."""
        is_blocked = any(start <= day < end for start, end in self.blocked)
        is_early = self.sittings_from is not None and day < self.sittings_from
        return not (is_blocked or is_early or day in self.skipped)


def chance_of(p_pass: Chances, examination: str) -> float:
    """Return the probability of passing one attempt at an examination."""
    if isinstance(p_pass, Mapping):
        return p_pass.get(examination, LIKELY_TO_PASS)
    return p_pass
