"""Whom an edition touches: the quick way finds the same people as assessing everybody."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.core.rulebook.model import Edition, Rulebook
from comity.demo.caseload import demo_applicants, demo_rulebooks
from comity.service.affected import Days, affected
from comity.service.impact import Turn, step_to, touched, turns_of, verdict_on
from comity.service.spans import TitleSpans, spans_of

TODAY = day_from_date(date(2026, 11, 25))
NEXT = day_from_date(date(2027, 2, 1))
LOADED = demo_rulebooks()
COUNCIL = {
    each.edition.rulebook: each.edition
    for each in LOADED.files
    if each.edition.authority.id == "xa-council"
}
OLD, NEW = COUNCIL["2025"], COUNCIL["2027"]
APPLICANTS = tuple(each.applicant for each in demo_applicants() if each.applicant is not None)


def in_force(*editions: Edition) -> tuple[Rulebook, ...]:
    """Return some editions of the Council as its rulebook."""
    return (Rulebook(OLD.authority, editions),)


def test_a_new_edition_is_looked_at_on_its_first_day_beside_the_one_before() -> None:
    step = step_to(NEW, in_force(OLD), today=TODAY)
    assert (step.old, step.new, step.days) == (OLD, NEW, Days(NEXT, TODAY))


def test_an_edition_that_has_begun_is_looked_at_today() -> None:
    assert step_to(OLD, in_force(OLD), today=TODAY).days == Days(TODAY, TODAY)


def test_the_day_of_submission_may_be_named() -> None:
    assert step_to(NEW, in_force(OLD), today=TODAY, on=NEXT + 40).days.on == NEXT + 40


def test_an_edition_that_is_changed_is_laid_beside_itself_as_it_is_in_force() -> None:
    changed = replace(OLD, summary="Another summary.")
    assert step_to(changed, in_force(OLD, NEW), today=TODAY).old is OLD


def test_without_an_edition_before_there_was_no_answer_that_could_change() -> None:
    step = step_to(NEW, (), today=TODAY)
    assert step.old is None
    assert touched(step, APPLICANTS) == ()


def test_an_edition_of_another_authority_is_not_the_one_before() -> None:
    others = tuple(each for each in LOADED.rulebooks if each.authority.id != "xa-council")
    assert step_to(NEW, others, today=TODAY).old is None


def test_the_quick_way_touches_whom_assessing_everybody_touches() -> None:
    step = step_to(NEW, in_force(OLD), today=TODAY)
    some = tuple(each for each in APPLICANTS if each.applicant in {"kofi", "hana", "leilani"})
    found = touched(step, some)
    assert [each.applicant for each in found] == ["kofi"]
    assert found == affected(OLD, NEW, some, days=step.days)


def test_an_edition_that_asks_the_same_touches_nobody() -> None:
    same = replace(NEW, titles=OLD.titles)
    assert touched(step_to(same, in_force(OLD), today=TODAY), APPLICANTS[:6]) == ()


def test_runs_of_days_tell_the_verdict_of_the_assessment() -> None:
    some = APPLICANTS[:4]
    for rulebook in LOADED.rulebooks:
        for applicant, titles in zip(some, spans_of(some, (rulebook,)), strict=True):
            for spans in titles:
                answer = assess(applicant, rulebook, title=spans.title, on=TODAY, today=TODAY)
                assert verdict_on(spans, TODAY) == answer.verdict, (applicant.applicant, spans)


def test_a_run_ends_before_its_last_boundary() -> None:
    spans = TitleSpans("a", "t", certain=((10, 20),), possible=((10, 30),), referred=((40, 41),))
    found = [verdict_on(spans, day) for day in (9, 10, 19, 20, 29, 30, 40, 41)]
    assert found == [
        Verdict.NOT_MET,
        Verdict.MET,
        Verdict.MET,
        Verdict.UNKNOWN,
        Verdict.UNKNOWN,
        Verdict.NOT_MET,
        Verdict.REFER,
        Verdict.NOT_MET,
    ]


def test_answers_that_turn_alike_are_counted_together() -> None:
    those = [each for each in APPLICANTS if each.applicant == "kofi"]
    (kofi,) = touched(step_to(NEW, in_force(OLD), today=TODAY), those)
    other = replace(kofi, applicant="other", before=Verdict.UNKNOWN)
    assert list(turns_of((kofi, other, kofi))) == [
        Turn("Dietitian", Verdict.MET, Verdict.NOT_MET, 2),
        Turn("Dietitian", Verdict.UNKNOWN, Verdict.NOT_MET, 1),
    ]
