"""Am I ready: for advisers in figures, for applicants in words where their office allows it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from django import forms
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from comity.core.days.calendar import date_from_day, day_from_date
from comity.core.declaring.iso import CURRENCY_DECIMALS
from comity.desk import clock
from comity.desk.access import get_case, member_of, signed_in
from comity.desk.cases.shown import frame
from comity.desk.context import office
from comity.desk.mock_exams.examinations import examination_of, examinations
from comity.desk.mock_exams.practice_log import practice_log
from comity.desk.mock_exams.real_results import real_results
from comity.service.mock_forms import domain_name, outline
from comity.store import sittings as store
from comity.store.converters import applicant_of

if TYPE_CHECKING:
    from uuid import UUID

    from django.http import HttpRequest, HttpResponse
    from django.utils.functional import _StrPromise

    from comity.core.days.calendar import Day
    from comity.core.exam.booking import Booking
    from comity.service.mock_booking import Bookable
    from comity.service.mock_readiness import Ready
    from comity.store.models import Case, Sitting

DAYS_AHEAD: Final = 60
USUAL_ITEMS: Final = 100
HOURS: Final = 5


def _examinations() -> list[tuple[str, str | _StrPromise]]:
    return [("", _("the shipped outline")), *((each.key, each.label) for each in examinations())]


class AskForm(forms.Form):
    """For which examination, on which day, with how many hours of study a week."""

    examination = forms.ChoiceField(label=_("Examination"), choices=_examinations, required=False)
    on = forms.DateField(label=_("On"), widget=forms.DateInput(attrs={"type": "date"}))
    hours = forms.FloatField(label=_("Hours of study a week"), min_value=0, max_value=80)
    day_costs = forms.DecimalField(
        label=_("What a day later costs"),
        help_text=_("Lost earnings, say, in the currency of the fee: for booking now or waiting."),
        min_value=0,
        max_value=1_000_000,
        required=False,
    )

    def __init__(self, *args: Any, is_member: bool) -> None:  # noqa: ANN401 - as Django takes them
        super().__init__(*args)
        if not is_member:
            del self.fields["day_costs"]


@signed_in
@require_safe
def readiness(request: HttpRequest, case_id: UUID) -> HttpResponse:
    """Show how ready somebody is, and a plan for the weeks that are left."""
    case = get_case(request, case_id)
    today = clock.today_at()
    is_member = member_of(request).is_member
    first = {"on": date_from_day(today + DAYS_AHEAD), "hours": HOURS, "examination": _first()}
    form = AskForm(request.GET if "on" in request.GET else first, is_member=is_member)
    context: dict[str, Any] = {
        **frame(case, here="readiness"),
        "charts": False,
        "form": form,
        "sittings": _listed(case),
        "may_be_told": is_member or office().shows_readiness,
    }
    if context["may_be_told"] and form.is_valid():
        on = day_from_date(form.cleaned_data["on"])
        if on < today:
            form.add_error("on", _("This day is over; choose one from today on."))
        else:
            data = form.cleaned_data
            found = _bookable(case, data, today=today) if is_member else None
            ready = _asked(case, data, today=today, on=on, found=found)
            context |= _told(ready, is_member=is_member)
            if found is not None and ready.booking is not None:
                context |= _weighed(ready.booking, found)
    status = 422 if form.errors else 200
    return render(request, "mock_exams/readiness.html", context, status=status)


def _first() -> str:
    return next((each.key for each in examinations()), "")


def _listed(case: Case) -> list[tuple[Sitting, object]]:
    rows = case.sittings.select_related("form", "case").order_by("-given_at", "-pk")
    now = clock.instant()
    return [(each, store.timing_of(each).standing(now)) for each in rows]


def _bookable(case: Case, data: dict[str, Any], *, today: Day) -> Bookable | None:
    from comity.service.mock_booking import bookable  # noqa: PLC0415 - it loads scipy

    named = examination_of(data["examination"])
    if named is None or case.closed_at is not None:
        return None
    found = bookable(named.title, named.examination, applicant_of(case), today=today)
    if found is None or not data["day_costs"]:
        return found
    decimals = CURRENCY_DECIMALS.get(found.currency, 2)
    minor = int(data["day_costs"].scaleb(decimals))
    return replace(found, rules=replace(found.rules, day_minor=minor))


def _weighed(booking: Booking, found: Bookable) -> dict[str, Any]:
    from comity.service.mock_booking import choice_of  # noqa: PLC0415 - it loads scipy

    # By fees alone waiting looks cheaper than it is, so without a cost of days nothing is advised.
    advice = booking.advice if found.rules.day_minor else ""
    return {"choice": choice_of(booking, found), "advice": advice}


def _asked(
    case: Case, data: dict[str, Any], *, today: Day, on: Day, found: Bookable | None
) -> Ready:
    from comity.service.mock_readiness import (  # noqa: PLC0415 - it loads scipy.stats
        Asked,
        readiness_of,
    )

    named = examination_of(data["examination"])
    examination = None if named is None else named.examination
    share = outline().pass_mark if examination is None else examination.to_pass
    n_items = None if examination is None else examination.questions
    asked = Asked(
        person=str(case.pk),
        today=today,
        on=on,
        n_items=n_items or USUAL_ITEMS,
        cut=None if share is None else float(share),
        hours_a_week=data["hours"],
        results=() if examination is None else real_results(examination.id),
        sittings=() if found is None else tuple(each.on for each in found.sittings),
        rules=None if found is None else found.rules,
    )
    answers, items = practice_log()
    return readiness_of(asked, answers, items)


def _told(ready: Ready, *, is_member: bool) -> dict[str, Any]:
    weeks = [
        (week.starts, week.minutes, [(domain_name(d), m) for d, m in week.domains])
        for week in ready.plan.weeks
    ]
    told: dict[str, Any] = {"words": ready.words, "weeks": weeks}
    # An applicant's page is given no figure that it might show by mistake.
    return {**told, "ready": ready} if is_member else told
