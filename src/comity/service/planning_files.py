"""A plan as a picture and as a calendar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.brief.drawing import drawn
from comity.charts.schedule import Bar, Point, Schedule, schedule_spec
from comity.core.days.calendar import iso
from comity.core.plan.laying_out import BEFORE
from comity.files.calendar_feed import Event, calendar_text
from comity.service.planning_after import reminders
from comity.service.planning_next import next_actions, plan_cautions
from comity.service.planning_words import order_said

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from comity.core.days.calendar import Day
    from comity.core.plan.laying_out import Planned
    from comity.service.planning import Plan

_ALARM_DAYS = 3


def chart_of(plan: Plan) -> str:
    """Return the SVG of a plan's schedule."""
    return drawn(schedule_spec(schedule_of(plan)))


def schedule_of(plan: Plan) -> Schedule:
    """Return what the picture of a plan shows."""
    labels = {each.id: each.label for each in plan.route.title.milestones}
    points = [
        Point(day, labels[name])
        for name, spread in plan.milestones.items()
        if (day := spread.p50) is not None
    ]
    bars = sorted(_bars(plan), key=lambda bar: bar.start)
    return Schedule(
        f"{plan.route.title.name}, {plan.rulebook.authority.name}",
        plan.wishes.start,
        tuple(bars),
        tuple(points),
    )


def _bars(plan: Plan) -> Iterator[Bar]:
    for each in plan.route.planned:
        times = plan.times[each.id]
        begun = plan.times.get(BEFORE + each.id, times)
        end = times.end.p50
        if end is None or begun.start.p50 is None:
            continue
        is_instant = plan.route.network[each.id].duration.most == 0 and begun is times
        sittings = plan.route.network[each.id].sittings
        yield Bar(
            each.label,
            each.party,
            end if is_instant else begun.start.p50,
            end,
            times.end.p10 or end,
            times.end.p80 or end,
            max(times.criticality, begun.criticality),
            tuple(sitting.on for sitting in sittings.dates) if sittings is not None else (),
        )


def calendar_of(plans: Iterable[Plan]) -> str:
    """Return a calendar with the days of some plans: what to do, orders, sittings, milestones."""
    return calendar_text([event for plan in plans for event in _events(plan)])


def _events(plan: Plan) -> Iterator[Event]:
    where = f"{plan.route.title.name}, {plan.rulebook.authority.name}"
    about = "\n".join(plan_cautions(plan))
    prefix = f"{plan.applicant.applicant}/{plan.rulebook.authority.id}/{plan.title_id}"
    stamp = plan.wishes.start

    def event(kind: str, day: Day, summary: str, *, more: str = "") -> Event:
        text = f"{more}\n{about}" if more else about
        return Event(f"{prefix}/{kind}", day, f"{summary} ({where})", text, stamp, _ALARM_DAYS)

    orders = {each.paper: order_said(plan, each) for each in plan.orders}
    for each in next_actions(plan):
        yield event(f"do/{each.step}", each.day, each.label, more=orders.get(each.step, each.says))
    acted = {each.step for each in next_actions(plan)}
    for order in plan.orders:
        if order.paper not in acted:
            label = plan.route.network[order.paper].label
            day = order.recommended.order_on
            yield event(f"do/{order.paper}", day, label, more=orders[order.paper])
    yield from (event(*each) for each in _sittings(plan))
    yield from (event(f"after/{r.key}", r.on, r.label) for r in reminders(plan))
    labels = {each.id: each.label for each in plan.route.title.milestones}
    for name, spread in plan.milestones.items():
        if spread.p50 is not None:
            more = f"Plan for {iso(spread.p80)}." if spread.p80 is not None else ""
            yield event(f"reach/{name}", spread.p50, labels[name], more=more)


def _sittings(plan: Plan) -> Iterator[tuple[str, Day, str]]:
    """Yield the next sitting of each examination, and the last day to enter for it."""
    for each in plan.route.planned:
        sitting = _next_sitting(plan, each)
        if sitting is not None:
            closes, on = sitting
            yield f"enter/{each.id}", closes, f"Last day to enter: {each.label}"
            yield f"sit/{each.id}", on, each.label


def _next_sitting(plan: Plan, each: Planned) -> tuple[Day, Day] | None:
    sittings = plan.route.network[each.id].sittings
    start = plan.times[each.id].start.p50
    if sittings is None or start is None:
        return None
    return next(((s.closes, s.on) for s in sittings.dates if s.closes >= start), None)
