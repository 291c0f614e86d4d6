"""The brief: what an applicant takes home, as a tagged PDF."""

from __future__ import annotations

from dataclasses import asdict, replace
from typing import TYPE_CHECKING, Any, Final

from comity.brief.details import details
from comity.brief.drawing import drawn
from comity.brief.plain import paths_in_words, plain_page
from comity.brief.typeface import cleaned, has_unshowable, showable
from comity.brief.typesetting import typeset
from comity.brief.wording import WORDINGS, Direction, Wording, direction_of, nearest_wording
from comity.charts.labels import wrapped
from comity.charts.span import sensible_span
from comity.charts.strip import strip_parts

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from comity.brief.planned import PlanPage
    from comity.brief.readying import ReadyPage
    from comity.core.eligibility.assessment import Assessment

LANGUAGES: Final = tuple(WORDINGS)
STRIP_HEIGHT: Final = 745.0
RUNNING_WIDTH: Final = 360.0
RUNNING_SIZE: Final = 7.5


def brief_pdf(  # noqa: PLR0913 - a brief has many parts, each left out at will
    assessments: Sequence[Assessment],
    *,
    applicant_name: str,
    language: str = "en",
    contact: str = "",
    notice: str = "",
    facts_said: Callable[[Sequence[str]], tuple[str, ...]] | None = None,
    plans: Sequence[PlanPage | None] = (),
    ready: ReadyPage | None = None,
) -> bytes:
    """Return the brief of one applicant.

    With several assessments an overview comes first; each has a page for the applicant and the
    details for the adviser. The same input gives the same bytes.

    Parameters
    ----------
    assessments : sequence of Assessment
        At least one, all of the same applicant, in the order wanted.
    applicant_name : str
        As it shall stand on the brief, in any script.
    language : str
        What the reader reads best, by its tag (BCP 47). The words are English where it is none of
        `LANGUAGES`; where it goes another way than they do, the pages are laid out its way all
        the same, and the words are marked as English.
    contact : str
        A person to write to; the applicant's adviser and the authority when empty.
    notice : str
        A sentence for the foot of every page, for instance that all is fictional.
    facts_said : callable
        From the paths of missing facts to what people call them; the paths themselves if left out.
    plans : sequence of PlanPage or None
        One an assessment, in their order, None where a title has no plan; empty for a brief without
        plans.
    ready : ReadyPage, optional
        Where the office tells applicants how ready they are; it stands after the first title.

    Raises
    ------
    ValueError
        Without assessments.
    """
    if not assessments:
        message = "a brief needs at least one assessment, got none"
        raise ValueError(message)
    wording = nearest_wording(language)
    name = applicant_name.strip() or assessments[0].applicant
    chapters = [
        _chapter(item, wording=wording, contact=contact, said=facts_said) for item in assessments
    ]
    for chapter, plan in zip(chapters, plans, strict=False):
        if plan is not None:
            chapter["plan"] = {**cleaned(asdict(plan)), "svg": plan.svg}
    if ready is not None:
        chapters[0]["ready"] = cleaned(asdict(ready))
    data = {
        **_frame(assessments, name=name, wording=wording, reader=language),
        "notice": showable(notice),
        "chapters": chapters,
        "replaced": wording.replaced if has_unshowable([cleaned(name), chapters]) else "",
    }
    return typeset("brief.typ", data=data, on=assessments[0].on)


def _frame(
    assessments: Sequence[Assessment],
    *,
    name: str,
    wording: Wording,
    reader: str,
) -> dict[str, Any]:
    """Return what stands around the chapters."""
    first = assessments[0]
    subject = wording.plain.overview if len(assessments) > 1 else first.title_name or first.title
    for_whom = wording.plain.for_whom.format(name=name)
    language, direction = _page(reader, wording=wording)
    running = wrapped(
        showable(f"{name}: {subject}"), width=RUNNING_WIDTH, size=RUNNING_SIZE, most_lines=1
    )
    return {
        "title": showable(f"{subject}: {for_whom}"),
        "author": [],
        "language": language,
        "direction": direction,
        "words_language": wording.language,
        "words_direction": wording.direction,
        "for_whom": showable(for_whom),
        "running_title": running[0],
        "day": wording.day(first.on),
        "words": _words(wording, n_titles=len(assessments)),
    }


def _page(reader: str, *, wording: Wording) -> tuple[str, Direction]:
    """Return language and direction of the pages: the reader's where it goes another way."""
    primary = reader.partition("-")[0]
    if primary == wording.language or direction_of(reader) == wording.direction:
        return wording.language, wording.direction
    return primary, direction_of(reader)


def _words(wording: Wording, *, n_titles: int) -> dict[str, Any]:
    """Return the fixed words which the template sets."""
    plain, detail = wording.plain, wording.detail
    return {
        "page": wording.page,
        "overview": plain.overview,
        "overview_lead": plain.overview_lead.format(n=n_titles),
        "overview_columns": plain.overview_columns,
        "why": plain.why,
        "what_next": plain.what_next,
        "by_when": plain.by_when,
        "write_to": plain.write_to,
        "caution": plain.caution,
        "details": detail.heading,
        "requirements": detail.requirements,
        "columns": detail.columns,
        "key": detail.key,
        "open_dates": detail.open_dates,
        "open_dates_lead": detail.open_dates_lead,
        "conditions": detail.conditions,
        "by_hand": detail.by_hand,
        "by_hand_lead": detail.by_hand_lead,
        "coming": detail.coming,
        "stale": detail.stale,
        "notes": detail.notes,
        "notes_lead": detail.notes_lead,
        "sources": detail.sources,
        "cautions": detail.cautions,
        "plan": asdict(wording.plan),
        "ready": asdict(wording.ready),
    }


def _chapter(
    assessment: Assessment,
    *,
    wording: Wording,
    contact: str,
    said: Callable[[Sequence[str]], tuple[str, ...]] | None,
) -> dict[str, Any]:
    """Return one title's page and details."""
    page = plain_page(assessment, wording=wording, contact=contact, said=said or paths_in_words)
    return {
        "page": cleaned(asdict(page)),
        "details": cleaned(asdict(details(assessment, wording=wording, said=said or tuple))),
        "strips": _strips(assessment, wording=wording),
    }


def _strips(assessment: Assessment, *, wording: Wording) -> list[dict[str, str]]:
    """Return the window strip as pictures that each fit on a page, with their texts."""
    specs = strip_parts(
        _with_showable_labels(assessment),
        span=sensible_span(assessment),
        most_height=STRIP_HEIGHT,
        wording=wording.chart,
    )
    return [{"svg": drawn(spec), "alt": spec["description"]} for spec in specs]


def _with_showable_labels(assessment: Assessment) -> Assessment:
    """Return the assessment with cleaned names and labels, since a picture's texts are set too."""
    return replace(
        assessment,
        title_name=showable(assessment.title_name),
        authority_name=showable(assessment.authority_name),
        milestones=tuple((key, showable(name)) for key, name in assessment.milestones),
        requirements=tuple(
            replace(result, label=showable(result.label)) for result in assessment.requirements
        ),
    )
