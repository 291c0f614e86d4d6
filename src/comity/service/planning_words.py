"""A plan in sentences: what to do next, when to order, what it costs, what to look out for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.core.days.calendar import FOREVER, iso
from comity.core.eligibility.assessment import Verdict
from comity.core.plan.exchange import STALE_AFTER_DAYS
from comity.core.plan.laying_out import BEFORE, SAME_DAY
from comity.core.rulebook.phrases import lowered, together
from comity.service.planning_after import exam_warnings
from comity.service.planning_money import payment_warnings

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from comity.core.plan.conflicts import Constraint
    from comity.core.plan.ordering import OrderDates
    from comity.service.planning import Plan

_WORTH_A_WORD: Final = 0.01
_LATE: Final = {
    "reject": "the application is rejected",
    "forfeit": "what was paid or granted is forfeited",
    "remove": "you are removed from the register",
}


def label_of(plan: Plan, step: str) -> str:
    """Return the name that people read for a step of the network."""
    found = next((each.label for each in plan.route.planned if each.id == step), None)
    if found is not None:
        return found
    name = step.removeprefix(BEFORE)
    return plan.route.network[name].label if name in plan.route.network.position else name


def quoted(labels: Iterable[str]) -> list[str]:
    """Return labels in quotation marks; names in them keep their capitals so."""
    return [f"“{label}”" for label in labels]


# ------------------------------------------------------------------------------------- order dates


def policy_said(plan: Plan, order: OrderDates) -> str:
    """Return the rule by which a paper is ordered, in words."""
    policy = order.policy
    if policy.anchor == "as soon as possible":
        return "as soon as possible"
    if policy.anchor == "day":
        return f"on {iso(order.recommended.order_on)}"
    n_days = abs(policy.offset)
    days = days_said(n_days)
    if policy.anchor == "end":
        what = lowered(label_of(plan, policy.step))
        return f"{days} after this is done: {what}" if n_days else f"once this is done: {what}"
    sitting = "the booked day of the examination"
    if not n_days:
        return f"on {sitting}"
    return f"{days} {'before' if policy.offset < 0 else 'after'} {sitting}"


def order_said(plan: Plan, order: OrderDates) -> str:
    """Return when to order a paper, between which days, and what can go wrong."""
    best = order.recommended
    between = [
        f"not before {iso(order.earliest)}" if order.earliest is not None else "",
        f"not after {iso(order.latest)}" if order.latest is not None else "",
    ]
    window = together(part for part in between if part)
    if order.earliest is not None and order.latest is not None and order.earliest > order.latest:
        window = "no day is safe on both sides"
    risks = (
        f"it will have run out in {share_said(best.lapse_risk)} and hold things up in"
        f" {share_said(best.delay_risk)}"
    )
    day = iso(best.order_on)
    rule = policy_said(plan, order)
    when = rule if rule == f"on {day}" else f"{rule}, as things stand {day}"
    said = "; ".join(part for part in (f"ask for it {when}", window, risks) if part)
    return f"{label_of(plan, order.paper)}: {said}."


def share_said(part: float) -> str:
    """Return a probability as a share of cases: ``7 of 100 cases``."""
    return f"{round(100 * part)} of 100 cases"


# ------------------------------------------------------------------------------------------ limits


def limited_said(plan: Plan) -> str:
    """Return by when all is done within what the applicant has, and how good that is."""
    limited, savings = plan.limited, plan.wishes.savings
    if limited is None:
        return ""
    has = [] if savings is None else [f"{savings} put aside a month"]
    if any(each.study_minutes_a_week for each in plan.route.planned):
        has.append(f"{plan.taken.study_minutes_a_week / 60:g} hours of study a week")
    what = f"with {together(has)}"
    said = f"If every step takes its likely time, {what}, all is done by {iso(limited.end)}"
    if not limited.gap_days:
        return f"{said}; no plan is sooner."
    return f"{said}; another plan could be {days_said(limited.gap_days)} sooner at most."


def days_said(n: int) -> str:
    """Return a number of days in words."""
    return "1 day" if n == 1 else f"{n} days"


# ---------------------------------------------------------------------------------------- warnings


def warnings(plan: Plan) -> tuple[str, ...]:
    """Return what can go wrong with a plan, or what stands in its way."""
    if plan.is_short_of_money:
        savings = plan.wishes.savings
        return (f"With {savings} a month no plan was found: a fee falls due before it is saved.",)
    if not plan.is_possible:
        return tuple(_impossible(plan))
    return (
        *_open(plan),
        *_never(plan),
        *_had_again(plan),
        *_limits(plan),
        *exam_warnings(plan),
        *_payments(plan),
        *_rates(plan),
    )


def _open(plan: Plan) -> Iterator[str]:
    for verdict, says in (
        (Verdict.UNKNOWN, "Not known yet: {}. The plan takes it that this turns out well."),
        (Verdict.REFER, "The authority decides on {}. The plan takes it that this goes well."),
    ):
        names = [each.label for each in plan.route.checked if each.verdict is verdict]
        if names:
            yield says.format(together(quoted(names)))


def _never(plan: Plan) -> Iterator[str]:
    labels = {each.id: each.label for each in plan.route.title.milestones}
    told = 0.0
    for name, spread in plan.milestones.items():
        if spread.never - told > _WORTH_A_WORD:
            why = "; ".join((*_ends(plan, name), *_last_sittings(plan)))
            because = f": {why}" if why else ""
            yield f"{labels[name]} is not reached in {share_said(spread.never)}{because}."
            told = spread.never


def _ends(plan: Plan, milestone: str) -> Iterator[str]:
    """Yield what holds on the planned day of a milestone and runs out later."""
    day = plan.milestones[milestone].p50
    proved = {name for step in plan.route.title.steps for name in step.proves}
    for each in plan.route.checked:
        last = None if day is None or each.at != milestone else each.last_day(day)
        if last is not None and each.id not in proved and each.allowed() == each.runs:
            yield f"“{each.label}” holds until {iso(last)} only"


def _last_sittings(plan: Plan) -> Iterator[str]:
    """Yield after which day no sitting is published any more, or that attempts run out."""
    for step in plan.route.network.steps:
        if step.sittings is not None and step.happened is None and step.sittings.dates:
            last = step.sittings.dates[-1].on
            left = step.sittings.attempts
            attempts = "" if left is None else f" and {left} {_attempts(left)} left"
            yield f"sittings are published until {iso(last)} only{attempts}"


def _attempts(n: int) -> str:
    return "attempt is" if n == 1 else "attempts are"


def _had_again(plan: Plan) -> Iterator[str]:
    """Yield what holds on the planned day and may have run out if things take longer."""
    kept = {each.id for each in plan.route.planned}
    proved = {n for step in plan.route.title.steps if step.id in kept for n in step.proves}
    for each in plan.route.checked:
        spread = plan.milestones.get(each.at)
        day = spread.p50 if spread is not None else None
        if spread is None or day is None or each.id in proved or not each.can_be_fetched_anew:
            continue
        last = each.last_day(day)
        if last is not None and last < (spread.p95 or spread.p80 or day):
            label = plan.route.network[plan.route.milestones[each.at]].label
            yield (
                f"“{each.label}” holds until {iso(last)}. If this comes later, have it again in"
                f" time: {lowered(label)}."
            )


def _limits(plan: Plan) -> Iterator[str]:
    for step in plan.route.network.steps:
        for limit in step.within:
            share = plan.broken.get((limit.step, step.id), 0.0)
            if limit.label in _LATE and share > _WORTH_A_WORD:
                yield (
                    f"{step.label} comes later than {limit.period} after"
                    f" {lowered(plan.route.network[limit.step].label)} in {share_said(share)}; then"
                    f" {_LATE[limit.label]}."
                )


def _payments(plan: Plan) -> Iterator[str]:
    anew = {each.id for each in plan.route.checked if each.verdict is Verdict.MET}
    by_id = {step.id: step for step in plan.route.title.steps}
    for each in plan.owed:
        step = by_id.get(each.due.step)
        is_told = each.settled.is_again
        if not is_told and step is not None and step.proves and anew.issuperset(step.proves):
            yield (
                f"{each.due.label} is paid a second time: what is at hand will have run out by"
                " then."
            )
    yield from payment_warnings(plan)


def _rates(plan: Plan) -> Iterator[str]:
    if plan.budget is not None and plan.budget.stale:
        yield (
            f"The exchange rates for {together(plan.budget.stale)} are older than"
            f" {STALE_AFTER_DAYS} days; the sums in {plan.budget.currency} may be off."
        )


# --------------------------------------------------------------------------- plans that cannot be


def _impossible(plan: Plan) -> Iterator[str]:
    reasons = [said for each in plan.conflict if (said := _said(plan, each))]
    if len(reasons) == 1:
        yield f"No plan leads to this licence as things stand: {lowered(reasons[0])}."
    elif reasons:
        yield (
            "No plan leads to this licence as things stand, because these cannot be kept together: "
            f"{'; '.join(lowered(each) for each in reasons)}."
        )
    else:
        yield "No plan leads to this licence as things stand."


def _said(plan: Plan, each: Constraint) -> str:
    """Return a constraint in words; empty for the order of steps, which goes without saying."""
    step = plan.route.network[each.step]
    if each.sort == "limit":
        return _limit_said(plan, each)
    if each.sort == "days":
        return _days_said(plan, each.step)
    if each.sort == "sittings":
        return _sittings_said(plan, each.step)
    says = ""
    if each.sort == "lapse":
        paper = plan.route.network[each.other]
        says = f"What “{paper.label}” gives is good for {paper.lasts}"
    elif each.sort == "blocked":
        says = f"{step.label} on a day that you have not blocked"
    elif each.sort == "happened" and step.happened is not None:
        says = f"{step.label} happened on {iso(step.happened)}"
    return says


def _limit_said(plan: Plan, each: Constraint) -> str:
    step = plan.route.network[each.step]
    limit = next(link for link in step.within if link.step == each.other)
    if limit.label == SAME_DAY:
        return ""
    other = lowered(plan.route.network[each.other].label)
    return f"{step.label} within {limit.period} after {other}"


def _days_said(plan: Plan, milestone: str) -> str:
    """Return which requirements leave a milestone no day, or few."""
    here = [each for each in plan.route.checked if each.at == milestone]
    start = plan.wishes.start
    never = [each.label for each in here if not any(end > start for _s, end in each.allowed())]
    if never:
        verb = "is" if len(never) == 1 else "are"
        return f"Nobody can say when {together(quoted(never))} {verb} met"
    bound = quoted(e.label for e in here if e.allowed() != ((0, FOREVER),))
    label = plan.route.network[milestone].label
    return f"{label} falls on a day on which {together(bound)} hold" if bound else ""


def _sittings_said(plan: Plan, step: str) -> str:
    sittings = plan.route.network[step].sittings
    if sittings is not None and sittings.attempts is not None and sittings.attempts <= 0:
        return f"{label_of(plan, step)}: no attempt is left"
    if sittings is not None and not sittings.dates and _passes_over(plan):
        return f"{label_of(plan, step)}: no sitting is left beside those you pass over"
    if sittings is None or not sittings.dates:
        return f"{label_of(plan, step)}: no sitting is published that one can still enter for"
    last = sittings.dates[-1]
    return (
        f"{label_of(plan, step)}: the last sitting published is on {iso(last.on)}, with entry until"
        f" {iso(last.closes)}"
    )


def _passes_over(plan: Plan) -> bool:
    taken = plan.taken
    return bool(taken.blocked or taken.skipped or taken.sittings_from is not None)
