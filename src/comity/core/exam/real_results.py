"""What came of examinations that people sat; loads nothing heavy, so that files read at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from comity.core.days.calendar import Day


@dataclass(frozen=True, slots=True, order=True)
class RealResult:
    """What came of an examination.

    Parameters
    ----------
    person : str
        As in the answers.
    on : Day
        Day of the sitting.
    passed : bool
    """

    person: str
    on: Day
    passed: bool
