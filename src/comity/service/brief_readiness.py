"""Readiness as the brief tells it to an applicant: in words, and only when it rests on enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.brief.planned import PlanRow
from comity.brief.readying import ReadyPage
from comity.brief.wording import nearest_wording
from comity.core.exam.readiness_words import words_for_applicant
from comity.service.exam_readiness import short_name
from comity.service.mock_forms import outline

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.brief.wording import Wording
    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.readiness_words import Words
    from comity.core.exam.study import StudyPlan
    from comity.service.exam_readiness import Prepared
    from comity.service.mock_readiness import Ready


def ready_page(prepared: Prepared, *, language: str = "en") -> ReadyPage | None:
    """Return the page on readiness; None while it would rest on too little.

    Whether applicants are told at all is for their office to decide, before this is called.
    """
    told = words_for_applicant(prepared.now)
    if told is None:
        return None
    wording = nearest_wording(language)
    about = wording.ready.about.format(day=wording.day(prepared.wanted.exam))
    weeks = tuple(_weeks(prepared.plan, prepared.blueprint, wording))
    return _page(told, about=about, weeks=weeks)


def practised_page(
    ready: Ready, *, on: Day, is_booked: bool, language: str = "en"
) -> ReadyPage | None:
    """Return the page on readiness by mock examinations; None while it rests on too little.

    Parameters
    ----------
    ready : Ready
        Whose words are of somebody who studies as the weeks say.
    on : Day
        Day of the examination.
    is_booked : bool
        Whether it is booked for that day, or only asked about.
    language : str
        What the reader reads best.
    """
    if ready.words is None:
        return None
    wording = nearest_wording(language)
    form = wording.ready.about if is_booked else wording.ready.about_if
    weeks = tuple(_weeks(ready.plan, outline(), wording))
    return _page(ready.words, about=form.format(day=wording.day(on)), weeks=weeks)


def _page(told: Words, *, about: str, weeks: tuple[PlanRow, ...]) -> ReadyPage:
    return ReadyPage(
        about=about,
        sentence=told.sentence,
        advice=told.advice,
        caution=told.caution,
        weeks=weeks,
    )


def _weeks(plan: StudyPlan | None, blueprint: Blueprint, wording: Wording) -> Iterator[PlanRow]:
    names = {each.id: short_name(each.name) for each in blueprint.domains}
    words = wording.ready
    for week in () if plan is None else plan.weeks:
        parts = ", ".join(
            words.part.format(domain=names[id_], hours=f"{minutes / 60:g}")
            for id_, minutes in week.domains
        )
        yield PlanRow(
            wording.day(week.starts), words.hours.format(hours=f"{week.minutes / 60:g}"), parts
        )
