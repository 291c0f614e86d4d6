"""A plan as a page shows it: steps, milestones, order dates, what was done already."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.charts.schedule import HOLDS_UP
from comity.core.plan.laying_out import BEFORE, REMEDY
from comity.service.planning_next import next_actions
from comity.service.planning_words import label_of, policy_said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.core.plan.laying_out import Planned
    from comity.core.rulebook.kinds.base import Source
    from comity.service.planning import Plan

_WORTH_A_WORD: Final = 0.05
"""Days won a day saved: less than one in twenty is not worth anybody's hurry."""
_MOST_TO_SPEED_UP: Final = 3


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step still to be taken, on its days in the middle of all futures.

    Parameters
    ----------
    name : str
        By which the file tells of it, as ``authority/title/step``; empty for what no rulebook
        names a step, and for examinations, which have results.
    early, late : Day or None
        Ends that are passed in nine of ten futures, and reached in four of five.
    criticality : int
        In how many of a hundred futures it holds up the end.
    """

    id: str
    label: str
    party: str
    name: str
    start: Day | None
    end: Day | None
    early: Day | None
    late: Day | None
    criticality: int
    holds_up: bool
    is_applicants: bool
    examination: str
    paper: str
    source: str


@dataclass(frozen=True, slots=True)
class ShownMilestone:
    """A milestone: the day on which it happened, or its spread."""

    label: str
    name: str
    happened: Day | None
    p10: Day | None
    p50: Day | None
    p80: Day | None
    p95: Day | None


@dataclass(frozen=True, slots=True)
class ShownOrder:
    """When to ask for a paper that lapses, and what can go wrong, in hundredths."""

    label: str
    policy: str
    earliest: Day | None
    recommended: Day
    latest: Day | None
    lapse: int
    delay: int

    @property
    def has_no_safe_day(self) -> bool:
        """Whether the first safe day comes after the last."""
        return None not in {self.earliest, self.latest} and (self.earliest or 0) > (
            self.latest or 0
        )


@dataclass(frozen=True, slots=True)
class Done:
    """Something that has happened, as the file tells of it."""

    entry: str
    label: str
    on: Day
    is_applicants: bool


@dataclass(frozen=True, slots=True)
class ToDo:
    """What to do next; `name` is empty where a fact has to be entered instead."""

    id: str
    says: str
    day: Day
    name: str
    examination: str
    is_applicants: bool
    paper: str


@dataclass(frozen=True, slots=True)
class Speeding:
    """What to speed up: days won at the end for ten days saved."""

    label: str
    won: int


def steps_of(plan: Plan) -> tuple[ShownStep, ...]:
    """Return the steps still to be taken, by their first day."""
    if not plan.is_possible:
        return ()
    shown = [_step(plan, each) for each in plan.route.planned]
    return tuple(sorted(shown, key=lambda each: (each.start is None, each.start or 0)))


def _step(plan: Plan, each: Planned) -> ShownStep:
    times = plan.times[each.id]
    begun = plan.times.get(BEFORE + each.id, times)
    is_instant = plan.route.network[each.id].duration.most == 0 and begun is times
    critical = max(times.criticality, begun.criticality)
    end = times.end.p50
    return ShownStep(
        each.id,
        each.label,
        each.party,
        _name(plan, each),
        end if is_instant else begun.start.p50,
        end,
        times.end.p10,
        times.end.p80,
        round(100 * critical),
        critical > HOLDS_UP,
        each.is_applicants or bool(each.paper),
        each.examination,
        each.paper,
        source_said(plan, each.source),
    )


def _name(plan: Plan, each: Planned) -> str:
    if each.id.startswith(REMEDY) or each.examination:
        return ""
    return full_name(plan, each.id)


def full_name(plan: Plan, step: str) -> str:
    """Return what the file calls a step or milestone of the plan's title."""
    return f"{plan.rulebook.authority.id}/{plan.title_id}/{step}"


def source_said(plan: Plan, source: Source | None) -> str:
    """Return where something is written, with the document's title; empty where nobody says."""
    if source is None:
        return ""
    document = plan.route.edition.sources.get(source.document)
    title = source.document if document is None else document.title
    return ", ".join(part for part in (title, source.section) if part)


def milestones_of(plan: Plan) -> tuple[ShownMilestone, ...]:
    """Return the milestones with their days."""
    labels = {each.id: each.label for each in plan.route.title.milestones}
    return tuple(
        ShownMilestone(
            labels[name],
            name,
            plan.route.network[plan.route.milestones[name]].happened,
            spread.p10,
            spread.p50,
            spread.p80,
            spread.p95,
        )
        for name, spread in plan.milestones.items()
    )


def orders_of(plan: Plan) -> tuple[ShownOrder, ...]:
    """Return when to ask for the papers that lapse, by day."""
    shown = [
        ShownOrder(
            label_of(plan, each.paper),
            policy_said(plan, each),
            each.earliest,
            each.recommended.order_on,
            each.latest,
            round(100 * each.recommended.lapse_risk),
            round(100 * each.recommended.delay_risk),
        )
        for each in plan.orders
    ]
    return tuple(sorted(shown, key=lambda each: each.recommended))


def to_do(plan: Plan) -> tuple[ToDo, ...]:
    """Return what to do next."""
    planned = {each.id: each for each in plan.route.planned}
    return tuple(
        ToDo(
            each.step,
            each.says,
            each.day,
            _name(plan, planned[each.step]),
            planned[each.step].examination,
            planned[each.step].is_applicants or bool(planned[each.step].paper),
            planned[each.step].paper,
        )
        for each in (next_actions(plan) if plan.is_possible else ())
    )


def done_of(plan: Plan) -> tuple[Done, ...]:
    """Return what has happened on the way to the plan's title, newest first."""
    found = list(_done(plan))
    return tuple(sorted(found, key=lambda each: each.on, reverse=True))


def _done(plan: Plan) -> Iterator[Done]:
    title = plan.route.title
    mine = (plan.rulebook.authority.id, title.id)
    labels = {each.id: each.label for each in title.steps}
    labels |= {each.id: each.label for each in title.milestones}
    own = {each.id for each in title.steps if each.party == "applicant" or each.gets}
    for each in plan.applicant.progress:
        *before, name = each.milestone.split("/")
        if name in labels and all(part in mine for part in before):
            yield Done(each.id, labels[name], each.on.latest, name in own)


def speeding_of(plan: Plan) -> tuple[Speeding, ...]:
    """Return what is worth speeding up, most days won first."""
    won = [
        Speeding(each.label, round(10 * plan.times[each.id].days_won))
        for each in plan.route.planned
        if plan.is_possible and plan.times[each.id].days_won >= _WORTH_A_WORD
    ]
    return tuple(sorted(won, key=lambda each: -each.won)[:_MOST_TO_SPEED_UP])


@dataclass(frozen=True, slots=True)
class Lapsing:
    """Something that holds now and has run out by the day on which it is checked."""

    label: str
    last_day: Day


def lapsing_of(plan: Plan) -> tuple[Lapsing, ...]:
    """Return what runs out before the day in the middle of all futures on which it is checked."""
    found = []
    for each in plan.route.checked:
        spread = plan.milestones.get(each.at)
        day = None if spread is None else spread.p50
        # Its verdict may be that on the planned day; what holds today is in its runs.
        last = each.last_day(plan.wishes.start)
        if last is not None and day is not None and last < day:
            found.append(Lapsing(each.label, last))
    return tuple(sorted(found, key=lambda each: each.last_day))
