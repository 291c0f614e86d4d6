"""What if: a plan with other wishes beside the plan as it stands; nothing is kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from comity.core.days.calendar import Day
    from comity.core.days.dayset import Run
    from comity.core.declaring.amounts import Money
    from comity.service.planning import Plan, Wishes

_CHANCE_DAYS: Final = 1
_CHANCE_SHARE: Final = 0.005
"""With thousands of futures a median moves by no more from one drawing to the next."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What is tried; what is left out stays as it is.

    Parameters
    ----------
    start : Day or None
        The first day on which anything is done.
    study_minutes_a_week : int or None
        Time for study.
    savings : Money or None
        Put aside a month.
    skipped : tuple of Day
        Sittings that are passed over.
    blocked : tuple of Run
        Days on which the applicant can do nothing; half-open.
    """

    start: Day | None = None
    study_minutes_a_week: int | None = None
    savings: Money | None = None
    skipped: tuple[Day, ...] = ()
    blocked: tuple[Run, ...] = ()


@dataclass(frozen=True, slots=True)
class Moved:
    """A milestone before and after; `days` is how much later it comes, less than 0 for earlier."""

    label: str
    before: Day | None
    after: Day | None

    @property
    def days(self) -> int:
        """How many days later it comes; 0 where either has no day."""
        return 0 if self.before is None or self.after is None else self.after - self.before

    @property
    def is_worth_a_word(self) -> bool:
        """Whether it moves by more than chance moves it from one drawing to the next."""
        if self.before is None or self.after is None:
            return self.before != self.after
        return abs(self.days) > _CHANCE_DAYS


@dataclass(frozen=True, slots=True)
class Difference:
    """What another plan changes.

    Parameters
    ----------
    moved : tuple of Moved
        Each milestone, on its day in the middle of all futures.
    currency : str
        Of the costs.
    cost_before, cost_after : int or None
        The median total in the smallest unit; None where nothing is paid, or the currencies differ.
    """

    moved: tuple[Moved, ...]
    currency: str = ""
    cost_before: int | None = None
    cost_after: int | None = None

    @property
    def dearer_by(self) -> int:
        """How much more is to be paid; less than 0 for less."""
        return (self.cost_after or 0) - (self.cost_before or 0)

    @property
    def cost_is_worth_a_word(self) -> bool:
        """Whether the cost changes by more than chance changes it."""
        return abs(self.dearer_by) > _CHANCE_SHARE * (self.cost_before or 0)


def wished(wishes: Wishes, trial: Trial) -> Wishes:
    """Return the wishes with what is tried in place of theirs."""
    return replace(
        wishes,
        start=max(wishes.start, trial.start or wishes.start),
        study_minutes_a_week=trial.study_minutes_a_week or wishes.study_minutes_a_week,
        savings=trial.savings or wishes.savings,
        skipped_sittings=(*wishes.skipped_sittings, *trial.skipped),
        blocked=(*wishes.blocked, *trial.blocked),
    )


def difference(before: Plan, after: Plan) -> Difference:
    """Return what another plan for the same title changes, milestone by milestone."""
    labels = {each.id: each.label for each in before.route.title.milestones}
    moved = tuple(
        Moved(
            labels.get(name, name),
            before.milestones[name].p50 if name in before.milestones else None,
            after.milestones[name].p50 if name in after.milestones else None,
        )
        for name in dict.fromkeys((*before.milestones, *after.milestones))
    )
    one, other = before.budget, after.budget
    if one is None or other is None or one.currency != other.currency:
        return Difference(moved)
    return Difference(moved, one.currency, one.p50, other.p50)


def sittings_ahead(plan: Plan) -> tuple[Day, ...]:
    """Return the published sittings that are still to come, of examinations not by appointment."""
    published = {
        each.on
        for examination in plan.route.title.examinations
        if not examination.by_appointment
        for each in examination.sittings
    }
    planned = {
        sitting.on
        for step in plan.route.network.steps
        if step.sittings is not None and step.happened is None
        for sitting in step.sittings.dates
    }
    return tuple(sorted(published & planned))
