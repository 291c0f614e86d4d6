"""Plans as plain data: the contract of ``comity plan --json``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from comity.core.days.calendar import iso
from comity.core.declaring.iso import CURRENCY_DECIMALS
from comity.core.declaring.quantities import write_fixed
from comity.core.plan.laying_out import BEFORE
from comity.service.assessing import day_or_null
from comity.service.planning_after import after_failure
from comity.service.planning_money import before_paying, before_paying_said, day_paid
from comity.service.planning_next import next_actions, plan_cautions
from comity.service.planning_words import policy_said, warnings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from comity.core.plan.fees_due import Owed
    from comity.core.plan.laying_out import Planned
    from comity.core.plan.ordering import OrderDates
    from comity.core.rulebook.kinds.base import Source
    from comity.service.planning import Plan

Data = dict[str, Any]


def plans_data(plans: Iterable[Plan]) -> list[Data]:
    """Return plans as data, in their order."""
    return [plan_data(each) for each in plans]


def plan_data(plan: Plan) -> Data:
    """Return a plan as data; days are ISO 8601, probabilities 0 to 1, amounts decimal text."""
    return {
        "applicant": plan.applicant.applicant,
        "authority": plan.rulebook.authority.id,
        "title": plan.title_id,
        "edition": plan.route.edition.rulebook,
        "steps": [_step(plan, each) for each in plan.route.planned] if plan.is_possible else [],
        "milestones": [
            {
                "id": name,
                "p10": day_or_null(spread.p10),
                "p50": day_or_null(spread.p50),
                "p80": day_or_null(spread.p80),
                "p95": day_or_null(spread.p95),
            }
            for name, spread in plan.milestones.items()
        ],
        "order_dates": [_order(plan, each) for each in plan.orders],
        "cost": _cost(plan),
        "next_actions": [
            {"step": each.step, "label": each.label, "day": iso(each.day), "says": each.says}
            for each in next_actions(plan)
        ],
        "warnings": [*after_failure(plan), *warnings(plan), *_before_paying(plan)],
        "cautions": list(plan_cautions(plan)),
        **_limits(plan),
    }


def _step(plan: Plan, each: Planned) -> Data:
    times = plan.times[each.id]
    begun = plan.times.get(BEFORE + each.id, times)
    critical = max(times.criticality, begun.criticality)
    finish = times.end.p50
    is_instant = plan.route.network[each.id].duration.most == 0 and begun is times
    fees = [owed for owed in plan.owed if _paid_in(plan, owed.due.step) == each.id]
    return {
        "id": each.id,
        "label": each.label,
        "party": each.party,
        "start": day_or_null(finish if is_instant else begun.start.p50),
        "finish": day_or_null(finish),
        "criticality": round(critical, 4),
        "fee": [_fee(plan, owed) for owed in fees],
        "source": _source(each.source),
    }


def _before_paying(plan: Plan) -> tuple[str, ...]:
    return before_paying_said(plan) if plan.is_possible else ()


def _paid_in(plan: Plan, step: str) -> str:
    """Return the step that people are shown in which a fee is paid."""
    if any(each.id == step for each in plan.route.planned):
        return step
    reaching = (each.id for each in plan.route.title.steps if each.reaches == step)
    return next(reaching, step)


def _fee(plan: Plan, owed: Owed) -> Data:
    due = owed.due
    gate = next((each for each in before_paying(plan) if each.fee == due.id), None)
    return {
        "id": due.id,
        "label": due.label,
        "amount": str(due.least),
        "most": str(due.most),
        "count": due.count,
        "each": due.paid_for,
        "refundable": due.refundable,
        "day": day_or_null(day_paid(plan, due)),
        "paid": [str(payment.amount) for payment in owed.settled.payments],
        "make_sure_of": list(gate.open) if gate else [],
        "source": _source(owed.source),
    }


def _source(source: Source | None) -> Data | None:
    if source is None:
        return None
    return {"document": source.document, "section": source.section, "url": source.url}


def _order(plan: Plan, each: OrderDates) -> Data:
    return {
        "paper": each.paper,
        "policy": policy_said(plan, each),
        "earliest": day_or_null(each.earliest),
        "recommended": iso(each.recommended.order_on),
        "latest": day_or_null(each.latest),
        "lapse_risk": round(each.recommended.lapse_risk, 4),
        "delay_risk": round(each.recommended.delay_risk, 4),
    }


def _limits(plan: Plan) -> Data:
    """Return how good a plan within limits is; nothing where nothing is limited."""
    found = plan.limited
    if found is None:
        return {}
    return {
        "limits": {
            "end": iso(found.end),
            "bound": iso(found.bound),
            "gap_days": found.gap_days,
            "is_best": not found.gap_days,
        }
    }


def _cost(plan: Plan) -> Data | None:
    budget = plan.budget
    if budget is None:
        return None
    decimals = CURRENCY_DECIMALS[budget.currency]
    return {
        "currency": budget.currency,
        "p50": write_fixed(budget.p50, decimals),
        "p80": write_fixed(budget.p80, decimals),
        "by_month": [
            {
                "month": f"{each.year}-{each.month:02}",
                "p50": write_fixed(each.p50, decimals),
                "p80": write_fixed(each.p80, decimals),
            }
            for each in budget.months
            if each.p80
        ],
    }
