"""The days on which what is checked at a milestone holds, once remedies are done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.days.calendar import FOREVER
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.deciding import decides, is_failing
from comity.core.rulebook.editions import target_of, walk
from comity.core.rulebook.kinds.combining import SameAs
from comity.core.rulebook.kinds.testing import CertificateHeld, LanguageProved, PaperHeld

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.eligibility.assessment import Remedy
    from comity.core.eligibility.inquiry import Inquiry
    from comity.core.eligibility.results import Judged
    from comity.core.eligibility.triple import Days
    from comity.core.rulebook.kinds.base import Requirement

_FETCHED_ANEW = (CertificateHeld, PaperHeld, LanguageProved)
"""Kinds that the applicant can meet again after what proves them has run out."""


@dataclass(frozen=True, slots=True)
class Checked:
    """A requirement at its check point.

    Parameters
    ----------
    id, label, at : str
        Ids of the requirement and of its milestone, and the name people read.
    runs : tuple of Run
        Days on which it lets pass as things stand, a pending remedy done where one waits.
    verdict : Verdict
        On the day from which is planned.
    remedy : Remedy or None
        What has to be done, if it fails.
    remedy_days : int
        How long the remedy takes from its beginning, in days.
    is_own_pace : bool
        Whether the remedy can be begun at any time.
    can_be_fetched_anew : bool
        Whether it is proved by a paper that can be had again.
    """

    id: str
    label: str
    at: str
    runs: tuple[Run, ...]
    verdict: Verdict
    remedy: Remedy | None
    remedy_days: int
    is_own_pace: bool
    can_be_fetched_anew: bool

    @property
    def is_failing(self) -> bool:
        """Whether something has to be done for it."""
        return self.verdict is Verdict.NOT_MET

    @property
    def is_unknown(self) -> bool:
        """Whether facts are missing; it is then taken to turn out well."""
        return self.verdict is Verdict.UNKNOWN

    def holds(self, day: Day) -> bool:
        """Tell whether it lets pass on a day."""
        return any(start <= day < end for start, end in self.runs)

    def last_day(self, since: Day) -> Day | None:
        """Return the last day of the run around a day; None without end, or where none is."""
        ends = [end for start, end in self.runs if start <= since < end]
        return ends[0] - 1 if ends and ends[0] < FOREVER else None

    def allowed(self) -> tuple[Run, ...]:
        """Return the days on which its milestone may lie, its remedy or renewal done in time.

        What can be had again binds no day: it is had again by then.
        """
        is_free = self.is_own_pace or (self.can_be_fetched_anew and not self.is_failing)
        return ((0, FOREVER),) if is_free and self.runs else self.runs


def checked(inquiry: Inquiry) -> tuple[Checked, ...]:
    """Return everything the authority checks, each with the days on which it lets pass."""
    judged = [each for each in inquiry.judged() if decides(each)]
    waiting = [each for each in judged if is_failing(each.result) and each.mended is not None]
    applicant = inquiry.applicant
    for each in waiting:
        if each.mended is not None and each.result.verdict is Verdict.NOT_MET:
            applicant = each.mended.apply(applicant)
    days = inquiry.days if applicant is inquiry.applicant else inquiry.mended_days(applicant)
    return tuple(_checked(each, days.requirements[each.top.id], inquiry) for each in judged)


def _checked(judged: Judged, days: Days, inquiry: Inquiry) -> Checked:
    result = judged.result
    mended = judged.mended if result.verdict is Verdict.NOT_MET else None
    is_own_pace = mended is not None and mended.is_own_pace
    begun = inquiry.question.on if is_own_pace else inquiry.question.today
    earliest = mended.remedy.earliest if mended is not None else None
    return Checked(
        judged.top.id,
        result.label,
        result.at,
        _runs(days, result.verdict, inquiry),
        result.verdict,
        None if mended is None else mended.remedy,
        0 if earliest is None else max(earliest - begun, 0),
        is_own_pace,
        _is_of_papers(judged.top.listed.requirement, inquiry),
    )


def _is_of_papers(requirement: Requirement, inquiry: Inquiry) -> bool:
    """Tell whether a paper, a certificate or a test is what proves a requirement."""
    chosen = inquiry.chosen
    parts = [part for _path, part in walk(requirement)]
    for part in tuple(parts):
        if isinstance(part, SameAs):
            found = target_of(chosen.edition, chosen.title, name=part.requirement)
            parts += [inside for _path, inside in walk(found[1].requirement)] if found else []
    return any(isinstance(part, _FETCHED_ANEW) for part in parts)


def _runs(days: Days, verdict: Verdict, inquiry: Inquiry) -> tuple[Run, ...]:
    """Return the days that let pass; what is unknown or referred is taken to turn out well."""
    row = inquiry.view.twin if verdict is Verdict.UNKNOWN else inquiry.view.row
    held = days.ok if verdict in {Verdict.REFER, Verdict.UNKNOWN} else days.yes
    return (held if days.na is None else held | days.na).runs_of(row)
