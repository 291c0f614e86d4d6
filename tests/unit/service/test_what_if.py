"""What is tried is tried on a copy: the answers are those of a file in which it is so."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from comity.core.days.calendar import iso
from comity.core.days.partial import PartialDate
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.service.casework import TitleKey
from comity.service.what_if import (
    ApplyOn,
    FactWere,
    MorePractice,
    PaperArrives,
    QualificationCounts,
    TrialError,
    compared,
    said,
    share_of_week,
    tried,
)
from tests.unit.service.casework_cases import TODAY, case_of, case_with, text_of

XC = TitleKey("xc-board", "dietitian")
XB = TitleKey("xb-register", "dietitian")


def test_more_practice_takes_the_place_of_what_goes_on_today() -> None:
    after = tried(case_of("thu"), [MorePractice(6, share_of_week(Fraction(1, 2)))])
    held, more = after.applicant.facts.practice or ()
    assert (str(held.end), str(more.start), str(more.end)) == (
        "2026-11-24",
        "2026-11-25",
        "2027-05-24",
    )
    assert (more.hours_a_week, more.setting, more.country) == (20 * 60, "clinical", "XJ")


def test_two_more_months_open_the_dates_that_one_more_does_not() -> None:
    # 25.3 of 27 months are counted today, so that the 27th is complete on 13 January.
    case = case_of("thu")
    one, two = (tried(case, [MorePractice(n, 40 * 60)]).answer(XC) for n in (1, 2))
    assert one.windows == ()
    assert [iso(each.start or 0) for each in two.windows] == ["2027-01-13"]


def test_more_practice_of_somebody_without_a_post_is_a_post_of_their_own() -> None:
    after = tried(case_with("applicant: new\n"), [MorePractice(1, 600)])
    assert after.applicant.facts.practice is not None
    assert len(after.applicant.facts.practice) == 1


def test_a_qualification_that_counts_has_every_recognition_that_is_asked_for() -> None:
    case = case_of("titilope")
    after = tried(case, [QualificationCounts("degree")])
    degree = (after.applicant.facts.qualifications or ())[0]
    assert degree.accredited_by == case.vocabulary.words["qualifications/accredited_by"]
    verdicts = [
        next(each.verdict for each in tries.answer(XB).requirements if each.id.endswith("/degree"))
        for tries in (case, after)
    ]
    assert verdicts == [Verdict.UNKNOWN, Verdict.MET]
    with pytest.raises(KeyError, match="diploma"):
        tried(case, [QualificationCounts("diploma")])


def test_a_paper_that_arrives_is_received_and_issued_that_day() -> None:
    after = tried(case_of("soren"), [PaperArrives("papers", TODAY + 10, entry="letter")])
    letters = next(each for each in after.applicant.papers or () if each.id == "letter")
    assert (letters.status, letters.issued) == ("received", PartialDate.exact(TODAY + 10))
    new = tried(case_of("soren"), [PaperArrives("certificates", TODAY, kind="good standing")])
    assert (new.applicant.facts.certificates or ())[-1].of == "good standing"
    paper = tried(case_of("soren"), [PaperArrives("papers", TODAY, kind="photo")])
    assert (paper.applicant.papers or ())[-1].kind == "photo"
    with pytest.raises(KeyError, match="nothing"):
        tried(case_of("soren"), [PaperArrives("papers", TODAY, entry="nothing")])


def test_a_certificate_issued_anew_loses_an_end_that_is_over() -> None:
    text = text_of("thu").replace("sent: directly,", "expires: 2026-11-20,")
    after = tried(case_with(text), [PaperArrives("certificates", TODAY, entry="good")])
    assert (after.applicant.facts.certificates or ())[0].expires is None


def test_any_fact_may_be_other_than_it_is() -> None:
    case = case_of("thu")
    after = tried(case, [FactWere("practice", {"start": "January 2024"}, entry="hospital")])
    assert case.answer(XC).verdict is Verdict.NOT_MET
    assert after.answer(XC).verdict is Verdict.MET
    first = compared(case, after)[0]
    assert (first.named.key, first.is_better) == (XC, True)


def test_a_fact_that_cannot_be_read_says_so_by_field() -> None:
    with pytest.raises(TrialError, match="“soon” cannot be taken") as caught:
        tried(case_of("thu"), [FactWere("practice", {"start": "soon"}, entry="hospital")])
    assert list(caught.value.problems) == ["start"]


def test_applying_on_another_day_is_the_assessment_of_that_day() -> None:
    case = case_of("thu")
    later = TODAY + 60
    after = tried(case, [ApplyOn(later)])
    rulebook = case.rulebook_of(XC)
    expected = assess(case.applicant, rulebook, title="dietitian", on=later, today=TODAY)
    assert replace(after.answer(XC)) == expected
    assert after.answer(XC).verdict is Verdict.MET


def test_nothing_that_is_tried_changes_the_case() -> None:
    case = case_of("thu")
    before = case.document.text
    tried(case, [MorePractice(6, 600), ApplyOn(TODAY + 9)])
    assert case.document.text == before
    assert case.on is None


def test_what_is_tried_is_said_in_words() -> None:
    case = case_of("soren")
    assert [
        said(trial, case)
        for trial in (
            MorePractice(1, 18 * 60 + 30),
            PaperArrives("papers", TODAY, entry="letter"),
            PaperArrives("certificates", TODAY, kind="health"),
            ApplyOn(TODAY),
            FactWere("practice", {}),
        )
    ] == [
        "1 more month of practice at 18.5 hours a week",
        "employers' letters arrives on 25 November 2026",
        "health arrives on 25 November 2026",
        "the application is handed in on 25 November 2026",
        "a fact were as entered",
    ]
    degree = (case_of("thu").applicant.facts.qualifications or ())[0]
    assert said(QualificationCounts("degree"), case_of("thu")) == f"{degree.title} is recognised"
    assert iso(TODAY) == "2026-11-25"


POSTS = """\
applicant: new
facts:
  practice:
    - {id: over, country: XA, start: 2020-01-01, end: 2021-01-01}
    - {id: still, country: XA, start: 2022-01-01, end: ..}
    - {id: promised, country: XA, start: 2027-01-01, end: ..}
"""


def test_more_practice_ends_only_what_goes_on_and_forgets_what_has_not_begun() -> None:
    after = tried(case_with(POSTS), [MorePractice(1, 600)])
    ends = {each.id: str(each.end) for each in after.applicant.facts.practice or ()}
    assert (ends["over"], ends["still"]) == ("2021-01-01", "2026-11-24")
    assert "promised" not in ends
