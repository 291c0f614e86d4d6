"""Which facts would decide what is unknown, and what people call them."""

from __future__ import annotations

import pytest

from comity.core.eligibility.assessment import Verdict
from comity.core.eligibility.missing import named
from comity.core.eligibility.question_words import FIELDS
from tests.unit.core.eligibility.samples import applicant, result_of

RECENT = "start: 2024-01-01, end: .., evidence: seen"


def missing(requirement: str, facts: str, *, confirmed_only: bool = False) -> tuple[str, ...]:
    """Return the paths of the facts that would decide an unknown requirement."""
    found = result_of(requirement, facts, confirmed_only=confirmed_only)
    assert found.verdict is Verdict.UNKNOWN
    return found.missing


# One unknown fact each, which alone keeps the requirement from being met.
OPEN = {
    "practice/p1/hours_a_week": (
        "{kind: practice, amount: 6 months, run: consecutive, full_time: 40}",
        f"facts: {{practice: [{{id: p1, {RECENT}}}]}}",
    ),
    "examinations/e1/stage": (
        "{kind: examination, examination: final, stages: [{id: written}]}",
        """
        results:
          examinations: [{id: e1, examination: final, taken: 2025-01-01, outcome: passed}]
        """,
    ),
    "registrations/r1/authority": (
        "{kind: recency, within: P2Y, counts: [registration], registrations: {authorities: [xb]}}",
        f"facts: {{registrations: [{{id: r1, {RECENT}}}]}}",
    ),
    "registrations/r1/category": (
        """
        kind: bands
        anchor: after last practice day
        counts: [registration]
        registrations: {categories: [full]}
        bands: [{up_to: P1Y, requires: []}]
        """,
        f"facts: {{registrations: [{{id: r1, {RECENT}}}]}}",
    ),
    "registrations/r1/title": (
        """
        kind: examination
        examination: final
        after: registration ended
        registrations: {titles: [dietitian]}
        """,
        """
        facts: {registrations: [{id: r1, start: 2020-01-01, end: 2024-01-01}]}
        results:
          examinations: [{id: e1, examination: final, taken: 2025-01-01, outcome: passed}]
        """,
    ),
    "updating/u1/supervisor": (
        "{kind: updating, amount: 30 hours, supervisor: {registered_for: P2Y}}",
        """
        facts:
          updating:
            - {id: u1, how: supervised practice, start: 2025-01-01, end: 2025-03-01, hours: 60,
               supervisor: {same_profession: yes, sanctioned: no}}
        """,
    ),
    "registrations/r1/country": (
        "{kind: for each, over: country of practice, of: {kind: registration}}",
        f"""
        facts:
          practice: [{{id: p1, country: XA, {RECENT}}}]
          registrations: [{{id: r1, {RECENT}}}]
        """,
    ),
    "papers/l1/country": (
        "{kind: for each, over: country of stay, of: {kind: paper, paper: letter}}",
        f"""
        facts: {{stays: [{{id: s1, country: XB, {RECENT}}}]}}
        papers: [{{id: l1, kind: letter}}, {{id: o1, kind: other}}]
        """,
    ),
    "certificates/c1/authority": (
        """
        kind: for each
        over: authority of registration
        of: {kind: certificate, of: good standing}
        """,
        f"""
        facts:
          registrations: [{{id: r1, authority: xb, {RECENT}}}]
          certificates: [{{id: c1, of: good standing, issued: 2026-01-01}}]
        """,
    ),
    "examinations/e1/taken": (
        """
        kind: continuing education
        units: 10
        cycle: {length: P5Y, ends_on: 05-31, first_starts: examination}
        """,
        """
        facts: {education: [{id: c1, units: 80, earned: 2025-01-01}]}
        results: {examinations: [{id: e1, examination: final, outcome: passed}]}
        """,
    ),
    "progress/d1/on": (
        "{kind: elapsed, since: decision, at_least: P1Y}",
        """
        progress:
          - {id: d1, milestone: xa-council/dietitian/decision, on: 2025}
          - {id: d2, milestone: interview, on: 2020}
        """,
    ),
}


@pytest.mark.parametrize("path", OPEN)
def test_what_alone_keeps_the_answer_open_is_named(path: str) -> None:
    assert missing(*OPEN[path]) == (path,)


@pytest.mark.parametrize("path", OPEN)
def test_what_is_named_has_its_question(path: str) -> None:
    section, _entry, field = path.split("/")
    assert f"{section}/{field}" in FIELDS


def test_a_supervisor_of_whom_all_is_known_is_not_asked_about() -> None:
    facts = """
        facts:
          updating:
            - {id: u1, how: supervised practice, start: 2025-01-01, end: 2025-03-01,
               supervisor: {registered_since: 2010-01-01, same_profession: yes, sanctioned: no}}
    """
    requirement = "{kind: updating, amount: 30 hours, supervisor: {same_profession: yes}}"
    assert missing(requirement, facts) == ("updating/u1/hours",)


def test_where_only_confirmed_facts_count_what_is_not_confirmed_is_missing() -> None:
    facts = f"facts: {{practice: [{{id: p1, {RECENT}}}]}}"
    found = missing("{kind: recency, within: P2Y}", facts, confirmed_only=True)
    assert found == ("practice/p1",)


def test_the_same_as_another_requirement_lacks_what_that_one_lacks() -> None:
    requirement = """
        kind: all
        of:
          - {id: adult, kind: age, at_least: P18Y}
          - {kind: same as, requirement: adult}
    """
    assert missing(requirement, "facts: {}") == ("person/born",)


def test_a_part_that_is_of_no_country_is_missing_as_it_is() -> None:
    facts = f"facts: {{stays: [{{id: s1, country: XB, {RECENT}}}]}}"
    requirement = "{kind: for each, over: country of stay, of: {kind: age, at_least: P18Y}}"
    assert missing(requirement, facts) == ("person/born",)


# --------------------------------------------------------------------------------------- by name


def test_fields_of_one_entry_are_named_together_by_what_people_call_it() -> None:
    person = applicant("facts: {practice: [{id: p1}, {id: p2, employer: City Hospital}]}")
    paths = ("practice/p2/start", "practice/p1/end", "practice/p2/end")
    assert named(paths, person) == (
        "the first day and last day of City Hospital",
        "the last day of p1",
    )


def test_an_entry_to_be_confirmed_is_named_as_such() -> None:
    person = applicant("facts: {practice: [{id: p1, employer: City Hospital}]}")
    assert named(("practice/p1",), person) == ("a confirmation of City Hospital",)


def test_what_people_know_by_heart_is_named_first() -> None:
    paths = ("reviews/xa/title/conduct", "papers", "declarations/no-sanctions", "person/born")
    assert named(paths, applicant("facts: {}")) == (
        "the date of birth",
        "the answer on no sanctions",
        "papers at hand",
        "what an adviser finds on looking at it",
    )
