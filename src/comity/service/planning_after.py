"""What comes after a failed examination and after the licence, in sentences."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, iso
from comity.core.eligibility.assessment import Verdict
from comity.core.plan.after_licence import AfterLicence, after_licence
from comity.core.plan.laying_out import attempts_rule
from comity.core.rulebook.phrases import together, unstopped
from comity.core.rulebook.prose import sentence

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.eligibility.assessment import RequirementResult
    from comity.core.plan.laying_out import Planned
    from comity.core.rulebook.kinds.testing import ExaminationPassed
    from comity.service.planning import Plan

_A_MONTH = 365.2425 / 12


@dataclass(frozen=True, slots=True)
class Reminder:
    """A day after the licence, by which something is to be done."""

    key: str
    on: Day
    label: str


# -------------------------------------------------------------------------- after a failed attempt


def after_failure(plan: Plan) -> tuple[str, ...]:
    """Return what is left after a failed examination: attempts, next sitting, cost."""
    return tuple(
        said
        for each in plan.route.planned
        if each.examination and (said := _after_failure(plan, each))
    )


def _after_failure(plan: Plan, each: Planned) -> str:
    sittings = plan.route.network[each.id].sittings
    failed = [
        result
        for result in plan.applicant.results.examinations or ()
        if result.examination == each.examination and result.outcome == "failed"
    ]
    if not failed or sittings is None:
        return ""
    left = sittings.attempts
    if left is not None and left <= 0:
        return (
            "That was the last attempt the rules allow for now. Talk to your adviser: another"
            " title, another authority or a request to the authority may still be a way."
        )
    start = plan.times[each.id].start.p50 if each.id in plan.times else None
    first = next((s for s in sittings.dates if start is not None and s.closes >= start), None)
    attempts = (
        "" if left is None else f" {left} {'attempt is' if left == 1 else 'attempts are'} left."
    )
    sitting = (
        ""
        if first is None
        else f" The next sitting you can be ready for is on {iso(first.on)};"
        f" enter by {iso(first.closes)}."
    )
    return f"A failed attempt is not the end.{attempts}{sitting}{_cost_again(plan, each)}"


def _cost_again(plan: Plan, each: Planned) -> str:
    fees = [o.due for o in plan.owed if o.due.step == each.id and o.due.paid_for == "attempt"]
    costs = " and ".join(str(due.least) for due in fees)
    return f" Another attempt costs {costs}." if costs else ""


def exam_warnings(plan: Plan) -> Iterator[str]:
    """Yield what an examination asks that the plan counts no time for."""
    for each in plan.route.planned:
        rule = attempts_rule(plan.route.title, each.examination) if each.examination else None
        if rule is None:
            continue
        if rule.remedial_after is not None and rule.remedial is not None:
            yield _remedial_said(plan, each, rule)
        if rule.stages and not rule.stages_in_order:
            names = together(stage.id for stage in rule.stages)
            yield f"{each.label}: its stages ({names}) are planned for one sitting."
        elif rule.stages:
            names = together(stage.id for stage in rule.stages)
            yield (
                f"{each.label}: its stages ({names}) have to be passed one after the other, and the"
                " plan counts one sitting for all of them. Allow a sitting for each."
            )


def _remedial_said(plan: Plan, each: Planned, rule: ExaminationPassed) -> str:
    failed = sum(
        result.examination == each.examination and result.outcome == "failed"
        for result in plan.applicant.results.examinations or ()
    )
    work = sentence(rule.remedial) if rule.remedial is not None else ""
    n = rule.remedial_after or 0
    times = "one failed attempt" if n == 1 else f"{n} failed attempts"
    now = "It is due now" if failed >= n else "It is not due yet"
    return (
        f"{each.label}: after {times} further work is asked before the next one: {unstopped(work)}."
        f" {now}, and the plan counts no time for it."
    )


# ------------------------------------------------------------------------------- after the licence


def licence_of(plan: Plan) -> AfterLicence | None:
    """Return what comes after the licence of a plan, on its days in the middle of all futures."""
    title = plan.route.title
    grant = title.grants
    if not plan.is_possible or (grant is None and title.renewal is None):
        return None
    after = grant.after if grant and grant.after in plan.milestones else None
    last = after or next(reversed(tuple(plan.milestones)), None)
    granted = plan.milestones[last].p50 if last is not None else None
    if granted is None:
        return None
    decision = plan.milestones.get("decision")
    return after_licence(
        plan.applicant,
        plan.rulebook,
        title,
        decided=decision.p50 if decision else None,
        granted=granted,
        today=plan.wishes.start,
    )


def licence_said(plan: Plan) -> tuple[str, ...]:
    """Return what comes after the licence, a sentence each; nothing where nothing is known."""
    found = licence_of(plan)
    return () if found is None else tuple(_licence(plan, found))


def _licence(plan: Plan, found: AfterLicence) -> Iterator[str]:
    grant = plan.route.title.grants
    what = grant.instrument if grant else "licence"
    if found.claim_by is not None:
        yield f"Take the {what} up by {iso(found.claim_by)}, or it is lost."
    if found.ends is None:
        return
    yield f"If it comes on {iso(found.granted)}, the {what} lasts until {iso(found.ends)}."
    if found.opens is not None:
        late = (
            f"; it can still be asked for until {iso(found.grace_until)}"
            if (found.grace_until is not None)
            else ""
        )
        yield f"Renewal can be asked for from {iso(found.opens)} on{late}."
    for result in found.asked:
        yield _asked_said(result, today=plan.wishes.start, ends=found.ends)


def _asked_said(result: RequirementResult, *, today: Day, ends: Day) -> str:
    if result.verdict in {Verdict.MET, Verdict.NOT_APPLICABLE}:
        return f"For renewal, “{result.label}” is met as things stand."
    if result.unit in {"units", "credits", "points"} and result.needed and result.shortfall:
        have = max(result.needed - result.shortfall, 0)
        months = max((ends - today) / _A_MONTH, 1)
        return (
            f"For renewal, “{result.label}”: {have:g} of {result.needed:g} {result.unit} count by"
            f" then; {result.shortfall:g} to go, about {result.shortfall / months:.1f} a month."
        )
    asked = result.says[:1].lower() + result.says[1:]
    return f"For renewal, “{result.label}” is asked: {asked}."


def reminders(plan: Plan) -> tuple[Reminder, ...]:
    """Return the days after the licence on which one is to be reminded."""
    found = licence_of(plan)
    if found is None:
        return ()
    grant = plan.route.title.grants
    what = grant.instrument if grant else "licence"
    days = (
        ("claim", found.claim_by, f"Last day to take up the {what}"),
        ("renewal-opens", found.opens, f"Renewal of the {what} can be asked for"),
        ("ends", found.ends, f"Last day of the {what}"),
        ("grace", found.grace_until, f"Last day on which renewal of the {what} can be asked for"),
    )
    return tuple(Reminder(key, on, label) for key, on, label in days if on is not None)
