"""Questions as fields to fill in, what was filled in as an answer, and the close."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.question_words import FIELDS, SECTIONS
from comity.core.eligibility.questions import Question, question_for
from comity.core.eligibility.vocabulary import vocabulary_of
from comity.core.facts.model import Applicant
from comity.demo.caseload import demo_applicants, demo_rulebooks
from comity.service.answers import AnswerError, read_answer
from comity.service.assessing import titles_asked
from comity.service.interview import (
    Field,
    Filled,
    close_of,
    code_of,
    sheet_for,
    typed_from,
)

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment

TODAY = day_from_date(date(2026, 11, 25))
RULEBOOKS = demo_rulebooks().rulebooks
WORDS = vocabulary_of(RULEBOOKS)
NOBODY = Applicant(applicant="nobody")


def question(path: str) -> Question:
    """Return the question for a section that nobody has filled, or for a field of the person."""
    return question_for(path, applicant=NOBODY, vocabulary=WORDS)


def asked(kind: str, **more: object) -> Question:
    """Return a question of a kind about a qualification or a post."""
    paths = {"hours by part": "qualifications/a/hours", "choice": "qualifications/a/level"}
    return Question(paths.get(kind, "practice/a/title"), "?", kind, **more)  # type: ignore[arg-type]


def typed(path: str, filled: Filled) -> str:
    """Return the answer to the question for a path."""
    return typed_from(question(path), filled, WORDS)


# ---------------------------------------------------------------------------------- questions


@pytest.mark.parametrize("path", sorted(SECTIONS))
def test_every_section_can_be_answered_with_none(path: str) -> None:
    sheet = sheet_for(question(path), WORDS)
    assert sheet.fields
    if path != "stays":
        assert sheet.none
        assert read_answer(question(path), typed(path, {"none": [""]})) == ()


@pytest.mark.parametrize("fact", sorted(FIELDS))
def test_every_field_can_be_filled_in(fact: str) -> None:
    asked_as = FIELDS[fact]
    found = Question(fact, "?", asked_as.kind, choices=asked_as.choices, hint=asked_as.hint)
    assert sheet_for(found, WORDS).fields


def test_a_list_has_a_line_for_each_and_no_word_of_signs_between_them() -> None:
    sheet = sheet_for(question("practice"), WORDS)
    assert sheet.fields == (Field("written", "lines", "One on each line"),)
    assert sheet.hint == "A post whose hours changed is two."


def test_offered_names_are_boxes_to_tick_and_others_may_be_written() -> None:
    sheet = sheet_for(question("registrations"), WORDS)
    assert [(each.name, each.sort) for each in sheet.fields] == [
        ("chosen", "pick several"),
        ("written", "lines"),
    ]
    assert ("xb-register", "Tamorra Register of Diet and Nutrition") in sheet.fields[0].offers


def test_of_a_closed_choice_nothing_else_may_be_written() -> None:
    sheet = sheet_for(question("certificates"), WORDS)
    assert [each.sort for each in sheet.fields] == ["pick several"]


def test_yes_or_no_is_two_buttons() -> None:
    sheet = sheet_for(question("declarations/conviction"), WORDS)
    assert sheet.fields == (Field("chosen", "yes or no", offers=(("yes", "Yes"), ("no", "No"))),)


def test_a_last_day_may_go_on() -> None:
    found = Question("practice/a/end", "?", "last day", hint=FIELDS["practice/end"].hint)
    sheet = sheet_for(found, WORDS)
    assert sheet.still == "It still goes on"
    assert sheet.hint == "As exactly as you know: 3 May 2019, May 2019, or 2019."
    assert typed_from(found, {"still": [""]}, WORDS) == "still"


def test_countries_are_offered_by_their_names_those_of_the_rulebooks_first() -> None:
    (field,) = sheet_for(question("person/residence"), WORDS).fields
    names = [read for _word, read in field.offers]
    assert names.index("Halvenia") < names.index("Austria")
    assert len(names) > 200


def test_countries_have_the_names_of_the_reader_s_language() -> None:
    (field,) = sheet_for(question("person/residence"), WORDS, language="de-AT").fields
    assert ("Österreich", "Österreich") in field.offers


def test_a_language_nobody_knows_reads_english() -> None:
    (field,) = sheet_for(question("person/residence"), WORDS, language="qps-plocm").fields
    assert ("Austria", "Austria") in field.offers


# ------------------------------------------------------------------------------------ answers


def test_nothing_filled_in_is_no_answer() -> None:
    with pytest.raises(AnswerError) as raised:
        typed("practice", {"written": ["  \n "]})
    assert str(raised.value) == 'please fill something in, or choose "I don\'t know"'


def test_a_comma_within_a_line_parts_nothing() -> None:
    filled = {"written": ["Clinic of Salt, Sea and Air\r\n\r\nHarbour Ward\r\n"]}
    answer = typed("practice", filled)
    assert read_answer(question("practice"), answer) == (
        "Clinic of Salt, Sea and Air",
        "Harbour Ward",
    )
    alone = typed("practice", {"written": ["Clinic of Salt, Sea and Air"]})
    assert read_answer(question("practice"), alone) == ("Clinic of Salt, Sea and Air",)


def test_ticked_and_written_names_are_one_list() -> None:
    filled = {"chosen": ["xb-register"], "written": ["Board of Somewhere"]}
    answer = read_answer(question("registrations"), typed("registrations", filled))
    assert answer == ("xb-register", "Board of Somewhere")


def test_an_examination_stands_as_often_as_it_was_sat() -> None:
    filled = {"times-halvenian-dietetics": ["2"]}
    answer = read_answer(question("examinations"), typed("examinations", filled))
    assert answer == ("halvenian-dietetics", "halvenian-dietetics")


@pytest.mark.parametrize("times", ["21", "-1", "often"])
def test_how_often_is_a_small_number(times: str) -> None:
    with pytest.raises(AnswerError) as raised:
        typed("examinations", {"times-halvenian-dietetics": [times]})
    assert str(raised.value) == (
        "how often for Halvenian Dietetics Examination? A number up to 20 is expected"
    )


def test_countries_are_taken_by_name_and_by_code() -> None:
    answer = typed("stays", {"written": ["Halvenia\naustria\nxb"]})
    assert answer == "XA; AT; XB"
    assert read_answer(question("stays"), answer) == ("XA", "AT", "XB")


def test_a_country_that_is_none_is_refused_by_name() -> None:
    with pytest.raises(AnswerError) as raised:
        code_of("Nowhereland", WORDS)
    assert str(raised.value) == (
        "no country is known as 'Nowhereland'; write its name, or its two letters"
    )


def test_a_language_is_taken_by_its_name() -> None:
    found = Question("papers/a/language", "?", "language")
    assert typed_from(found, {"written": ["Arabic"]}, WORDS) == "ar"
    assert typed_from(found, {"written": ["AR"]}, WORDS) == "ar"
    with pytest.raises(AnswerError, match="no language is known as 'Klack'"):
        typed_from(found, {"written": ["Klack"]}, WORDS)


def test_hours_by_part_are_put_together() -> None:
    found = asked("hours by part", choices=(("taught", "taught"), ("placement", "placement")))
    filled = {"part-taught": [" 2900 "], "part-placement": [""]}
    assert typed_from(found, filled, WORDS) == "taught 2900"


def test_a_supervisor_known_in_part_keeps_what_is_known() -> None:
    found = asked("supervisor")
    filled = {"since": ["2010"], "profession": ["yes"], "sanctioned": []}
    assert typed_from(found, filled, WORDS) == "2010, yes, ?"
    with pytest.raises(AnswerError):
        typed_from(found, {"since": [""]}, WORDS)


def test_own_words_go_before_a_choice() -> None:
    found = asked("text", choices=(("a", "A"),))
    assert typed_from(found, {"chosen": ["a"], "written": ["my own"]}, WORDS) == "my own"
    assert typed_from(found, {"chosen": ["a"], "written": [""]}, WORDS) == "a"


# -------------------------------------------------------------------------------------- close


PEOPLE = {each.applicant.applicant: each.applicant for each in demo_applicants() if each.applicant}
# Met and unknown; not met with a way; referred; nothing that leads on; everything unknown.
NAMES = ("hana", "kofi", "mehtap", "baraka", "rosalind", "titilope")


@lru_cache
def answers_of(name: str) -> tuple[Assessment, ...]:
    """Return the answers of one of the demo's people."""
    return tuple(
        assess(PEOPLE[name], rulebook, title=title, on=TODAY, today=TODAY)
        for rulebook, title in titles_asked(RULEBOOKS, None)
    )


@pytest.mark.parametrize("name", NAMES)
def test_what_one_can_apply_for_comes_first(name: str) -> None:
    verdicts = [told.assessment.verdict for told in close_of(answers_of(name)).told]
    n_met = verdicts.count(Verdict.MET)
    assert all(verdict is Verdict.MET for verdict in verdicts[:n_met])


@pytest.mark.parametrize("name", NAMES)
def test_what_leads_to_an_application_has_its_nearest_fix_beside_it(name: str) -> None:
    for told in close_of(answers_of(name)).told:
        answer = told.assessment.answer
        if told.assessment.verdict is Verdict.NOT_MET and answer.leads_on and answer.steps:
            assert told.fix is not None
            assert told.fix.says == answer.steps[0].says


@pytest.mark.parametrize("name", NAMES)
def test_what_leads_nowhere_promises_no_fix(name: str) -> None:
    for told in close_of(answers_of(name)).told:
        if not told.assessment.answer.leads_on:
            assert told.fix is None
            assert told.steps == ()


def test_every_title_is_told_once_and_every_caution_once() -> None:
    answers = answers_of("hana")
    close = close_of(answers)
    assert {id(told.assessment) for told in close.told} == {id(each) for each in answers}
    assert len(close.told) == len(answers)
    assert len(set(close.cautions)) == len(close.cautions)
    assert set(close.cautions) == {caution for each in answers for caution in each.cautions}


def test_the_best_title_stands_apart_from_the_others() -> None:
    close = close_of(answers_of("hana"))
    assert close.best == close.told[0]
    assert close.others == close.told[1:]


def test_without_a_title_there_is_no_best_one() -> None:
    assert close_of(()).best is None
