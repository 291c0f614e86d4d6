"""What an applicant is told: one headline, each step once, in the order in which it is done."""

from __future__ import annotations

from datetime import date
from functools import cache
from typing import TYPE_CHECKING

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Assessment, PlainAnswer, PlainStep, Verdict
from comity.demo.caseload import demo_applicants, demo_rulebooks
from tests.unit.core.eligibility.samples import asking, assessed, title_from
from tests.unit.core.rulebook.samples import edition

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

TODAY = day_from_date(date(2026, 11, 25))


@cache
def people() -> dict[str, Applicant]:
    """Return the people of the demo."""
    found = (each.applicant for each in demo_applicants())
    return {each.applicant: each for each in found if each is not None}


@cache
def rulebooks() -> dict[str, Rulebook]:
    """Return the rulebooks of the demo."""
    return {each.authority.id: each for each in demo_rulebooks().rulebooks}


def demo_answer(applicant: str, authority: str, title: str) -> Assessment:
    """Return the assessment of a person of the demo."""
    return assess(people()[applicant], rulebooks()[authority], title=title, on=TODAY, today=TODAY)


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
            "Shortly before you apply, ask for a new certificate of good standing and ask for a "
            "new criminal record certificate from Nyarazi; done earlier, it would have lapsed by "
            "then."
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
    for person in people():
        for authority, rulebook in rulebooks().items():
            for title in rulebook.titles():
                found = demo_answer(person, authority, title)
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
        for authority, rulebook in rulebooks().items()
        for title in rulebook.titles()
        for found in (demo_answer(name, authority, title),)
    }
    assert headlines == {
        (Verdict.MET, "Yes"),
        (Verdict.NOT_MET, "Not yet"),
        (Verdict.NOT_MET, "Not for a while"),
        (Verdict.NOT_MET, "Not as the rules stand"),
        (Verdict.UNKNOWN, "We cannot say yet"),
        (Verdict.REFER, "This is for the authority to decide"),
    }


STANDING = """
kind: at least
k: 2
of:
  - kind: qualification
    titles: [internship]
    least_level: 7
  - kind: registration
  - kind: continuing education
    units: 20
    look_back: 12 months
"""
"""An internship of unknown level is one proof, units a second, a registration a third."""
INTERN = """
facts:
  qualifications:
    - {id: intern, title: internship, completed: 2020-06-30}
  registrations:
    - {id: own, authority: xe-board, title: dietitian, start: 2015-01-01, end: ..}
  education:
    - {id: e1, earned: 2026-01-10, units: 19, category: any}
"""


def test_an_unknown_part_names_another_way_to_settle_it() -> None:
    found = assessed(INTERN, asking(STANDING))
    (result,) = found.requirements
    assert result.verdict is Verdict.UNKNOWN
    assert result.missing == ("qualifications/intern/level",)
    assert result.remedy is not None
    assert result.remedy.what == "Earn 1 more unit"
    assert found.plain_answer == (
        "We cannot say yet. We still need to know: the level of internship. Or settle it without: "
        "Earn 1 more unit."
    )


def test_what_is_not_on_file_at_all_is_asked_for_before_another_way_is_named() -> None:
    facts = "facts:\n  registrations: []\n"
    found = assessed(facts, asking(STANDING))
    assert found.verdict is Verdict.UNKNOWN
    assert found.requirements[0].remedy is None
    assert found.answer.steps == ()


def test_two_ways_are_both_said() -> None:
    rules = """
    kind: any
    of:
      - {kind: language, tests: [{test: Harbour English, parts: {writing: 7}}]}
      - {kind: practice, amount: 36 months, full_time: 40}
    """
    facts = """
    facts:
      practice:
        - id: post
          start: 2023-08-01
          end: 2026-05-31
          hours_a_week: 40
          setting: clinical
          registered: yes
    results: {language: []}
    """
    found = assessed(facts, asking(rules))
    # By hand: 36 months are 1095 days; 1035 are worked, and 60 more begin on 1 June.
    assert said(found) == [
        "Sit the test Harbour English. Or: work full time until 30 July 2026.",
    ]


def test_working_at_two_places_in_the_rules_is_said_once_with_the_last_day() -> None:
    rules = "{{kind: practice, amount: {} months, full_time: 40}}"
    facts = "facts: {practice: []}"
    found = assessed(facts, asking(*(rules.format(n) for n in (6, 12, 9))))
    assert said(found) == ["Work full time until 31 May 2027."]


def test_waiting_is_not_said_beside_what_takes_longer() -> None:
    age = "{kind: age, at_least: P30Y}"
    work = "{kind: practice, amount: 6 months, full_time: 40}"
    facts = "facts: {person: {born: 1996-07-01}, practice: []}"
    assert said(assessed(facts, asking(age, work))) == ["Work full time until 30 November 2026."]


def test_waiting_longer_than_working_is_said_last() -> None:
    age = "{kind: age, at_least: P30Y}"
    work = "{kind: practice, amount: 1 month, full_time: 40}"
    facts = "facts: {person: {born: 1996-12-01}, practice: []}"
    assert said(assessed(facts, asking(age, work))) == [
        "Work full time until 1 July 2026.",
        "Wait until 1 December 2026; there is nothing else you need to do for this.",
    ]


def test_a_title_without_a_pathway_for_a_person_points_to_other_rules() -> None:
    whole = title_from("""
        requires: []
        pathways:
          - id: nationals
            label: Nationals
            when: {kind: nationality, countries: [XB]}
            requires: []
    """)
    found = assessed("facts: {person: {nationality: [XA]}}", edition(whole))
    assert found.verdict is Verdict.NOT_MET
    assert found.plain_answer == (
        "Not meant for you. None of its pathways is open to you. Ask us which rules are meant for "
        "you."
    )


def test_three_things_in_the_way_of_each_other_are_told_one_by_one() -> None:
    # Each pair has days in common, and the three have none.
    rules = (
        (
            "{kind: any, label: First, of: [{kind: dates, from: 2026-07-01, until: 2026-07-31}, "
            "{kind: dates, from: 2026-08-01, until: 2026-08-31}]}"
        ),
        (
            "{kind: any, label: Second, of: [{kind: dates, from: 2026-08-01, until: 2026-08-31}, "
            "{kind: dates, from: 2026-09-01, until: 2026-09-30}]}"
        ),
        (
            "{kind: any, label: Third, of: [{kind: dates, from: 2026-07-01, until: 2026-07-31}, "
            "{kind: dates, from: 2026-09-01, until: 2026-09-30}]}"
        ),
    )
    found = assessed("facts: {}", asking(*rules))
    assert found.never_together == ()
    assert found.answer.headline == "Not as things stand"
    assert found.answer.lead.startswith(
        "Each point can be put right, but we see no day on which all of them hold together."
    )
    assert not found.answer.leads_on


def test_a_second_way_names_only_what_is_different_in_it() -> None:
    assert said(demo_answer("yasmin", "xb-register", "associate")) == [
        (
            "Get your supervisor's letter. Earn 13 more units. Or: work full time until 30 January "
            "2027."
        ),
    ]


def test_without_a_day_of_applying_nothing_is_told_of_what_comes_after_it() -> None:
    found = demo_answer("yasmin", "xc-board", "dietitian")
    assert found.earliest is None
    assert found.answer.after == ()


def test_units_of_the_running_cycle_have_no_later_day_than_the_application() -> None:
    text = demo_answer("rosalind", "xc-board", "practising").plain_answer
    assert "Earn 4 more units. As soon as" in text
    assert text.endswith("Hand it in by 11 December 2026.")
