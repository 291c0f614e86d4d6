"""The brief of one applicant: assessed, and made into a PDF."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from comity.brief.document import brief_pdf
from comity.brief.wording import nearest_wording
from comity.core.eligibility.missing import named
from comity.service.assessing import Asked, Inputs, TodayAt, assess_all, titles_asked

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from comity.brief.planned import PlanPage
    from comity.brief.readying import ReadyPage
    from comity.core.eligibility.assessment import Assessment
    from comity.core.rulebook.model import Rulebook
    from comity.service.planning import Plan

FICTIONAL: Final = "Invented for demonstration: no such authority, rule or person exists."


def brief_of(  # noqa: PLR0913 - a brief has many parts, each left out at will
    inputs: Inputs,
    asked: Asked,
    *,
    today_at: TodayAt,
    contact: str = "",
    on_title: Callable[[str], object] = lambda _name: None,
    plans: Sequence[Plan] = (),
    ready: ReadyPage | None = None,
) -> tuple[bytes, tuple[Assessment, ...]]:
    """Return the PDF of the first applicant, and the assessments it was made from.

    Parameters
    ----------
    inputs : Inputs
        Sound files of one applicant and of rulebooks.
    asked : Asked
        What is asked of them.
    today_at : callable
        Gives the day it is at an authority's seat.
    contact : str
        Whom the applicant may write to.
    on_title : callable
        Told the name of each title as it is assessed.
    plans : sequence of Plan
        Of all titles asked for, in their order; none for a brief without plans.
    ready : ReadyPage, optional
        Where the office tells applicants how ready they are.
    """
    pairs = titles_asked(inputs.rulebooks, asked.title)
    assessments = tuple(_one_by_one(inputs, asked, pairs, today_at=today_at, on_title=on_title))
    applicant = inputs.applicants[0].applicant
    language = (applicant and applicant.preferences.language) or "en"
    pdf = brief_pdf(
        assessments,
        applicant_name=assessments[0].applicant_name,
        language=language,
        plans=_pages(plans, language),
        ready=ready,
        contact=contact,
        notice=FICTIONAL if _is_fictional(pairs) else "",
        facts_said=lambda paths: named(paths, applicant) if applicant else tuple(paths),
    )
    return pdf, assessments


def _pages(plans: Sequence[Plan], language: str) -> tuple[PlanPage | None, ...]:
    """Return the pages of plans, in the words that the brief has for a language."""
    if not plans:
        return ()
    from comity.service.brief_plans import plan_page  # noqa: PLC0415 - planning loads slowly

    wording = nearest_wording(language)
    return tuple(plan_page(each, wording=wording) for each in plans)


def _one_by_one(
    inputs: Inputs,
    asked: Asked,
    pairs: Sequence[tuple[Rulebook, str]],
    *,
    today_at: TodayAt,
    on_title: Callable[[str], object],
) -> Iterator[Assessment]:
    for rulebook, title in pairs:
        name = f"{rulebook.authority.id}/{title}"
        on_title(name)
        yield from assess_all(inputs, replace(asked, title=name), today_at=today_at)


def _is_fictional(pairs: Sequence[tuple[Rulebook, str]]) -> bool:
    return any(edition.fictional for rulebook, _title in pairs for edition in rulebook.editions)
