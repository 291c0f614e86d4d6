"""What a brief has beside its answers: the plans of its titles, and how ready its applicant is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.brief.wording import nearest_wording
from comity.desk import clock
from comity.desk.context import office
from comity.desk.mock_exams.examinations import examinations
from comity.desk.mock_exams.practice_log import practice_log
from comity.desk.mock_exams.readiness import DAYS_AHEAD, HOURS, USUAL_ITEMS
from comity.desk.mock_exams.real_results import real_results
from comity.desk.plans.made import CannotPlan, plan_of, titles_of
from comity.service.brief_plans import plan_page

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.brief.planned import PlanPage
    from comity.brief.readying import ReadyPage
    from comity.brief.wording import Wording
    from comity.core.days.calendar import Day
    from comity.core.eligibility.assessment import Assessment
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Examination
    from comity.desk.mock_exams.examinations import Named
    from comity.service.plan_titles import OpenTitle
    from comity.store.models import Case


def plan_pages(
    case: Case, answers: Sequence[Assessment], *, language: str
) -> tuple[PlanPage | None, ...]:
    """Return the pages of the plans that the plan's own page shows, None where there is none."""
    titles = {each.key: each for each in titles_of(case)}
    wording = nearest_wording(language)
    return tuple(
        _plan_page(case, titles.get(f"{each.authority}/{each.title}"), wording) for each in answers
    )


def _plan_page(case: Case, title: OpenTitle | None, wording: Wording) -> PlanPage | None:
    made = None if title is None else plan_of(case, title)
    return (
        None if made is None or isinstance(made, CannotPlan) else plan_page(made, wording=wording)
    )


def readiness_page(
    case: Case, applicant: Applicant, answers: Sequence[Assessment], *, language: str
) -> ReadyPage | None:
    """Return the page on readiness for the first examination that is still ahead.

    None where the office does not tell applicants, where no title has an examination ahead, and
    where it would rest on too little.
    """
    ahead = _ahead(applicant, answers) if office().shows_readiness else None
    answered, items = ((), ()) if ahead is None else practice_log()
    if ahead is None or not any(each.person == str(case.pk) for each in answered):
        return None
    # It loads scipy.stats, which the desk starts without.
    from comity.service.brief_readiness import practised_page  # noqa: PLC0415
    from comity.service.mock_readiness import Asked, readiness_of  # noqa: PLC0415

    today = clock.today_at()
    booked = _booked(applicant, ahead.examination.id, today=today)
    on = _next_day(ahead.examination, today=today) if booked is None else booked
    minutes, share = applicant.preferences.hours_a_week, ahead.examination.to_pass
    asked = Asked(
        person=str(case.pk),
        today=today,
        on=on,
        n_items=ahead.examination.questions or USUAL_ITEMS,
        cut=None if share is None else float(share),
        hours_a_week=HOURS if minutes is None else minutes / 60,
        results=real_results(ahead.examination.id),
    )
    ready = readiness_of(asked, answered, items)
    return practised_page(ready, on=on, is_booked=booked is not None, language=language)


def _ahead(applicant: Applicant, answers: Sequence[Assessment]) -> Named | None:
    """Return the first examination of the titles, in their order, that is not passed."""
    results = applicant.results.examinations or ()
    passed = {each.examination for each in results if each.outcome == "passed"}
    named = [each for each in examinations() if each.examination.id not in passed]
    for answer in answers:
        start = f"{answer.authority}/{answer.title}/"
        found = next((each for each in named if each.key.startswith(start)), None)
        if found is not None:
            return found
    return None


def _booked(applicant: Applicant, examination: str, *, today: Day) -> Day | None:
    """Return the first day from today on for which a sitting is booked."""
    return min(
        (
            each.taken.earliest
            for each in applicant.results.examinations or ()
            if each.examination == examination and each.outcome == "booked"
            if each.taken is not None and each.taken.is_exact and each.taken.earliest >= today
        ),
        default=None,
    )


def _next_day(examination: Examination, *, today: Day) -> Day:
    """Return the first published sitting that can still be entered, else the readiness page's."""
    open_days = (each.on for each in examination.sittings if (each.closes or each.on) >= today)
    return min(open_days, default=today + DAYS_AHEAD)
