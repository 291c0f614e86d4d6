"""How long something takes as an authority or its applicants say it: a number of days, or a range.

A month is never turned into days: its length depends on where it begins.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from comity.core.declaring.scalar import Scalar, refuse

_DAYS_A_WEEK: Final = 7
_MOST_DAYS: Final = 3_660
_ESTIMATE: Final = re.compile(
    r"([0-9]{1,5})(?: to ([0-9]{1,5}))? (working days?|days?|weeks?)(?:, mostly ([0-9]{1,5}))?",
    re.ASCII,
)
_MONTHS: Final = re.compile(r".*\b(months?|years?)\b.*", re.ASCII)
_WORKING_WEEKS: Final = re.compile(r".*\bworking weeks?\b.*", re.ASCII)
_FORM: Final = "write a number of days, working days or weeks, or a range of them"


@dataclass(frozen=True, slots=True)
class Estimate:
    """How long something takes.

    Parameters
    ----------
    least, most : int
        Days; 0 <= least <= most, the same where it is known.
    likely : int or None
        Between the two, where one is told.
    is_working : bool
        Whether they are working days of whoever acts; else calendar days.
    written : str
        The text it was read from; two that say the same are equal.
    """

    least: int
    most: int
    likely: int | None = None
    is_working: bool = False
    written: str = field(default="", compare=False, repr=False)

    def __str__(self) -> str:
        """Return it as it was written, else in days."""
        return self.written or self._in_days()

    def _in_days(self) -> str:
        noun = "working day" if self.is_working else "day"
        range_ = "" if self.most == self.least else f" to {self.most}"
        ends = "" if self.most == 1 else "s"
        likely = "" if self.likely is None else f", mostly {self.likely}"
        return f"{self.least}{range_} {noun}{ends}{likely}"


def parse_estimate(text: str) -> Estimate:
    """Return how long something takes.

    Raises
    ------
    ScalarError
        When the text says no such thing, with how to mend it.

    Examples
    --------
    >>> parse_estimate("4 to 6 weeks")
    Estimate(least=28, most=42, likely=None, is_working=False)
    """
    stripped = text.strip()
    match = _ESTIMATE.fullmatch(stripped)
    if match is None:
        refuse(_hint(stripped))
    each = _DAYS_A_WEEK if match[3].startswith("week") else 1
    least = int(match[1]) * each
    most = least if match[2] is None else int(match[2]) * each
    likely = None if match[4] is None else int(match[4]) * each
    _check(least, most, likely)
    return Estimate(least, most, likely, match[3].startswith("working"), stripped)


def _hint(text: str) -> str:
    if _MONTHS.fullmatch(text):
        return "a month is never turned into days: write days or weeks, as 4 to 5 weeks"
    if _WORKING_WEEKS.fullmatch(text):
        return "write working days, as 10 working days for two weeks of work"
    return _FORM


def _check(least: int, most: int, likely: int | None) -> None:
    if most < least:
        refuse("the range runs backwards: write the shorter time first")
    if likely is not None and not least <= likely <= most:
        refuse("what it mostly takes lies between the two ends")
    if most > _MOST_DAYS:
        refuse("nothing here takes longer than ten years")


ESTIMATE: Final = Scalar(
    name="estimate",
    noun="a time in days or weeks",
    code="F417",
    example="4 to 6 weeks",
    parse=parse_estimate,
    write=str,
    schema={
        "type": "string",
        "pattern": "^[0-9]{1,5}( to [0-9]{1,5})? (working days?|days?|weeks?)"
        "(, mostly [0-9]{1,5})?$",
    },
)
