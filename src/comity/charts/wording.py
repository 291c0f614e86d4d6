"""The fixed words of the charts, one value a language."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, date_from_day
from comity.core.eligibility.assessment import Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class ChartWording:
    """Words a chart writes itself; labels of requirements come from the rulebook.

    Parameters
    ----------
    language : str
        BCP 47 tag of the words.
    months : tuple of str
        Short names, January first.
    verdicts : mapping of Verdict to str
        What stands at the end of a row.
    """

    language: str = "en"
    months: tuple[str, ...] = (
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    )  # fmt: skip
    verdicts: Mapping[Verdict, str] = field(
        default_factory=lambda: {
            Verdict.MET: "met",
            Verdict.NOT_MET: "not met",
            Verdict.UNKNOWN: "unknown",
            Verdict.REFER: "refer",
            Verdict.NOT_APPLICABLE: "not applicable",
        }
    )
    title: str = "Open dates: {title}, {authority}"
    at_submission: str = "Checked when the application is handed in"
    later: str = "Checked later: {milestone}"
    together: str = "All together"
    certain: str = "holds"
    possible: str = "may hold, once missing facts are known"
    check_point: str = "the day on which it is checked"
    assessed: str = "{day}: day of this assessment"
    new_edition: str = "new edition"
    no_day: str = "no day found"
    holds: str = "holds {span}"
    may_hold: str = "may hold {span}"
    from_until: str = "from {start} until {until}"
    from_on: str = "from {start} on"
    up_to: str = "until {until}"
    always: str = "at all times"
    joiner: str = "; "

    def day(self, day: Day) -> str:
        """Return the day as people write it: ``3 Mar 2027``."""
        date = date_from_day(day)
        parts = (str(date.day), self.months[date.month - 1], str(date.year))
        return "\N{NO-BREAK SPACE}".join(parts)

    def month(self, day: Day) -> str:
        """Return the day's month and year: ``Mar 2027``."""
        date = date_from_day(day)
        return f"{self.months[date.month - 1]} {date.year}"

    def span(self, start: Day | None, until: Day | None) -> str:
        """Return a run of days in words; None is open."""
        if start is None and until is None:
            return self.always
        if start is None and until is not None:
            return self.up_to.format(until=self.day(until))
        if until is None and start is not None:
            return self.from_on.format(start=self.day(start))
        return self.from_until.format(start=self.day(start or 0), until=self.day(until or 0))


ENGLISH = ChartWording()
