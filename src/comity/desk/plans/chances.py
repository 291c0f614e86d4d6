"""The chance of passing with which a plan reckons, where somebody's practice is enough for one."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from django.db.models import Sum

from comity.desk import clock
from comity.desk.mock_exams.examinations import examinations
from comity.desk.mock_exams.practice_log import fit_now, practice_key, practice_log
from comity.desk.mock_exams.readiness import DAYS_AHEAD, USUAL_ITEMS
from comity.desk.mock_exams.real_results import real_results
from comity.store.converters import applicant_of
from comity.store.models import Case

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.days.calendar import Day
    from comity.core.exam.exam_chance import Exam
    from comity.core.exam.forecasts import Outcome
    from comity.core.facts.model import Applicant
    from comity.desk.mock_exams.examinations import Named
    from comity.service.plan_titles import OpenTitle

Key = tuple[int | None, ...]


def practised_key(case: Case) -> Key:
    """Return what changes when practice may tell something else; nothing for who never began."""
    return _state() if case.sittings.exclude(began_at=None).exists() else ()


def _state() -> Key:
    begun = Case.objects.filter(sittings__began_at__isnull=False).values("pk")
    versions = Case.objects.filter(pk__in=begun).aggregate(n=Sum("version"))
    return (*practice_key(), versions["n"])


def practised_chances(case: Case, title: OpenTitle) -> dict[str, float]:
    """Return the chance of passing each examination of a title, by its id, where it can be told.

    It is that of the sitting that is booked, else of the next one for which one can enter, after as
    many hours of study a week as the applicant's file states.
    """
    if not practised_key(case):
        return {}
    return dict(_chances(case, f"{title.key}/"))


def _chances(case: Case, beginning: str) -> Iterator[tuple[str, float]]:
    # It loads scipy.stats, which the desk starts without.
    from comity.core.exam.exam_chance import Exam  # noqa: PLC0415
    from comity.service.mock_readiness import chance_on  # noqa: PLC0415

    applicant, today = applicant_of(case), clock.today_at()
    minutes = applicant.preferences.hours_a_week
    for named in examinations():
        share = named.examination.to_pass
        if not named.key.startswith(beginning) or share is None:
            continue
        exam = Exam(named.examination.questions or USUAL_ITEMS, float(share))
        examination = named.examination.id
        chance = chance_on(
            fit_now(),
            str(case.pk),
            _day(applicant, named, today),
            exam=exam,
            hours_a_week=0.0 if minutes is None else minutes / 60,
            outcomes=_outcomes(_state(), today=today, examination=examination, exam=exam),
        )
        if chance is not None:
            yield examination, chance


def _day(applicant: Applicant, named: Named, today: Day) -> Day:
    """Return the day of the next sitting; some weeks from now where none is known."""
    from comity.service.mock_booking import bookable  # noqa: PLC0415 - it loads scipy

    booked = [
        each.taken.latest
        for each in applicant.results.examinations or ()
        if each.examination == named.examination.id and each.outcome == "booked"
        if each.taken is not None and each.taken.latest >= today
    ]
    if booked:
        return min(booked)
    found = bookable(named.title, named.examination, applicant, today=today)
    return today + DAYS_AHEAD if found is None else found.sittings[0].on


@lru_cache(maxsize=16)
def _outcomes(key: Key, *, today: Day, examination: str, exam: Exam) -> tuple[Outcome, ...]:
    from comity.service.mock_readiness import outcomes_by  # noqa: PLC0415 - as above

    del key  # by which another state of answers and results is told
    answers, items = practice_log()
    return outcomes_by(real_results(examination), answers, items, today=today, exam=exam)
