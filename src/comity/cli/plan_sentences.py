"""A plan in sentences: what to do next first."""

from __future__ import annotations

from calendar import month_name
from typing import TYPE_CHECKING

from comity.cli.sentences import Line
from comity.core.days.calendar import Day, iso
from comity.service.planning_after import after_failure, licence_said
from comity.service.planning_money import (
    before_paying_said,
    fee_said,
    money,
    paid_said,
    refund_said,
)
from comity.service.planning_next import next_actions, plan_cautions
from comity.service.planning_words import days_said, limited_said, order_said, warnings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.plan.percentiles import Spread
    from comity.service.planning import Plan
    from comity.service.planning_limits import Refining

_HOLDS_UP = 0.5


def plan_lines(plan: Plan) -> Iterator[Line]:
    """Yield a plan as paragraphs."""
    name = plan.applicant.name or plan.applicant.applicant
    title, authority = plan.route.title, plan.rulebook.authority
    yield Line(f"{name} as {title.name} at {authority.name}, from {iso(plan.wishes.start)} on")
    if plan.is_possible:
        yield from _dates(plan)
        yield from _within_limits(plan)
        yield from _listed("After the failed examination:", after_failure(plan))
        yield from _listed("To do next:", [each.says for each in next_actions(plan)])
        yield from _steps(plan)
        yield from _listed(
            "Papers that run out, when to ask for them:", [order_said(plan, o) for o in plan.orders]
        )
        yield from _speeding(plan)
        yield from _listed("Paid so far:", paid_said(plan))
        yield from _costs(plan)
        yield from _listed("Before you pay:", before_paying_said(plan))
    yield from _listed("Look out:", warnings(plan))
    yield from _listed("After the licence:", licence_said(plan))
    yield Line("")
    yield from (Line(text, mark="·") for text in plan_cautions(plan))


def refining_said(found: Refining) -> str:
    """Return how far a plan within limits has come."""
    if found.end is None:
        return f"if nothing were limited, it would be done by {iso(found.without)}"
    best = f"within your limits by {iso(found.end)}"
    gain = found.end - found.bound
    if not gain:
        return f"{best}, and no plan is sooner"
    return f"{best}; looking for a sooner one, {days_said(gain)} sooner at most"


def _listed(heading: str, texts: list[str] | tuple[str, ...]) -> Iterator[Line]:
    if texts:
        yield Line("")
        yield Line(heading)
        yield from (Line(text, 1, "·") for text in texts)


def _dates(plan: Plan) -> Iterator[Line]:
    yield Line("")
    labels = {each.id: each.label for each in plan.route.title.milestones}
    for name, spread in plan.milestones.items():
        if plan.route.network[plan.route.milestones[name]].happened is not None:
            yield Line(f"{labels[name]}: done on {_or_never(spread.p50)}.")
        else:
            yield Line(f"{labels[name]}: {_spread_said(spread)}.")


def _spread_said(spread: Spread) -> str:
    if spread.p10 == spread.p95:
        return f"on {_or_never(spread.p50)}"
    earliest, middle = _or_never(spread.p10), _or_never(spread.p50)
    if spread.p50 is None:
        return f"{earliest} at the earliest, and more likely not than so"
    late = f"; plan for {iso(spread.p80)}" if spread.p80 is not None else ""
    worst = f", at worst {iso(spread.p95)}" if spread.p95 not in (None, spread.p80) else ""
    return f"{earliest} at the earliest, by {middle} as likely as not{late}{worst}"


def _within_limits(plan: Plan) -> Iterator[Line]:
    said = limited_said(plan)
    if said:
        yield Line("")
        yield Line(said)


def _or_never(day: Day | None) -> str:
    return "no day" if day is None else iso(day)


def _steps(plan: Plan) -> Iterator[Line]:
    yield Line("")
    yield Line("Step by step, as things will most likely go:")
    rows = []
    for each in plan.route.planned:
        times = plan.times[each.id]
        begun = plan.times.get(f"before:{each.id}", times)
        is_instant = plan.route.network[each.id].duration.most == 0 and begun is times
        finish = times.end.p50
        start = finish if is_instant else begun.start.p50
        rows.append((start or 0, each, start, finish, max(times.criticality, begun.criticality)))
    for _order, each, start, finish, critical in sorted(rows, key=lambda row: row[0]):
        days = (
            _or_never(finish) if start == finish else f"{_or_never(start)} to {_or_never(finish)}"
        )
        mark = "▶" if critical > _HOLDS_UP else "·"
        yield Line(f"{days}: {each.label} ({each.party})", 1, mark)
    if any(row[-1] > _HOLDS_UP for row in rows):
        yield Line("▶ holds everything up: a day lost here is a day lost in the end.", 1)


def _speeding(plan: Plan) -> Iterator[Line]:
    won = [
        (plan.times[each.id].days_won, each)
        for each in plan.route.planned
        if plan.times[each.id].days_won >= 0.05  # noqa: PLR2004 - a day in twenty
    ]
    if won:
        gain, best = max(won, key=lambda pair: pair[0])
        yield Line("")
        yield Line(
            f"What to speed up: {best.label}. Each day saved on it brings the end"
            f" {gain:.1f} days closer."
            if gain > 1
            else f"What to speed up: {best.label}. Ten days saved on it bring the end"
            f" {10 * gain:.0f} days closer."
        )


def _costs(plan: Plan) -> Iterator[Line]:
    budget = plan.budget
    if budget is None:
        return
    yield Line("")
    p50, p80 = money(plan, budget.p50), money(plan, budget.p80)
    more = "" if p50 == p80 else f"; have {p80} at hand to be on the safe side"
    yield Line(f"Still to be paid: {p50} as likely as not{more}.")
    yield from (Line(fee_said(plan, line), 1, "·") for line in budget.lines)
    if refund_said(plan):
        yield Line(refund_said(plan), 1)
    due = [
        f"{month_name[each.month]} {each.year}: {money(plan, each.p80)}"
        for each in budget.months
        if each.p80
    ]
    yield from _listed("Have it ready by month (enough in four of five cases):", due)
