from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from comity.brief.plain import PlainPage, as_sentence, is_plain, plain_page, question_in_words
from comity.brief.wording import ENGLISH
from comity.core.days.period import Period
from comity.core.eligibility.assessment import PlainAnswer, PlainStep, Remedy, Verdict
from tests.assets.brief import samples
from tests.assets.brief.samples import day, window

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.core.eligibility.assessment import Assessment

MAKERS = [
    samples.mixed,
    samples.clear_yes,
    samples.unknown,
    samples.refers,
    samples.not_for_you,
    samples.hopeless,
    samples.many,
]


def page_of(assessment: Assessment, contact: str = "") -> PlainPage:
    """Return the page in English."""
    return plain_page(assessment, wording=ENGLISH, contact=contact)


def texts_of(page: PlainPage) -> list[str]:
    """Return everything the page says, with plain spaces."""
    texts = [
        page.answer,
        page.sentence,
        *page.asides,
        *(text for reason in page.reasons for text in (reason.label, reason.text)),
        page.reasons_after,
        *(text for step in page.steps for text in (step.what, step.when)),
        *page.dates,
        page.contact,
    ]
    return [text.replace("\u00a0", " ") for text in texts if text]


@pytest.mark.parametrize("make", MAKERS)
def test_it_has_an_answer_a_reason_a_step_a_date_and_a_person(
    make: Callable[[], Assessment],
) -> None:
    page = page_of(make())
    assert page.answer
    assert page.sentence
    assert page.reasons
    assert page.steps
    assert page.dates
    assert page.contact


@pytest.mark.parametrize("make", MAKERS)
def test_it_has_no_percentages_no_paths_and_no_ids(make: Callable[[], Assessment]) -> None:
    texts = texts_of(page_of(make()))
    assert [text for text in texts if not is_plain(text)] == []


@pytest.mark.parametrize(
    "text", ["work at 60 %", "60 per cent", "practice/p2/start", "look_back", "an FTE of one"]
)
def test_percentages_paths_and_abbreviations_are_not_plain(text: str) -> None:
    assert not is_plain(text)


@pytest.mark.parametrize("text", ["Level B2 is enough.", "Work until 2027-03-14.", "A or B"])
def test_sentences_are_plain(text: str) -> None:
    assert is_plain(text)


@pytest.mark.parametrize(
    ("make", "answer"),
    [
        (samples.mixed, "Not yet"),
        (samples.clear_yes, "Yes"),
        (samples.unknown, "Not known yet"),
        (samples.refers, "The authority decides"),
        (samples.not_for_you, "Not meant for you"),
    ],
)
def test_each_verdict_has_its_answer(make: Callable[[], Assessment], answer: str) -> None:
    assert page_of(make()).answer == answer


def test_a_yes_under_rules_not_wholly_read_is_no_yes() -> None:
    page = page_of(replace(samples.clear_yes(), wholly_read=False))
    assert page.answer == "Nothing against it so far"
    assert page.asides == (
        "We have not read all of this authority's rules yet. Nothing read so far excludes you.",
    )


def test_a_no_under_rules_not_wholly_read_warns_of_more() -> None:
    page = page_of(replace(samples.mixed(), stale=()))
    assert page.asides == (
        "We have not read all of this authority's rules yet; it may ask for more.",
    )


def test_stale_rules_are_said_to_be_old() -> None:
    page = page_of(replace(samples.clear_yes(), stale=("x",)))
    assert page.asides == ("We read some of these rules a while ago. They may have changed since.",)


def test_the_sentence_does_not_repeat_the_answer_above_it() -> None:
    assert page_of(samples.clear_yes()).sentence == (
        "What you told us meets everything that was checked."
    )


def test_a_sentence_with_percentages_is_replaced() -> None:
    answer = PlainAnswer("Not yet", "You have 85 % of it.")
    page = page_of(replace(samples.mixed(), answer=answer))
    assert page.sentence == ENGLISH.plain.sentences[Verdict.NOT_MET]


def test_conditions_of_the_licence_are_said_and_doubtful_ones_so() -> None:
    conditions = ("Works under supervision.", "perhaps: no night shifts")
    page = page_of(replace(samples.clear_yes(), conditions=conditions))
    assert page.asides == (
        "A condition would come with it: Works under supervision.",
        "A condition may come with it: No night shifts.",
    )


def test_what_helps_today_has_no_earliest_day() -> None:
    row = replace(samples.PRACTICE, remedy=Remedy("Ask for a certificate", samples.ON))
    page = page_of(samples.assessment(Verdict.NOT_MET, requirements=(row,)))
    assert page.steps[0].when == ""


def test_a_look_by_hand_is_the_advisers_step() -> None:
    row = replace(samples.LANGUAGE, remedy=None, missing=("reviews/xa-board/dietitian/portfolio",))
    page = page_of(samples.assessment(Verdict.UNKNOWN, requirements=(row,)))
    assert page.steps[0].what == (
        "Your adviser has to look at this: Proof of Xandrian, level B2 in each part."
    )


@pytest.mark.parametrize(
    ("text", "sentence"),
    [("not sat yet", "Not sat yet."), ("Why?", "Why?"), (" ", ""), ("Done.", "Done.")],
)
def test_a_reason_becomes_a_sentence(text: str, sentence: str) -> None:
    assert as_sentence(text) == sentence


def test_reasons_begin_with_what_is_not_met_at_submission() -> None:
    page = page_of(samples.mixed())
    assert [reason.label for reason in page.reasons] == [
        samples.PRACTICE.label,
        samples.LANGUAGE.label,
        samples.HEALTH.label,
        samples.ADAPTATION.label,
    ]


def test_many_reasons_are_counted() -> None:
    page = page_of(samples.many())
    assert len(page.reasons) == 4
    assert page.reasons_after == "The remaining points (19) are on the next pages."


def test_steps_lead_to_the_application_and_beyond_it() -> None:
    steps = [step.what.replace("\u00a0", " ") for step in page_of(samples.mixed()).steps]
    assert steps == [
        "Go on working as you do now until 14 March 2027.",
        "Tell us your result in speaking, from the test of October 2025.",
        "Send the board a letter with your doctor's statement.",
        "Hand in your application once these points are settled.",
        "Work three months with a supervisor once you are provisionally registered.",
    ]


def test_the_steps_of_the_answer_stand_in_their_list_and_not_in_the_sentence() -> None:
    answer = PlainAnswer(
        "Not yet",
        "It can be put right.",
        (PlainStep("Sit the test."), PlainStep("Work until 1 May 2027.", day("2027-05-01"))),
        "Then you can apply.",
        (PlainStep("Ask for your licence."),),
    )
    page = page_of(replace(samples.mixed(), answer=answer))
    assert page.answer == "Not yet"
    assert page.sentence == "It can be put right. What to do stands below. Then you can apply."
    assert [step.what.replace("\u00a0", " ") for step in page.steps] == [
        "Sit the test.",
        "Work until 1 May 2027.",
        "Hand in your application once these points are settled.",
        "Ask for your licence.",
    ]


def test_no_application_is_spoken_of_where_the_steps_lead_to_none() -> None:
    answer = PlainAnswer("Not as things stand", "", (PlainStep("Wait."),), leads_on=False)
    page = page_of(samples.assessment(Verdict.NOT_MET, answer=answer))
    assert [step.what for step in page.steps] == ["Wait."]


def test_two_things_that_never_hold_together_lead_to_the_case_alone() -> None:
    page = page_of(replace(samples.mixed(), never_together=("a/b/c", "a/b/d")))
    assert [step.what for step in page.steps] == [ENGLISH.plain.put_case]


def test_the_headline_of_the_answer_is_the_only_one() -> None:
    answer = PlainAnswer("Not as the rules stand", "One thing is in the way.", leads_on=False)
    page = page_of(samples.assessment(Verdict.NOT_MET, answer=answer))
    assert (page.answer, page.sentence) == ("Not as the rules stand", "One thing is in the way.")


def test_a_step_says_from_when_it_helps() -> None:
    when = page_of(samples.mixed()).steps[0].when.replace("\u00a0", " ")
    assert when == "From 14 March 2027 at the earliest."


def test_the_same_step_is_not_said_twice() -> None:
    steps = page_of(samples.many()).steps
    assert len(set(steps)) == len(steps)


def test_a_remedy_in_codes_becomes_a_talk_with_the_adviser() -> None:
    row = replace(samples.PRACTICE, remedy=Remedy("Reach 100 %"))
    steps = page_of(samples.assessment(Verdict.NOT_MET, requirements=(row,))).steps
    assert steps[0].what == (
        "Go through this point with your adviser: 24 months of practice within the last five years."
    )


def test_missing_facts_are_asked_for_by_the_requirement_they_leave_open() -> None:
    steps = page_of(samples.unknown()).steps
    assert steps[0].what == (
        "Tell us or your adviser what is still open here: Proof of Xandrian, level B2 in each part."
    )


def test_a_question_that_no_requirement_asks_is_asked_at_the_end() -> None:
    assessment = replace(samples.clear_yes(), next_question="practice/2/start")
    steps = [step.what for step in page_of(assessment).steps]
    assert steps == [
        "Tell us or your adviser what is still open here: practice 2, start.",
        "Hand in your application to the authority.",
    ]


def test_discretion_without_a_remedy_leads_to_a_letter() -> None:
    assert page_of(samples.refers()).steps[0].what == (
        "Ask your adviser to prepare a letter that puts your case to the authority."
    )


def test_rules_for_others_lead_to_the_adviser_and_not_to_an_application() -> None:
    steps = [step.what for step in page_of(samples.not_for_you()).steps]
    assert steps == ["Ask your adviser which rules are meant for you."]


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("practice/2/start", "practice 2, start"),
        ("facts/full_time_hours", "facts full time hours"),
        ("results/xlt-2025/speaking", "results xlt 2025, speaking"),
        ("nationality", "nationality"),
        ("", ""),
    ],
)
def test_a_path_becomes_words(path: str, words: str) -> None:
    assert question_in_words(path) == words


def test_an_open_window_says_by_when_and_what_ends() -> None:
    dates = [text.replace("\u00a0", " ") for text in page_of(samples.clear_yes()).dates]
    assert dates == [
        "Hand in by 28 February 2027.",
        (
            "After that day this no longer holds: A certificate of good standing not older than six"
            " months."
        ),
        "If you stopped working today, this would hold only until 31 January 2027.",
    ]


def test_an_open_window_without_an_end_says_so() -> None:
    assessment = samples.assessment(Verdict.MET, windows=(window("2026-01-01", None),))
    assert page_of(assessment).dates == ("No last day is known today.",)


def test_what_can_be_put_right_today_needs_no_day() -> None:
    dates = page_of(samples.assessment(Verdict.NOT_MET, earliest=samples.ON)).dates
    assert dates == ("As soon as these points are settled.",)


def test_a_closed_window_says_the_earliest_day_and_the_next_one() -> None:
    dates = [text.replace("\u00a0", " ") for text in page_of(samples.mixed()).dates]
    assert dates == [
        "The earliest day on which all of it can hold together is 14 March 2027.",
        (
            "If what is missing turns out well, you could hand in from 14 March 2027 until"
            " 9 October 2027."
        ),
        "New rules apply from 1 January 2028. The answer may then be another one.",
    ]


def test_a_certain_window_ahead_goes_before_a_possible_one() -> None:
    windows = (
        window("2020-01-01", "2020-02-01"),
        window("2027-01-01", "2027-01-31", "possible"),
        window("2027-02-01", None),
    )
    assessment = samples.assessment(Verdict.NOT_MET, windows=windows)
    dates = [text.replace("\u00a0", " ") for text in page_of(assessment).dates]
    assert dates == ["You could hand in from 1 February 2027 on."]


def test_without_any_day_it_points_to_a_person() -> None:
    page = page_of(samples.hopeless())
    assert page.dates == ("No day can be named yet; ask your adviser.",)
    assert "Xandrian Board of Health Professions" in page.contact


def test_a_named_contact_replaces_the_general_one() -> None:
    page = page_of(samples.mixed(), contact="Ana Example, ana@office.example")
    assert page.contact == "Ana Example, ana@office.example"


def test_the_end_of_the_window_is_not_blamed_on_what_is_checked_later() -> None:
    later = replace(samples.STANDING, at="registration", label="Later")
    base = samples.clear_yes()
    dates = page_of(replace(base, requirements=(*base.requirements, later))).dates
    assert [text for text in dates if "Later" in text] == []


def test_a_page_stands_on_ids_when_there_are_no_names() -> None:
    page = page_of(replace(samples.mixed(), title_name="", authority_name=""))
    assert (page.title, page.authority) == ("dietitian", "xa-board")


def test_a_remedy_without_plain_words_uses_its_imperative() -> None:
    row = replace(samples.PRACTICE, remedy=Remedy("Sit the examination", day("2027-05-01")))
    steps = page_of(samples.assessment(Verdict.NOT_MET, requirements=(row,))).steps
    assert steps[0].what == "Sit the examination."


def test_what_cannot_be_put_right_within_two_years_begins_with_the_case() -> None:
    assessment = samples.mixed()
    two_years = Period(months=24).after(assessment.on)
    first = replace(samples.DEGREE, verdict=Verdict.NOT_MET, at="submission")
    for remedy, is_case in (
        (Remedy("Wait", earliest=two_years + 1, plain="Wait."), True),
        (None, True),
        (Remedy("Wait", earliest=two_years, plain="Wait."), False),
        (Remedy("Wait", plain="Wait."), False),
    ):
        asked = replace(assessment, requirements=(replace(first, remedy=remedy),))
        page = plain_page(asked, wording=ENGLISH, contact="")
        assert (page.steps[0].what == ENGLISH.plain.put_case) is is_case
