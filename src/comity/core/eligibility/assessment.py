"""The assessment: one applicant, one title, one day; what every output is made from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from comity.core.days.calendar import Day

Assumption = Literal["continues", "stops"]
Certainty = Literal["certain", "possible"]


class Verdict(StrEnum):
    """The five answers to "does it hold on this day?"."""

    MET = "met"
    NOT_MET = "not met"
    UNKNOWN = "unknown"
    NOT_APPLICABLE = "not applicable"
    REFER = "refer"


@dataclass(frozen=True, slots=True)
class Window:
    """A run of days; `until` is inclusive; None is open."""

    start: Day | None
    until: Day | None
    certainty: Certainty


@dataclass(frozen=True, slots=True)
class Remedy:
    """The least that turns a verdict to met.

    Parameters
    ----------
    what : str
        What to do, as a short imperative ("Work until 2027-03-14 at 60 %").
    earliest : Day or None
        First day on which the requirement would then hold; None when nobody can say.
    detail : str
        The adviser's sentence: amounts, caps, conditions.
    plain : str
        The same for the applicant: no codes, no percentages.
    """

    what: str
    earliest: Day | None = None
    detail: str = ""
    plain: str = ""


@dataclass(frozen=True, slots=True)
class SourceNote:
    """Where a requirement is written, as an adviser would cite it."""

    document: str
    section: str = ""
    edition: str = ""
    read: Day | None = None
    url: str = ""


@dataclass(frozen=True, slots=True)
class RequirementResult:
    """What one requirement says on the assessed day.

    `start` and `until` (inclusive) bound the current run of days if it is met, the next certain run
    otherwise; None is open. `windows` are the runs from the assessed day on, certain and possible,
    for drawing. `children` are the parts of a combined requirement, in the rulebook's order.
    """

    id: str
    label: str
    at: str
    edition: str
    verdict: Verdict
    start: Day | None
    until: Day | None
    amount: float | None
    needed: float | None
    unit: str | None
    shortfall: float | None
    missing: tuple[str, ...]
    deemed_by: str | None
    remedy: Remedy | None
    source: SourceNote
    says: str
    reason: str
    windows: tuple[Window, ...] = ()
    children: tuple[RequirementResult, ...] = ()
    conflict: tuple[SourceNote, ...] = ()
    demanded_by: Literal["authority", "employers"] = "authority"


@dataclass(frozen=True, slots=True)
class ComingChange:
    """A later edition under which the answer would be another one."""

    edition: str
    start: Day
    verdict_before: Verdict
    verdict_after: Verdict
    requirements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Assessment:
    """One applicant × one title × one day.

    `earliest` is the first day on which one could apply once all remedies are done; only the
    applicant's speed may count for it, and it may hang on what is still unknown.
    `requirements` stand with the deciding one first. `windows` belong to what is checked at
    submission, all together; certain and possible days in one sequence that does not overlap.
    `conditions` are those that the licence would carry on that day; before one that is not certain
    stands "perhaps". `if_stops_until` is the last day of the current window were practice to end
    today, when that differs from the answer given; `plain_answer` is the sentence for the
    applicant.
    """

    applicant: str
    applicant_name: str
    authority: str
    authority_name: str
    title: str
    title_name: str
    on: Day
    assumption: Assumption
    verdict: Verdict
    windows: tuple[Window, ...]
    requirements: tuple[RequirementResult, ...]
    next_question: str | None
    cautions: tuple[str, ...]
    milestones: tuple[tuple[str, str], ...] = ()
    pathway: str | None = None
    conditions: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    earliest: Day | None = None
    earliest_is_own_pace: bool = False
    earliest_is_conditional: bool = False
    coming: tuple[ComingChange, ...] = ()
    by_hand_open: tuple[str, ...] = ()
    wholly_read: bool = True
    stale: tuple[str, ...] = ()
    other_assumption: Verdict | None = None
    if_stops_until: Day | None = None
    plain_answer: str = ""
    notes: tuple[str, ...] = ()
