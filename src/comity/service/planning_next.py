"""What to do next in a plan, and what the plan takes for granted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import iso
from comity.core.eligibility.wording import cautions
from comity.core.plan.laying_out import BEFORE, REMEDY
from comity.core.plan.taken import chance_of
from comity.core.rulebook.phrases import together
from comity.service.planning_words import quoted, share_said

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.service.planning import Plan

_SOON_DAYS: Final = 45
_N_FEASTS: Final = 6
_ASSUMED: Final = "this is an assumption, not a forecast"
_FROM_PRACTICE: Final = (
    "this is the chance of passing from practice, after the study that the file states: a forecast"
    " from a model, not a promise"
)


@dataclass(frozen=True, slots=True)
class Action:
    """Something to do next, and from or on which day."""

    step: str
    label: str
    day: Day
    says: str


def next_actions(plan: Plan) -> tuple[Action, ...]:
    """Return what the applicant or adviser does within the next weeks, by day."""
    recommended = {each.paper: each.recommended.order_on for each in plan.orders}
    found = []
    for each in plan.route.planned:
        times = plan.times.get(_begin(plan, each.id))
        day = recommended.get(each.id, times.start.p50 if times else None)
        if day is None or day > plan.wishes.start + _SOON_DAYS:
            continue
        if not each.is_applicants and not each.paper:
            continue
        when = "now" if day <= plan.wishes.start else f"on {iso(day)}"
        say = (
            f"{(each.says or each.label).rstrip('.')} ({when})"
            if not each.paper
            else _order_now(each.label, when)
        )
        found.append(Action(each.id, each.label, max(day, plan.wishes.start), say))
    return tuple(sorted(found, key=lambda action: action.day))


def _order_now(label: str, when: str) -> str:
    return f"{label}: ask for it {when}"


def _begin(plan: Plan, step: str) -> str:
    """Return the step of the network with which a step begins."""
    return BEFORE + step if BEFORE + step in plan.route.network.position else step


def plan_cautions(plan: Plan) -> tuple[str, ...]:
    """Return what a plan takes for granted, and what must be said beside every answer."""
    return (*_assumptions(plan), *cautions(plan.route.edition, plan.applicant, is_stale=False))


def _assumptions(plan: Plan) -> Iterator[str]:
    steps = plan.route.network.steps
    practised = {chance_of(plan.wishes.p_pass, each) for each in plan.wishes.from_practice}
    for chance in dict.fromkeys(s.sittings.p_pass for s in steps if s.sittings is not None):
        yield (
            "Each attempt at the examination is taken to succeed in"
            f" {share_said(chance)}; {_FROM_PRACTICE if chance in practised else _ASSUMED}."
        )
    if any(each.study_minutes_a_week for each in plan.route.planned):
        hours = plan.taken.study_minutes_a_week / 60
        yield f"Study is planned at {hours:g} hours a week."
    used = {step.id for step in steps}
    own = [
        each.label
        for each in plan.route.checked
        if each.is_own_pace and REMEDY + each.id in used and not each.remedy_days
    ]
    if own:
        yield (f"No time is known, so none is counted, for: {together(quoted(own))}.")
    yield from _estimated_feasts(plan)
    laws = dict.fromkeys(step.duration.law for step in steps if step.duration.law != "fixed")
    if laws:
        yield (
            f"Times that are not fixed are drawn by these laws: {together(laws)};"
            f" {plan.wishes.draws} futures, seed {plan.wishes.seed}."
        )


def _estimated_feasts(plan: Plan) -> Iterator[str]:
    ends = [spread.p95 or spread.p80 or spread.p50 or 0 for spread in plan.milestones.values()]
    last = max(ends, default=plan.wishes.start)
    ahead = [day for day in plan.taken.estimated if plan.wishes.start <= day <= last]
    if ahead:
        days = together(iso(day) for day in ahead[:_N_FEASTS])
        more = ", and later ones" if len(ahead) > _N_FEASTS else ""
        yield (
            f"Feasts that depend on the moon are expected on {days}{more}. They are taken as days"
            " off, and may fall a day or two earlier or later."
        )
