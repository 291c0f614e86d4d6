"""What the parts of a plan's page show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final
from urllib.parse import urlencode

from django.http import Http404
from django.urls import reverse

from comity.core.days.calendar import date_from_day
from comity.desk import clock
from comity.desk.access import member_of
from comity.desk.cases.shown import asked_title
from comity.desk.plans.forms import DoneForm, TrialForm
from comity.desk.plans.made import CannotPlan, plan_of, titles_of
from comity.service.licences import licences_of
from comity.service.plan_drawing import page_schedule_of
from comity.service.plan_fees import fees_of, months_of
from comity.service.plan_payments import payments_shown
from comity.service.plan_shown import (
    done_of,
    full_name,
    lapsing_of,
    milestones_of,
    orders_of,
    speeding_of,
    steps_of,
    to_do,
)
from comity.service.plan_trials import sittings_ahead
from comity.service.planning_after import after_failure, licence_said
from comity.service.planning_money import before_paying
from comity.service.planning_next import plan_cautions
from comity.service.planning_words import warnings
from comity.store.converters import applicant_of
from comity.store.feeds import open_feeds
from comity.store.rulebooks import rulebooks_in_force

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from django.http import HttpRequest

    from comity.core.facts.model import ExaminationResult
    from comity.service.licences import Licence
    from comity.service.plan_titles import OpenTitle
    from comity.service.planning import Plan
    from comity.store.models import Case

_CHANCES: Final = ("of 100 cases", " futures", "beta-PERT")


@dataclass(frozen=True, slots=True)
class Attempt:
    """An attempt at an examination, with its number among those that were sat."""

    result: ExaminationResult
    number: int | None
    name: str


def chosen(request: HttpRequest, titles: Sequence[OpenTitle]) -> OpenTitle | None:
    """Return the title that is asked for, else the first; None where none can be opened.

    Raises
    ------
    Http404
        When the one asked for is none of them.
    """
    asked = asked_title(request)
    if not asked:
        return titles[0] if titles else None
    found = next((each for each in titles if each.key == asked), None)
    if found is None:
        raise Http404
    return found


def chosen_plan(request: HttpRequest, case: Case) -> Plan:
    """Return the plan for the title that is asked for.

    Raises
    ------
    Http404
        When no title can be opened, or its plan cannot be worked out.
    """
    title = chosen(request, titles_of(case))
    made = None if title is None else plan_of(case, title)
    if made is None or isinstance(made, CannotPlan):
        raise Http404
    return made


def plan_context(request: HttpRequest, case: Case) -> dict[str, Any]:
    """Return what the whole part of a plan shows, worked out now."""
    titles = titles_of(case)
    title = chosen(request, titles)
    licences = held(case, title)
    bare: dict[str, Any] = {
        "case": case,
        "titles": titles,
        "title": title,
        "licences": licences,
        "today": clock.today_at(),
        "has_rules": bool(rulebooks_in_force()),
        "plan": None,
        "problem": "",
        "feeds": open_feeds(case=case),
    }
    if title is None:
        return bare
    made = plan_of(case, title)
    if isinstance(made, CannotPlan):
        return {**bare, "problem": made.sentence}
    is_member = member_of(request).is_member
    return {**bare, **_of_plan(made, is_plain=not is_member), **_forms(made)}


def _of_plan(plan: Plan, *, is_plain: bool) -> dict[str, Any]:
    return {
        "plan": plan,
        "schedule": page_schedule_of(plan, is_plain=is_plain) if plan.is_possible else None,
        "steps": steps_of(plan),
        "milestones": milestones_of(plan),
        "open_milestones": [
            {"label": each.label, "name": each.name, "full": full_name(plan, each.name)}
            for each in milestones_of(plan)
            if each.happened is None
        ],
        "orders": orders_of(plan),
        "fees": fees_of(plan),
        "months": months_of(plan),
        "budget": plan.budget,
        "to_do": to_do(plan),
        "done": done_of(plan),
        "speeding": speeding_of(plan),
        "failure": after_failure(plan) if plan.is_possible else (),
        "lapsing": lapsing_of(plan),
        "warnings": _plain(warnings(plan)) if is_plain else warnings(plan),
        "cautions": _plain(plan_cautions(plan)) if is_plain else plan_cautions(plan),
        "after": licence_said(plan),
        "attempts": attempts_of(plan),
        "payments": payments_shown(plan, today=plan.wishes.start),
        "decisions": before_paying(plan) if plan.is_possible else (),
        "has_examinations": bool(plan.route.title.examinations),
        "waits_for_dates": is_plain and _waits_for_dates(plan),
    }


def _plain(sentences: Sequence[str]) -> tuple[str, ...]:
    """Return the sentences that speak of no chances: those are the adviser's."""
    return tuple(each for each in sentences if not any(word in each for word in _CHANCES))


def _waits_for_dates(plan: Plan) -> bool:
    """Tell whether the end hangs on sittings that nobody has published yet."""
    return any(spread.never > 0 for spread in plan.milestones.values()) and any(
        step.sittings is not None for step in plan.route.network.steps
    )


def _forms(plan: Plan) -> dict[str, Any]:
    today = plan.wishes.start
    return {
        "trial_form": trial_form(plan),
        "done_form": DoneForm(today=today),
        "today_iso": date_from_day(today).isoformat(),
    }


def trial_form(plan: Plan, data: Any = None) -> TrialForm:  # noqa: ANN401 - a request's fields
    """Return the form for trials of a plan."""
    return TrialForm(
        data,
        sittings=sittings_ahead(plan),
        currency=plan.budget.currency if plan.budget else "",
        today=clock.today_at(),
        auto_id="try-%s",
    )


def attempts_of(plan: Plan) -> tuple[Attempt, ...]:
    """Return the attempts at the title's examinations, oldest first, those sat numbered."""
    names = {each.id: each.name for each in plan.route.title.examinations}
    mine = [e for e in plan.applicant.results.examinations or () if e.examination in names]
    mine.sort(key=lambda each: each.taken.latest if each.taken else 0)
    return tuple(_numbered(mine, names))


def _numbered(results: Sequence[ExaminationResult], names: dict[str, str]) -> Iterator[Attempt]:
    sat: dict[str, int] = {}
    for each in results:
        number = None
        if each.outcome != "booked":
            number = sat[each.examination] = sat.get(each.examination, 0) + 1
        yield Attempt(each, number, names[each.examination])


def held(case: Case, title: OpenTitle | None) -> tuple[Licence, ...]:
    """Return the licences that are held, that of the title shown first."""
    found = licences_of(applicant_of(case), rulebooks_in_force(), today=clock.today_at())
    if title is None:
        return found
    same = (title.rulebook.authority.id, title.title)
    return tuple(sorted(found, key=lambda each: (each.authority, each.title) != same))


def address_of(case: Case, plan: Plan) -> str:
    """Return the address of the page on a plan."""
    asked = urlencode({"title": f"{plan.rulebook.authority.id}/{plan.title_id}"})
    return f"{reverse('desk-case-plan', args=[case.pk])}?{asked}"
