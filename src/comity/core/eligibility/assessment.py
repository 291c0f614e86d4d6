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
    `amount_said` and `shortfall_said` are the numbers in months and days, where they are such.
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
    amount_said: str = ""
    shortfall_said: str = ""


@dataclass(frozen=True, slots=True)
class ComingChange:
    """A later edition under which the answer would be another one."""

    edition: str
    start: Day
    verdict_before: Verdict
    verdict_after: Verdict
    requirements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlainStep:
    """One thing to do, in the applicant's words.

    `day` is the first day on which it can be done with; None where only the applicant's own speed
    counts, or nobody can say.
    """

    says: str
    day: Day | None = None


@dataclass(frozen=True, slots=True)
class PlainAnswer:
    """The answer in the applicant's words, in the order in which it is read.

    Parameters
    ----------
    headline : str
        The answer in a few words, without a full stop.
    lead : str
        What it means, in a sentence or two.
    steps : tuple of PlainStep
        What to do before applying, in order of time.
    close : str
        When one can then apply, until when, and whom one may write to.
    after : tuple of PlainStep
        What is left to do once one has applied.
    leads_on : bool
        Whether the steps lead to an application.
    """

    headline: str = ""
    lead: str = ""
    steps: tuple[PlainStep, ...] = ()
    close: str = ""
    after: tuple[PlainStep, ...] = ()
    leads_on: bool = True

    @property
    def text(self) -> str:
        """The whole answer; more than two steps are numbered, a line each."""
        lines = _told_in_turn(_run_on(f"{self.headline}.", self.lead), self.steps, self.close)
        if self.after:
            *before, last = lines
            lines = [*before, *_told_in_turn(_run_on(last, _AFTER), self.after, "")]
        return "\n".join(lines) if self.headline else ""


_AFTER = "After you have applied:"
MOST_IN_A_ROW = 2
"""More steps than these are easier to follow as a list."""


def _told_in_turn(opening: str, steps: tuple[PlainStep, ...], close: str) -> list[str]:
    """Return the lines of an opening, its steps and a close."""
    said = [step.says for step in steps]
    if len(said) <= MOST_IN_A_ROW:
        return [_run_on(opening, *said, close)]
    numbered = [f"{number}. {says}" for number, says in enumerate(said, start=1)]
    return [opening, *numbered, *([close] if close else [])]


def _run_on(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)


@dataclass(frozen=True, slots=True)
class Assessment:
    """One applicant × one title × one day.

    `earliest` is the first day on which one could apply once all remedies are done; only the
    applicant's speed may count for it, and it may hang on what is still unknown.
    `requirements` stand with the deciding one first. `windows` belong to what is checked at
    submission, all together; certain and possible days in one sequence that does not overlap.
    `conditions` are those that the licence would carry on that day; before one that is not certain
    stands "perhaps". `if_stops_until` is the last day of the current window were practice to end
    today, when that differs from the answer given; `answer` is what the applicant is told.
    `never_together` holds the ids of two requirements of which there is no day for both.
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
    answer: PlainAnswer = PlainAnswer()
    notes: tuple[str, ...] = ()
    never_together: tuple[str, ...] = ()

    @property
    def plain_answer(self) -> str:
        """What the applicant is told, as text."""
        return self.answer.text
