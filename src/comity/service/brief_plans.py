"""A plan as the pages of the brief show it: earliest, plan for, amounts."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from comity.brief.drawing import drawn
from comity.brief.planned import PlanPage, PlanRow
from comity.brief.typeface import showable
from comity.charts.schedule import schedule_spec
from comity.core.rulebook.phrases import together
from comity.service.planning_files import schedule_of
from comity.service.planning_money import before_paying, day_paid, money, paid_for_title
from comity.service.planning_next import next_actions
from comity.service.planning_words import label_of, quoted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.brief.wording import Wording
    from comity.charts.schedule import Schedule
    from comity.core.days.calendar import Day
    from comity.core.plan.budget import Line
    from comity.core.plan.ordering import OrderDates
    from comity.service.planning import Plan


def plan_page(plan: Plan, *, wording: Wording) -> PlanPage | None:
    """Return the pages of a plan in the applicant's words.

    None where no plan can be made: the answer before it says what stands in its way.
    """
    words = wording.plan
    if not plan.is_possible:
        return None
    schedule = _showable(schedule_of(plan))
    # Where all is done there is no bar to draw.
    spec = schedule_spec(schedule, wording=wording.chart) if schedule.bars else None
    return PlanPage(
        lead=words.lead,
        milestones=tuple(_milestones(plan, wording)),
        svg="" if spec is None else drawn(spec),
        alt="" if spec is None else spec["description"],
        next_steps=tuple(_next_steps(plan, wording)),
        orders=tuple(_order(plan, each, wording=wording) for each in _by_day(plan)),
        total=_total(plan, wording),
        fees=tuple(_fees(plan, wording)),
        months=tuple(_months(plan, wording)),
        before=tuple(_before(plan, wording)),
    )


def _showable(schedule: Schedule) -> Schedule:
    """Return the schedule with texts that our typefaces can show."""
    return replace(
        schedule,
        title=showable(schedule.title),
        bars=tuple(
            replace(bar, label=showable(bar.label), party=showable(bar.party))
            for bar in schedule.bars
        ),
        points=tuple(replace(point, label=showable(point.label)) for point in schedule.points),
    )


def _milestones(plan: Plan, wording: Wording) -> Iterator[PlanRow]:
    labels = {each.id: each.label for each in plan.route.title.milestones}
    for name, spread in plan.milestones.items():
        happened = plan.route.network[plan.route.milestones[name]].happened
        if happened is not None:
            yield PlanRow(labels[name], wording.plan.done.format(day=wording.day(happened)))
        else:
            yield PlanRow(labels[name], _day(spread.p10, wording), _day(spread.p80, wording))


def _day(day: Day | None, wording: Wording) -> str:
    return wording.plan.no_day if day is None else wording.day(day)


def _next_steps(plan: Plan, wording: Wording) -> Iterator[PlanRow]:
    planned = {each.id: each for each in plan.route.planned}
    for each in next_actions(plan):
        is_now = each.day <= plan.wishes.start
        words = wording.plan
        when = words.now if is_now else words.on_day.format(day=wording.day(each.day))
        yield PlanRow(planned[each.step].says or each.label, when)


def _by_day(plan: Plan) -> list[OrderDates]:
    return sorted(plan.orders, key=lambda each: each.recommended.order_on)


def _order(plan: Plan, order: OrderDates, *, wording: Wording) -> PlanRow:
    words, day = wording.plan, order.recommended.order_on
    first = None if order.earliest is None else min(order.earliest, day)
    last = None if order.latest is None else max(order.latest, day)
    limits = [
        "" if first is None else words.not_before.format(day=wording.day(first)),
        "" if last is None else words.not_after.format(day=wording.day(last)),
    ]
    label = label_of(plan, order.paper)
    return PlanRow(
        label,
        words.on_day.format(day=wording.day(day)),
        together(each for each in limits if each),
    )


def _total(plan: Plan, wording: Wording) -> str:
    budget, words = plan.budget, wording.plan
    said = []
    if budget is not None:
        amount, safe = money(plan, budget.p50), money(plan, budget.p80)
        form = words.total if amount == safe else words.total_safe
        said.append(form.format(amount=amount, safe=safe))
    paid = paid_for_title(plan)
    if paid:
        said.append(words.paid.format(amounts=together(str(each.amount) for each in paid)))
    if plan.limited is not None and plan.wishes.savings is not None:
        said.append(words.within.format(day=wording.day(plan.limited.end)))
    return " ".join(said)


def _fees(plan: Plan, wording: Wording) -> Iterator[PlanRow]:
    for line in plan.budget.lines if plan.budget is not None else ():
        day = day_paid(plan, line.fee)
        when = "" if day is None else wording.plan.about.format(day=wording.day(day))
        yield PlanRow(line.fee.label, _amount(plan, line, wording), when)


def _amount(plan: Plan, line: Line, wording: Wording) -> str:
    low, high = money(plan, line.p50), money(plan, line.p80)
    return str(low) if low == high else wording.plan.span.format(low=low, high=high)


def _months(plan: Plan, wording: Wording) -> Iterator[PlanRow]:
    for each in plan.budget.months if plan.budget is not None else ():
        if each.p80:
            month = wording.plan.month.format(month=wording.months[each.month - 1], year=each.year)
            yield PlanRow(month, str(money(plan, each.p80)))


def _before(plan: Plan, wording: Wording) -> Iterator[str]:
    for gate in before_paying(plan):
        if gate.open:
            points = together(quoted(gate.open))
            yield wording.plan.sure_of.format(fee=gate.label, points=points)
