"""What an applicant is told: one headline, each step once, in the order in which it is done."""

from __future__ import annotations

from datetime import date

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Assessment, PlainAnswer, PlainStep, Verdict
from comity.demo.caseload import demo_applicants, demo_rulebooks

TODAY = day_from_date(date(2026, 11, 25))


def demo_answer(applicant: str, authority: str, title: str) -> Assessment:
    """Return the assessment of a person of the demo."""
    person = next(
        each.applicant
        for each in demo_applicants()
        if each.applicant is not None and each.applicant.applicant == applicant
    )
    rulebook = next(r for r in demo_rulebooks().rulebooks if r.authority.id == authority)
    return assess(person, rulebook, title=title, on=TODAY, today=TODAY)


def said(found: Assessment) -> list[str]:
    """Return the steps before applying as sentences."""
    return [step.says for step in found.answer.steps]


def test_steps_stand_in_order_of_time_and_what_lapses_comes_last() -> None:
    assert said(demo_answer("baraka", "xa-council", "dietitian")) == [
        "Sit the test Halvenian for Health Professionals.",
        (
            "Enter for the Halvenian Dietetics Examination by 11 December 2026 and pass it on "
            "6 March 2027."
        ),
        "Work full time until 8 June 2027.",
        (
            "Shortly before you apply, ask for a new certificate of good standing and ask for a new "
            "criminal record certificate from Nyarazi; done earlier, it would have lapsed by then."
        ),
    ]


def test_more_than_two_steps_are_numbered_lines() -> None:
    text = demo_answer("baraka", "xa-council", "dietitian").plain_answer
    opening, first, *_others, close = text.splitlines()
    assert opening == "Not yet. It can be put right."
    assert first == "1. Sit the test Halvenian for Health Professionals."
    assert close.startswith("Then you can apply to Halvenian Council of Nutrition Professions")


def test_one_step_runs_on() -> None:
    text = demo_answer("thu", "xc-board", "dietitian").plain_answer
    assert "\n" not in text
    assert text.startswith("Not yet. It can be put right. Keep working as you do now until")


def test_what_nothing_mends_is_said_with_the_number_of_other_things_open() -> None:
    answer = demo_answer("kofi", "xc-board", "dietitian").answer
    assert answer.headline == "Not as the rules stand"
    assert answer.lead == (
        "One thing is in the way that nothing you do can mend: No interruption longer than "
        "twenty-nine months. Besides, three other things are open."
    )
    assert (answer.steps, answer.leads_on) == ((), False)


def test_what_can_only_be_done_by_a_day_tells_it_to_programs() -> None:
    steps = demo_answer("baraka", "xa-council", "dietitian").answer.steps
    days = [step.day for step in steps]
    assert days == [
        None,
        day_from_date(date(2027, 3, 6)),
        day_from_date(date(2027, 6, 8)),
        None,
    ]


def test_steps_of_every_person_of_the_demo_are_in_order_and_told_once() -> None:
    seen = 0
    for loaded in demo_applicants():
        for rulebook in demo_rulebooks().rulebooks:
            for title in rulebook.titles():
                assert loaded.applicant is not None
                found = assess(loaded.applicant, rulebook, title=title, on=TODAY, today=TODAY)
                texts = said(found)
                assert len(set(texts)) == len(texts)
                days = [step.day for step in found.answer.steps if step.day is not None]
                assert days == sorted(days)
                seen += len(texts)
    assert seen


def test_many_steps_after_applying_are_a_list_of_their_own() -> None:
    steps = tuple(PlainStep(f"Do {what}.") for what in ("this", "that", "the other"))
    answer = PlainAnswer("Yes", "You can apply.", after=steps)
    assert answer.text.splitlines() == [
        "Yes. You can apply. After you have applied:",
        "1. Do this.",
        "2. Do that.",
        "3. Do the other.",
    ]


def test_no_answer_has_no_text() -> None:
    assert PlainAnswer().text == ""


def test_every_verdict_has_one_headline() -> None:
    headlines = {
        (found.verdict, found.answer.headline)
        for name in ("kofi", "soren", "baraka", "ingrid", "eunbi")
        for rulebook in demo_rulebooks().rulebooks
        for title in rulebook.titles()
        for found in (demo_answer(name, rulebook.authority.id, title),)
    }
    assert headlines == {
        (Verdict.MET, "Yes"),
        (Verdict.NOT_MET, "Not yet"),
        (Verdict.NOT_MET, "Not for a while"),
        (Verdict.NOT_MET, "Not as the rules stand"),
        (Verdict.UNKNOWN, "We cannot say yet"),
        (Verdict.REFER, "This is for the authority to decide"),
    }
