"""What stands behind verdicts on training, registration and the person."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult

BSC = "facts: {{qualifications: [{{id: q1, title: BSc, completed: 2024-06-01{}}}]}}"
XB = "facts: {registrations: [{id: r1, authority: xb, start: 2024-06-01, end: ..}]}"


def figures(found: RequirementResult) -> tuple[float | None, ...]:
    """Return amount, needed and shortfall."""
    return found.amount, found.needed, found.shortfall


# ------------------------------------------------------------------------------------- training


def bsc(requirement: str, more: str = "", *, confirmed_only: bool = False) -> RequirementResult:
    """Return what is said of a bachelor's degree of 1 June 2024, asked on 1 June 2026."""
    text = f"{{kind: qualification, titles: [BSc], {requirement}}}"
    return result_of(text, BSC.format(more), confirmed_only=confirmed_only)


def test_a_programme_too_short_by_months_is_measured_in_months() -> None:
    found = bsc("least_length: P4Y", ", length: P3Y")
    assert found.reason == "the nearest is BSc: it lasted 3 years, 4 years asked"
    assert (*figures(found), found.unit) == (36.0, 48.0, 12.0, "months")


def test_a_programme_too_short_by_days_is_measured_in_days() -> None:
    found = bsc("least_length: P100D", ", length: P90D")
    assert (*figures(found), found.unit) == (90.0, 100.0, 10.0, "days")


def test_days_held_against_months_are_told_but_not_measured() -> None:
    found = bsc("least_length: P4M", ", length: P90D")
    assert found.reason == "the nearest is BSc: it lasted 90 days, 4 months asked"
    assert figures(found) == (None, None, None)


def test_only_what_is_confirmed_is_told_where_only_that_counts() -> None:
    found = bsc("within: P1Y", ", evidence: confirmed}, {id: q0, title: Other", confirmed_only=True)
    assert found.reason == "BSc, completed 2024-06-01"
    assert (*figures(found), found.unit) == (24.0, 12.0, 12.0, "months")


def test_time_since_a_qualification_is_measured_in_the_unit_of_the_rule() -> None:
    found = bsc("at_least_ago: P1000D")
    assert (*figures(found), found.unit) == (730.0, 1000.0, 270.0, "days")


def test_a_qualification_that_lies_ahead_is_not_measured() -> None:
    found = result_of("{kind: qualification}", BSC.format("").replace("2024", "2027"))
    assert (found.reason, found.amount) == ("BSc, completed 2027-06-01", None)


def test_a_qualification_without_its_day_leaves_the_answer_open() -> None:
    found = result_of(
        "{kind: qualification, at_least_ago: P1Y}", "facts: {qualifications: [{id: q1}]}"
    )
    assert found.reason == "not certain yet; still open: the day of completion of q1"


ORDER = {
    ("2020-01-01", "2021-01-01"): "met",
    ("2021-01-01", "2021-01-01"): "met",
    ("2021-01-02", "2021-01-01"): "not met",
}


@pytest.mark.parametrize("days", ORDER)
def test_a_qualification_has_to_follow_the_other_at_any_distance(days: tuple[str, str]) -> None:
    first, second = days
    facts = f"""
        facts:
          qualifications:
            - {{id: q1, title: BSc, completed: {first}}}
            - {{id: q2, title: Internship, completed: {second}}}
    """
    found = result_of("{kind: qualification, titles: [Internship], following: [BSc]}", facts)
    assert found.verdict.value == ORDER[days]
    assert found.says == "A qualification as Internship, completed after the qualification BSc"


LACKS = {
    "completed_from: 2025-01-01": "it was completed outside the dates allowed",
    "completed_until: 2023-01-01": "it was completed outside the dates allowed",
    "least_hours: {taught: 100}, total_hours: 300": (
        "it lacks 50 hours of taught and 230 hours in all"
    ),
    "shares: [{category: placement, share: 1/3, of: actual total}]": (
        "it lacks 3:20 hours of placement"
    ),
    "shares: [{category: placement, share: 1/3, of: stated hours, hours: 90}]": (
        "it lacks 10 hours of placement"
    ),
    "total_hours: 120, shares: [{category: placement, share: 1/2, of: required total}]": (
        "it lacks 40 hours of placement and 50 hours in all"
    ),
}


@pytest.mark.parametrize("requirement", LACKS)
def test_the_nearest_qualification_tells_what_it_lacks(requirement: str) -> None:
    found = bsc(requirement, ", hours: {taught: 50, placement: 20}")
    assert found.reason == f"the nearest is BSc: {LACKS[requirement]}"


def test_hours_that_lack_can_be_stated_or_made_up() -> None:
    found = bsc(
        "least_hours: {taught: 100}, equivalent_to: [MSc]", ", hours: {}, equivalent_to: []"
    )
    assert found.remedy is not None
    assert found.remedy.what == "Ask for an evaluation that states: MSc"


# --------------------------------------------------------------------------------- registration


def test_a_registration_not_held_long_enough_is_measured() -> None:
    found = result_of("{kind: registration, for_at_least: P1000D}", XB)
    assert found.reason == "registered since 2024-06-01, still held"
    assert (*figures(found), found.unit) == (730.0, 1000.0, 270.0, "days")


def test_a_registration_that_begins_later_is_told_as_such() -> None:
    found = result_of("{kind: registration}", XB.replace("2024", "2027"))
    assert found.reason == "the registration on file has not begun, or its days are not known"


def test_the_run_that_was_long_enough_and_lasted_until_lately_is_the_one_told() -> None:
    facts = """
        facts:
          registrations:
            - {id: r1, start: 2015-01-01, end: 2018-01-01}
            - {id: r2, start: 2025-09-01, end: 2025-11-30}
            - {id: r3, start: 2026-05-01, end: ..}
    """
    found = result_of("{kind: registration, held: ever, within: P1Y, for_at_least: P6M}", facts)
    assert found.reason == "registered since 2025-09-01, held until 2025-11-30"


def test_the_authoritys_own_register_comes_first_under_the_titles_asked() -> None:
    requirement = "{kind: registration, authorities: [xa-council], titles: [dietitian, chef]}"
    remedy = result_of(requirement, "facts: {registrations: []}").remedy
    assert remedy is not None
    assert remedy.what == (
        "First be entered in the register of Council of Dietitians itself as dietitian or chef"
    )


# --------------------------------------------------------------------------- the person, the time


SAID = {
    ("{kind: age}", "facts: {person: {born: 1990-01-01}}"): "36 years old",
    ("{kind: age, below: P30Y}", "facts: {person: {born: 1990-01-01}}"): "36 years old",
    ("{kind: age, below: P15Y}", "facts: {person: {born: 2008}}"): "born 2008",
    ("{kind: residence, countries: [XA, XB]}", "facts: {person: {residence: XC}}"): (
        "residence: XC; XA or XB asked"
    ),
    ("{kind: nationality, countries: [XA]}", "facts: {person: {nationality: []}}"): (
        "nationality: not on file; XA asked"
    ),
    ("{kind: dates, from: 2026-07-01}", "facts: {}"): "asked for 2026-06-01",
    (
        "{kind: elapsed, since: submission}",
        "progress: [{id: d, milestone: submission, on: 2026-01-01}]",
    ): ("Submission: on 2026-01-01"),
    ("{kind: elapsed, since: letter-of-offer}", "facts: {}"): "letter of offer: not yet",
    ("{kind: refer, decided_by: the board, factors: [age, health]}", "facts: {}"): (
        "the board decides case by case; it looks at age and health"
    ),
    (
        "{kind: declaration, declaration: d, question: Well?}",
        "facts: {declarations: [{id: d, answer: no}]}",
    ): ("Well? Answer: no"),
}


@pytest.mark.parametrize("case", SAID)
def test_what_is_known_of_the_person_is_said(case: tuple[str, str]) -> None:
    assert result_of(*case).reason == SAID[case]


def test_time_after_a_milestone_is_measured_up_to_its_end() -> None:
    found = result_of(
        "{kind: elapsed, since: decision, within: P3M}",
        "progress: [{id: d, milestone: decision, on: 2026-01-01}]",
    )
    assert (*figures(found), found.unit) == (5.0, 3.0, 2.0, "months")


def test_time_after_a_milestone_is_measured_in_days_where_the_rule_counts_days() -> None:
    found = result_of(
        "{kind: elapsed, since: decision, at_least: P300D}",
        "progress: [{id: d, milestone: decision, on: 2026-01-01}]",
    )
    assert (*figures(found), found.unit) == (151.0, 300.0, 149.0, "days")


STEPS = {
    "": "then after that",
    ", at_least: P1M": "then at least 1 month after that",
    ", at_least: P1M, within: P1Y": "then at least 1 month and at most 1 year after that",
}


@pytest.mark.parametrize("limits", STEPS)
def test_what_comes_after_another_step_names_that_step(limits: str) -> None:
    found = result_of(f"{{kind: elapsed, since: decision{limits}}}", "facts: {}")
    assert found.remedy is not None
    assert found.remedy.what == (
        f"Only after: decision, which has not happened yet; {STEPS[limits]}"
    )


HAPPENED = {
    "facts: {}": "met",
    "progress: [{id: d, milestone: refusal, on: 2026-01-01}]": "not met",
    "progress: [{id: d, milestone: refusal, on: 2020-01-01}]": "met",
}


@pytest.mark.parametrize("facts", HAPPENED)
def test_a_milestone_that_need_not_have_happened_stands_in_the_way_only_if_it_did(
    facts: str,
) -> None:
    text = "{kind: elapsed, since: refusal, at_least: P2Y, happened: no}"
    assert result_of(text, facts).verdict.value == HAPPENED[facts]


LEAP = {"2027-02-28": "met", "2027-03-01": "not met", "2028-02-29": "met", "2028-03-01": "not met"}


@pytest.mark.parametrize("on", LEAP)
def test_the_end_of_february_is_an_end_in_every_year(on: str) -> None:
    found = result_of("{kind: dates, every_year_until: 02-29}", "facts: {}", on=on)
    assert found.verdict.value == LEAP[on]


def test_the_last_review_by_hand_tells_who_found_what() -> None:
    review = "requirement: xa-council/dietitian/conduct, by: Ada"
    facts = f"""
        results:
          reviews:
            - {{id: v1, {review}, verdict: not met, on: 2026-01-01, reason: too short}}
            - {{id: v2, {review}, verdict: met, on: 2025-01-01, reason: long}}
    """
    found = result_of("{id: conduct, kind: by hand, text: Conduct, checked_by: Ada}", facts)
    assert found.reason == "Ada found it not met on 2026-01-01: too short"


def test_whoever_decides_case_by_case_begins_the_sentence_with_a_capital() -> None:
    remedy = result_of(
        "{kind: refer, decided_by: the board, prepare: [a plan]}", "facts: {}"
    ).remedy
    assert remedy is not None
    assert remedy.what == "Prepare a case for the board: a plan"
    assert remedy.plain.startswith("The board looks at cases like yours one by one.")
