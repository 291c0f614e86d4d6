from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from comity.core.days.partial import parse_partial_date
from comity.core.days.period import Period
from comity.core.eligibility.questions import Question, question_for
from comity.core.eligibility.vocabulary import Vocabulary, vocabulary_of
from comity.core.facts.model import Applicant, Supervisor
from comity.demo.caseload import demo_rulebooks
from comity.service.answers import AnswerError, is_dont_know, read_answer, readings_of
from comity.service.applicant_parts import with_answer

VOCABULARY = vocabulary_of(demo_rulebooks().rulebooks)
NO_WORDS = Vocabulary({}, {}, {}, frozenset())


def person() -> Applicant:
    applicant = Applicant(applicant="amara")
    for path, names in {
        "qualifications": ("BSc",),
        "practice": ("City Hospital",),
        "registrations": ("xb-register",),
        "updating": ("formal study",),
        "education": ("Course",),
        "papers": ("photo",),
        "language": ("Common Tongue Examination",),
        "examinations": ("halvenian-dietetics",),
        "certificates": ("good standing",),
    }.items():
        applicant = with_answer(applicant, path, names)
    return applicant


def question(path: str, vocabulary: Vocabulary = VOCABULARY) -> Question:
    return question_for(path, applicant=person(), vocabulary=vocabulary)


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("2019", "2019"),
        ("2019-05", "2019-05"),
        ("2019-05-03", "2019-05-03"),
        ("May 2019", "2019-05"),
        ("3 May 2019", "2019-05-03"),
        ("3rd of May 2019", "2019-05-03"),
        ("3. May 2019", "2019-05-03"),
        ("May 3, 2019", "2019-05-03"),
        ("Sept 2019", "2019-09"),
        ("about 2019", "2019~"),
        ("around  May 2019", "2019-05~"),
    ],
)
def test_a_day_may_be_typed_as_people_say_it(typed: str, written: str) -> None:
    found = read_answer(question("practice/city-hospital/start"), typed)
    assert found == parse_partial_date(written)


@pytest.mark.parametrize("typed", ["still", "Still there", "now", "ongoing", ".."])
def test_a_post_may_still_go_on(typed: str) -> None:
    found = read_answer(question("practice/city-hospital/end"), typed)
    assert found == parse_partial_date("..")


@pytest.mark.parametrize(
    ("path", "typed", "value"),
    [
        ("practice/city-hospital/hours_a_week", "37.5 hours", 2250),
        ("practice/city-hospital/hours_a_week", "20 h a week", 1200),
        ("practice/city-hospital/registered", "Yes.", True),
        ("practice/city-hospital/country", "xb", "XB"),
        ("practice/city-hospital/setting", "2", "media"),
        ("practice/city-hospital/setting", "clinical", "clinical"),
        ("qualifications/bsc/level", "bachelor or equal", 6),
        ("qualifications/bsc/level", "3", 6),
        ("qualifications/bsc/field", "0916", "0916"),
        ("qualifications/bsc/length", "4 years", Period(months=48)),
        (
            "qualifications/bsc/hours",
            "taught 2900, placement 640",
            {"taught": 174000, "placement": 38400},
        ),
        (
            "qualifications/bsc/hours",
            "taught: 2900:30; clinical ward = 640",
            {"taught": 174030, "clinical ward": 38400},
        ),
        ("qualifications/bsc/accredited_by", "yes", ("Tamorra Accreditation Panel",)),
        ("qualifications/bsc/accredited_by", "no", ()),
        ("education/course/units", "7.5 units", Fraction(15, 2)),
        ("papers/photo/face_share", "70 %", Fraction(7, 10)),
        ("papers/photo/language", "EN", "en"),
        ("papers/photo/form", "a certified copy", "certified copy"),
        (
            "language/common-tongue-examination/parts",
            "reading 120; listening: 140",
            {"reading": "120", "listening": "140"},
        ),
        ("examinations/halvenian-dietetics/outcome", "3", "passed"),
        ("person/nationality", "xa, xb", ("XA", "XB")),
        ("person/nationality", "none", ()),
        ("declarations/conviction", "n", False),
        ("stays", "xa; XB", ("XA", "XB")),
        ("certificates", "1, health", ("good standing", "health")),
        ("registrations", "1; Board of Elsewhere", ("xa-council", "Board of Elsewhere")),
        ("practice", "none", ()),
        ("practice", "City Hospital, Ward 3", ("City Hospital, Ward 3",)),
        (
            "updating/formal-study/supervisor",
            "2010, yes, ?",
            Supervisor(registered_since=parse_partial_date("2010"), same_profession=True),
        ),
    ],
)
def test_an_answer_becomes_what_the_file_holds(path: str, typed: str, value: object) -> None:
    assert read_answer(question(path), typed) == value


@pytest.mark.parametrize(
    ("path", "typed", "sentence"),
    [
        (
            "practice/city-hospital/start",
            "in summer 2020",
            "write a day as 3 May 2019, May 2019 or 2019, and ? if you do not know",
        ),
        (
            "practice/city-hospital/start",
            "31 February 2020",
            "2020-02-31 does not exist: February 2020 has 29 days",
        ),
        (
            "practice/city-hospital/start",
            "3/5/2019",
            "write year-month-day, as 2019-05-03; other orders are read in two ways",
        ),
        ("practice/city-hospital/registered", "perhaps", "please answer yes or no"),
        ("practice/city-hospital/hours_a_week", "-3", "hours cannot be negative"),
        ("practice/city-hospital/hours_a_week", "many", "an answer would be: As 37.5."),
        ("practice/city-hospital/country", "QX9", "no country has the code QX9"),
        ("practice", "June 2019", "that looks like a day; here names are asked for"),
        (
            "certificates",
            "diploma",
            "please choose one of the list, by its number or its words",
        ),
        (
            "qualifications/bsc/hours",
            "2900",
            "an answer would be: As taught 2900, placement 640.",
        ),
        (
            "updating/formal-study/supervisor",
            "2010",
            "three answers are needed. As 2010, yes, no; a question mark for what you do not know.",
        ),
    ],
)
def test_what_is_no_answer_is_told_how_to_write_one(path: str, typed: str, sentence: str) -> None:
    with pytest.raises(AnswerError) as caught:
        read_answer(question(path), typed)
    assert str(caught.value) == sentence


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "?",
        "don't know",
        "Don\N{RIGHT SINGLE QUOTATION MARK}t know.",
        "I do not know",
        "dunno",
        "not sure",
        "I'm not sure",
        "no idea",
        "I can't remember",
        "unknown",
        "idk",
    ],
)
def test_people_say_in_many_ways_that_they_do_not_know(typed: str) -> None:
    assert is_dont_know(typed)


@pytest.mark.parametrize("typed", ["no", "none", "..", "still", "Unknown Hospital", "0"])
def test_an_answer_is_not_taken_for_not_knowing(typed: str) -> None:
    assert not is_dont_know(typed)


@pytest.mark.parametrize(
    ("path", "typed", "readings"),
    [
        ("practice", "A and B", ("A; B", "A and B")),
        ("practice", "A, B", ("A; B", "A, B")),
        ("practice", "A, B; C", ("A, B; C",)),
        ("practice", "Sandwich Hospital", ("Sandwich Hospital",)),
        ("qualifications", "BSc (Oslo, Norway)", ("BSc (Oslo, Norway)",)),
        ("papers", "passport and photo", ("passport; photo",)),
        ("papers", "passport and diploma", ("passport; diploma", "passport and diploma")),
        ("certificates", "1, 2", ("1, 2",)),
        ("practice/city-hospital/title", "cook and dietitian", ("cook and dietitian",)),
    ],
)
def test_a_list_that_can_be_read_in_two_ways_is_in_doubt(
    path: str, typed: str, readings: tuple[str, ...]
) -> None:
    assert readings_of(question(path), typed) == readings


def test_without_words_of_rulebooks_any_words_will_do() -> None:
    asked = question("practice/city-hospital/setting", NO_WORDS)
    assert (asked.choices, read_answer(asked, "2")) == ((), "2")


def test_a_list_of_several_bodies_is_answered_by_number() -> None:
    words = {**VOCABULARY.words, "qualifications/accredited_by": ("Panel A", "Panel B")}
    asked = question("qualifications/bsc/accredited_by", replace(VOCABULARY, words=words))
    assert read_answer(asked, "2") == ("Panel B",)
