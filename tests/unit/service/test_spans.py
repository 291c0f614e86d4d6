from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import FOREVER, Day, day_from_date
from comity.core.days.period import Period
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.demo.caseload import demo_applicants, demo_rulebooks
from comity.files.applicants import read_applicant
from comity.service.spans import TitleSpans, spans_of

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

TODAY = day_from_date(date(2026, 11, 25))
DAYS = (TODAY, TODAY + 250)
RULEBOOKS = demo_rulebooks().rulebooks
APPLICANTS = [each.applicant for each in demo_applicants() if each.applicant is not None]


def verdict_of(spans: TitleSpans, day: Day) -> Verdict:
    """Return the verdict as lists tell it."""
    for runs, verdict in (
        (spans.certain, Verdict.MET),
        (spans.referred, Verdict.REFER),
        (spans.possible, Verdict.UNKNOWN),
    ):
        if any(start <= day < end for start, end in runs):
            return verdict
    return Verdict.NOT_MET


def check(applicants: list[Applicant], rulebooks: tuple[Rulebook, ...]) -> None:
    """Compare the spans of all applicants at once with an assessment of each."""
    for applicant, found in zip(applicants, spans_of(applicants, rulebooks), strict=True):
        titles = [(book, title) for book in rulebooks for title in book.titles()]
        assert [(each.authority, each.title) for each in found] == [
            (book.authority.id, title) for book, title in titles
        ]
        for (book, title), spans in zip(titles, found, strict=True):
            for day in DAYS:
                said = assess(applicant, book, title=title, on=day, today=TODAY)
                assert verdict_of(spans, day) == said.verdict, (applicant.applicant, title, day)


def test_lists_say_what_assessments_say() -> None:
    check(APPLICANTS[:5], RULEBOOKS)


def test_dates_known_in_part_stand_among_others() -> None:
    check([each for each in APPLICANTS if each.applicant in {"kofi", "soren", "zdenka"}], RULEBOOKS)


def test_milestones_past_choose_the_edition() -> None:
    hana = next(each for each in APPLICANTS if each.applicant == "hana")
    text = "applicant: x\nprogress: [{id: sent, milestone: submission, on: 2026-11-02}]\n"
    progress = read_applicant(text, "x.yaml").applicant
    assert progress is not None
    check([hana, replace(hana, progress=progress.progress)], RULEBOOKS)


def test_an_edition_not_wholly_read_promises_nothing() -> None:
    book = next(each for each in RULEBOOKS if len(each.editions) == 1)
    unread = replace(book, editions=(replace(book.editions[0], wholly_read=False),))
    found = spans_of(APPLICANTS, (unread,))
    assert any(spans.possible for each in found for spans in each)
    assert not any(spans.certain for each in found for spans in each)
    check(APPLICANTS[:3], (unread,))


def test_editions_may_differ_in_their_margin() -> None:
    book = next(each for each in RULEBOOKS if len(each.editions) > 1)
    first, *others = book.editions
    wider = replace(book, editions=(replace(first, margin=Period(months=6)), *others))
    check([each for each in APPLICANTS if each.applicant in {"kofi", "titilope"}], (wider,))


@pytest.mark.parametrize("n_times", [1, 3])
def test_the_same_applicant_has_the_same_spans_wherever_they_stand(n_times: int) -> None:
    some = [each for each in APPLICANTS if each.applicant in {"soren", "hana", "titilope"}]
    alone = [spans_of([each], RULEBOOKS)[0] for each in some]
    assert spans_of(some * n_times, RULEBOOKS) == alone * n_times


def test_runs_are_half_open_and_in_order() -> None:
    for found in spans_of(APPLICANTS, RULEBOOKS):
        for spans in found:
            for runs in (spans.certain, spans.possible, spans.referred):
                days = [day for run in runs for day in run]
                assert days == sorted(set(days))
                assert all(0 <= day <= FOREVER for day in days)


def test_no_applicants_have_no_spans() -> None:
    assert spans_of([], RULEBOOKS) == []
    assert spans_of(APPLICANTS[:2], ()) == [(), ()]
