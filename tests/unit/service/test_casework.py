"""What a case's page shows comes from the same assessments as everything else."""

from __future__ import annotations

import pytest

from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.service.casework import (
    Casework,
    Document,
    TitleKey,
    first_title,
    in_order,
    key_of,
)
from comity.service.casework_offers import offers_of
from tests.unit.service.casework_cases import TODAY, case_of, rulebooks, text_of, today_at

XC = TitleKey("xc-board", "dietitian")


def test_the_answer_on_a_title_is_the_assessment_of_the_file() -> None:
    case = case_of("thu")
    rulebook = case.rulebook_of(XC)
    expected = assess(case.applicant, rulebook, title="dietitian", on=TODAY, today=TODAY)
    assert case.answer(XC) == expected


def test_an_answer_is_worked_out_once_for_the_same_text_and_rules() -> None:
    assert case_of("kofi").answer(XC) is case_of("kofi").answer(XC)


def test_another_text_gives_another_answer() -> None:
    text = text_of("thu").replace("start: 2024-10-14", "start: 2024-01-15")
    changed = Casework(Document(text, case_of("thu").applicant), rulebooks(), today_at)
    assert changed.answer(XC) is not case_of("thu").answer(XC)


def test_every_title_of_every_rulebook_is_answered_under_both_assumptions() -> None:
    pairs = case_of("thu").comparison()
    assert [str(pair.named.key) for pair in pairs] == [
        "xa-council/dietitian",
        "xa-council/provisional",
        "xb-register/dietitian",
        "xb-register/associate",
        "xc-board/dietitian",
        "xc-board/practising",
    ]
    assert {pair.continues.assumption for pair in pairs} == {"continues"}
    assert {pair.stops.assumption for pair in pairs} == {"stops"}
    waits = next(pair for pair in pairs if pair.named.key == XC)
    assert waits.continues.windows != waits.stops.windows


def test_without_rulebooks_there_is_no_answer_and_the_dates_stay() -> None:
    case = Casework(case_of("eunbi").document, (), today_at)
    assert case.titles() == ()
    assert case.answers() == ()
    assert case.next_things() == ()
    assert [each.subject for each in case.coming_dates()] == ["passport"]
    assert not case.is_fictional
    with pytest.raises(KeyError, match="xc-board/dietitian"):
        case.answer(XC)


def test_what_is_missing_is_named_with_the_titles_that_wait_for_it() -> None:
    facts = {each.path: each for each in case_of("soren").open_facts()}
    start = facts["practice/municipality/start"]
    assert start.said == "the first day of Municipality of Vesterholt"
    assert (start.section, start.entry, start.n_waiting) == ("practice", "municipality", 1)
    assert facts["education"].entry == ""


def test_what_is_open_today_stands_before_what_opens_later() -> None:
    verdicts = [each.verdict for each in in_order(case_of("kofi").answers())]
    assert verdicts[:3] == [Verdict.MET, Verdict.MET, Verdict.UNKNOWN]
    days = [each.earliest or 1 << 20 for each in in_order(case_of("mehtap").answers())]
    assert days == sorted(days)


def test_the_title_shown_first_is_the_one_nearest_to_a_yes() -> None:
    answers = case_of("kofi").answers()
    verdicts = {key_of(each): each.verdict for each in answers}
    assert first_title(verdicts) == TitleKey("xa-council", "dietitian")
    assert first_title({}) is None


def test_forms_are_offered_the_rulebooks_words_and_milestones() -> None:
    offers = offers_of(case_of("thu"))
    assert ("sales", "sales") in offers["practice/setting"]
    assert any(path.startswith("xa-council/dietitian/") for path, _ in offers["progress/milestone"])
    assert dict(offers["declarations"])["conviction"]
