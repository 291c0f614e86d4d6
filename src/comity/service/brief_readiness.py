"""Readiness as the brief tells it to an applicant: in words, and only when it rests on enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

from comity.brief.planned import PlanRow
from comity.brief.readying import ReadyPage
from comity.brief.wording import nearest_wording
from comity.core.exam.readiness_words import words_for_applicant
from comity.service.exam_readiness import short_name

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.brief.wording import Wording
    from comity.service.exam_readiness import Prepared


def ready_page(prepared: Prepared, *, language: str = "en") -> ReadyPage | None:
    """Return the page on readiness; None while it would rest on too little.

    Whether applicants are told at all is for their office to decide, before this is called.
    """
    told = words_for_applicant(prepared.now)
    if told is None:
        return None
    wording = nearest_wording(language)
    return ReadyPage(
        about=wording.ready.about.format(day=wording.day(prepared.wanted.exam)),
        sentence=told.sentence,
        advice=told.advice,
        caution=told.caution,
        weeks=tuple(_weeks(prepared, wording)),
    )


def _weeks(prepared: Prepared, wording: Wording) -> Iterator[PlanRow]:
    names = {each.id: short_name(each.name) for each in prepared.blueprint.domains}
    words = wording.ready
    for week in () if prepared.plan is None else prepared.plan.weeks:
        parts = ", ".join(
            words.part.format(domain=names[id_], hours=f"{minutes / 60:g}")
            for id_, minutes in week.domains
        )
        yield PlanRow(
            wording.day(week.starts), words.hours.format(hours=f"{week.minutes / 60:g}"), parts
        )
