"""When to order what lapses: a rule known on the day itself, never with hindsight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from comity.core.days.calendar import Day

Anchor = Literal["as soon as possible", "day", "sitting", "end"]


@dataclass(frozen=True, slots=True)
class Policy:
    """When a short-lived paper is ordered; never before it can be, nor before the rule is known.

    Parameters
    ----------
    paper : str
        The step that gets it.
    anchor : str
        ``as soon as possible``; a fixed ``day``; the booked ``sitting`` of a step, known once
        one has entered for it; or the ``end`` of a step.
    step : str
        Of the sitting or end.
    offset : int
        Days after the anchor; negative before it, for a sitting only. The day itself for ``day``.
    """

    paper: str
    anchor: Anchor = "as soon as possible"
    step: str = ""
    offset: Day = 0

    def __post_init__(self) -> None:
        """Refuse a rule that needs to know the future."""
        if self.anchor == "end" and self.offset < 0:
            message = (
                f"paper {self.paper}: {-self.offset} days before {self.step} ends is hindsight"
            )
            raise ValueError(message)
