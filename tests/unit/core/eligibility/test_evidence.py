"""What a file holds to show: work that goes on, papers, confirmations, entries on a matter."""

from __future__ import annotations

from comity.core.eligibility.evidence import (
    how_known,
    missing_papers,
    name_of,
    paper_words,
    papers_for,
    speaking_entries,
    work_now,
)
from tests.unit.core.eligibility.samples import applicant


def test_a_post_that_goes_on_is_told_with_whatever_is_known_of_it() -> None:
    person = applicant("""
        facts:
          practice:
            - {id: p1, employer: City Hospital, title: dietitian, start: 2024-07-15, end: ..,
               hours_a_week: 37.5}
            - {id: p2, start: 2025-03, end: ..}
            - {id: p3, end: ..}
    """)
    assert list(work_now(person)) == [
        "I work at City Hospital as dietitian for 37.5 hours a week since 15 July 2024, and go on.",
        "I am in practice since 2025-03, and go on.",
        "I am in practice, and go on.",
    ]


def test_a_post_that_has_ended_or_of_unknown_end_is_not_told_as_going_on() -> None:
    person = applicant("facts: {practice: [{id: p1, end: 2024-01-01}, {id: p2}]}")
    assert list(work_now(person)) == []


def test_no_post_goes_on_where_nobody_has_said() -> None:
    assert list(work_now(applicant("facts: {}"))) == []


def test_an_entry_speaks_of_a_matter_when_its_own_words_name_it() -> None:
    person = applicant("""
        facts:
          practice: [{id: p1, employer: Mercy Clinic, setting: community}]
          education: [{id: e1, earned: 2025-05-01, category: Ethics, note: clinic for elders}]
    """)
    assert speaking_entries("community work", person) == ("Mercy Clinic",)
    assert speaking_entries("ethics and law", person) == ("clinic for elders (1 May 2025)",)


def test_words_that_every_letter_holds_make_no_entry_speak() -> None:
    person = applicant("facts: {practice: [{id: p1, setting: practice under others}]}")
    assert speaking_entries("other practice", person) == ()


def test_a_certificate_is_named_by_what_it_certifies_and_who_issued_it() -> None:
    person = applicant("""
        facts:
          certificates: [{id: c1, of: health, authority: City Clinic, issued: 2026-01-02}]
    """)
    assert person.facts.certificates is not None
    assert name_of(person.facts.certificates[0]) == "health, City Clinic (2 January 2026)"


def test_what_issuers_confirmed_and_what_papers_show_are_told_apart() -> None:
    person = applicant("""
        facts:
          qualifications:
            - {id: q1, title: BSc Dietetics, evidence: confirmed}
            - {id: q2, title: MSc Nutrition, evidence: seen}
            - {id: q3, title: Diploma}
    """)
    assert list(how_known(person, ["person", "qualifications"])) == [
        "Confirmed by those who issued it: BSc Dietetics.",
        "Shown by papers: MSc Nutrition.",
    ]


def test_papers_that_show_a_fact_are_named_and_those_only_requested_are_not() -> None:
    person = applicant("""
        facts:
          person: {papers: [passport, proof]}
        papers:
          - {id: passport, kind: passport}
          - {id: diploma, kind: diploma}
          - {id: proof, kind: proof of name, status: requested}
    """)
    assert papers_for(person, ["person"]) == ("passport [passport]",)


def test_a_paper_of_which_little_is_known_goes_by_its_kind_and_id() -> None:
    papers = applicant("papers: [{id: d1, kind: diploma, form: plain copy}]").papers
    assert papers is not None
    assert paper_words(papers[0]) == "diploma, plain copy [d1]"


def test_what_has_still_to_be_got_is_listed_by_why_it_lacks() -> None:
    person = applicant("""
        facts:
          practice: [{id: p1, employer: City Hospital}, {id: p2, papers: [letter]}]
        papers: [{id: letter, kind: reference, status: requested}]
    """)
    assert list(missing_papers(person, ["practice", "papers"], ["a plan of return"])) == [
        "Asked for and not yet here: reference.",
        "To be prepared and attached: a plan of return.",
        "No paper on file shows: City Hospital. Attach one where you can.",
    ]


def test_nothing_has_to_be_got_where_papers_show_everything() -> None:
    person = applicant("facts: {practice: [{id: p1, evidence: seen}]}")
    assert list(missing_papers(person, ["practice"], [])) == []
