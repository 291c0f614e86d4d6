"""Letters of facts to an authority that decides case by case, or whose rule is missed by little."""

from __future__ import annotations

from dataclasses import replace

from comity.core.eligibility.discretion import (
    Case,
    Letter,
    LetterRow,
    case_for_discretion,
)
from comity.core.rulebook.model import Rulebook
from tests.unit.core.eligibility.samples import applicant, asking, assessed, title_from
from tests.unit.core.rulebook.samples import AUTHORITY, edition

REFERRED = """
    id: long-absence
    label: Return after a long absence
    kind: refer
    decided_by: the education committee
    factors: [supervised clinical work, anything published]
    prepare: [a plan of return]
    source: {document: The rules, section: "7"}
"""
PRACTICE = """
    id: practised
    label: Two years of practice
    kind: practice
    amount: 24 months
    full_time: 37.5
    look_back: P3Y
    source: {document: The rules, section: "3"}
"""
OVER_THE_LIMIT = """
    id: gap
    label: No long gap
    kind: recency
    within: P24M
    source: {document: The rules}
"""
ADULT = "{id: adult, label: Of age, kind: age, at_least: P18Y, source: {document: Act}}"
DECLARED = """
    {id: sound, label: Sound, kind: declaration, declaration: sound, question: Are you well?}
"""
NATIONALITY = "{id: national, label: A national, kind: nationality, countries: [XA]}"
CONFLICT = """
    id: hours
    label: Hours of practice
    kind: conflict
    source: {document: The rules, section: "9"}
    of:
      - kind: nationality
        countries: [XA]
        source: {document: the rules, section: "9"}
      - kind: nationality
        countries: [XB]
        source: {document: the guide, edition: "2025"}
"""
AT_WORK = """
    name: Amara N.
    facts:
      person: {born: 1990-04-02, nationality: [XB]}
      practice:
        - {id: p1, employer: City Hospital, title: dietitian, setting: clinical,
           start: 2024-07-15, end: .., hours_a_week: 37.5, evidence: confirmed}
    papers:
      - {id: log, kind: clinical log, form: original, issued: 2026-05-01, translated_into: [en]}
"""


def case_of(facts: str, *rules: str, rulebook: Rulebook | None = None) -> Case:
    """Return the case for discretion of a file, under rules as they stand in a rulebook."""
    person = applicant(facts)
    book = rulebook or Rulebook(AUTHORITY, (asking(*rules),))
    found = assessed(person, *book.editions)
    return case_for_discretion(found, applicant=person, rulebook=book)


def letter_of(facts: str, *rules: str) -> Letter:
    """Return the letter of a case that has one."""
    letter = case_of(facts, *rules).letter
    assert letter is not None
    return letter


def test_a_letter_says_what_is_decided_case_by_case_and_what_the_file_holds_on_it() -> None:
    letter = letter_of(AT_WORK, REFERRED)
    assert letter.subject == "Dietitian: request to look at my case"
    assert letter.facts[1] == (
        "Return after a long absence (The rules, 7). You ask: Decided case by case by the "
        "education committee; looking at supervised clinical work, anything published; to prepare: "
        "a plan of return."
    )
    assert letter.rows == (
        LetterRow("Return after a long absence", "decided case by case", "", "", "The rules, 7"),
    )
    assert (
        "You look at supervised clinical work. On that: City Hospital (15 July 2024) and "
        "clinical log (1 May 2026)."
    ) in letter.speaks_for


def test_a_letter_goes_to_the_authority_and_whoever_decides_each_once() -> None:
    letter = letter_of(AT_WORK, REFERRED, REFERRED.replace("long-absence", "second"))
    assert letter.to == ("Council of Dietitians", "The education committee")
    assert letter.sender == ("Amara N.",)


def test_a_letter_names_whom_the_authority_wants_to_be_written_to() -> None:
    authority = replace(AUTHORITY, contact="registrar@council.example")
    book = Rulebook(authority, (asking(REFERRED),))
    letter = case_of(AT_WORK, rulebook=book).letter
    assert letter is not None
    assert letter.to[-1] == "Registrar@council.example"


def test_what_is_missed_by_a_tenth_at_most_is_put_with_the_amount_and_the_day() -> None:
    letter = letter_of(AT_WORK, PRACTICE)
    assert letter.subject == "Dietitian: request to accept what falls a little short"
    assert letter.facts[1] == (
        "Two years of practice (The rules, 3). You ask: 24 months of full-time practice (37.5 "
        "hours a week) within the 3 years before submission. The facts: 22.5 of 24 months of "
        "practice counted in the last 3 years. If my work goes on as it does now, it could be met "
        "from 14 July 2026 at the earliest."
    )
    assert letter.rows == (
        LetterRow(
            "Two years of practice", "24 months", "22.58 months", "1.42 months", "The rules, 3"
        ),
    )
    assert letter.speaks_for[0] == (
        "Two years of practice: by 1.42 months short of the 24 asked for, and by no more."
    )


def test_what_lies_over_a_limit_is_said_to_lie_over_it() -> None:
    facts = """
        facts:
          practice: [{id: p1, start: 2020-01-01, end: 2024-05-01, hours_a_week: 37.5}]
    """
    letter = letter_of(facts, OVER_THE_LIMIT)
    assert letter.rows[0].shortfall == "1 month over"
    assert (
        letter.speaks_for[0]
        == "No long gap: by 1 month over the 24 months allowed, and by no more."
    )


def test_what_is_more_than_asked_for_speaks_for_discretion() -> None:
    assert (
        "Of age: 36 years, where you ask for 18." in letter_of(AT_WORK, REFERRED, ADULT).speaks_for
    )


def test_the_letter_counts_what_is_met_among_what_concerns_the_applicant() -> None:
    not_concerned = NATIONALITY[:-1] + ", when: {kind: nationality, countries: [XC]}}"
    opening = letter_of(AT_WORK, REFERRED, ADULT, not_concerned).facts[0]
    assert opening.endswith("Of the 2 requirements that concern me, 1 are met on that day.")


def test_where_texts_differ_the_readings_stand_side_by_side() -> None:
    letter = letter_of(AT_WORK, CONFLICT)
    assert letter.subject == "Dietitian: a question on your requirements"
    assert letter.facts[1] == (
        "Your texts differ on “Hours of practice”. The rules, 9: Nationality of XA. By this "
        "reading: not met (nationality: XB; XA asked). The guide, 2025: Nationality of XB. By this "
        "reading: met (nationality: XB; XB asked)."
    )
    assert letter.facts[2] == (
        "I ask you to tell me which of these readings holds, and what else you would need to see."
    )
    assert letter.rows[0].needed == "your texts differ"


def test_a_letter_on_a_conflict_and_a_case_asks_for_both() -> None:
    assert letter_of(AT_WORK, CONFLICT, REFERRED).facts[-1] == (
        "I ask you to tell me which of these readings holds and look at these facts and tell me "
        "whether you can accept them, and what else you would need to see."
    )


def test_papers_at_hand_are_to_be_attached_where_a_case_is_decided_one_by_one() -> None:
    assert letter_of(AT_WORK, REFERRED).papers == (
        "clinical log, original, issued 1 May 2026, translated into en [log]",
    )


def test_the_sender_is_told_what_discretion_does_not_help_with_and_what_is_missing() -> None:
    assert letter_of(AT_WORK, REFERRED, NATIONALITY, DECLARED).cautions[:5] == (
        "Discretion here does not help with what is not met besides: A national.",
        "Still to be known: Sound.",
        (
            "They look at anything published. Nothing in the file speaks to it; add what you can "
            "show, or leave it out."
        ),
        "To be prepared and attached: a plan of return.",
        "Every sentence is measured from the file. Correct it, and add what only you can tell.",
    )


def test_what_employers_ask_is_no_matter_for_a_letter_to_the_authority() -> None:
    asked_by_employers = f"{REFERRED}    demanded_by: employers\n"
    assert case_of(AT_WORK, asked_by_employers).letter is None


def test_a_letter_on_the_same_as_another_requirement_is_about_that_one() -> None:
    rules = edition(
        title_from("requires: [{id: gone, kind: same as, requirement: dietician/long-absence}]"),
        replace(title_from(f"requires:\n  -{REFERRED[4:]}"), id="dietician"),
    )
    letter = case_of(AT_WORK, rulebook=Rulebook(AUTHORITY, (rules,))).letter
    assert letter is not None
    assert letter.to == ("Council of Dietitians", "The education committee")


def test_without_the_edition_in_the_rulebook_a_letter_keeps_to_what_the_assessment_says() -> None:
    person = applicant(AT_WORK)
    found = assessed(person, asking(REFERRED))
    other = Rulebook(AUTHORITY, (asking(REFERRED, rulebook="2030"),))
    letter = case_for_discretion(found, applicant=person, rulebook=other).letter
    assert letter is not None
    assert (letter.to, letter.papers) == (("Council of Dietitians",), ())


def test_there_is_nothing_to_ask_where_everything_is_met() -> None:
    case = case_of(AT_WORK, ADULT)
    assert case.letter is None
    assert case.says[0] == "There is nothing to ask discretion for: met on that day."
    assert case.says[1].startswith("Yes. ")


def test_it_is_too_early_for_a_letter_while_facts_are_unknown() -> None:
    assert case_of("facts: {}", ADULT).says[0] == (
        "It is too early for a letter: the answer still hangs on facts that are not known."
    )


def test_what_is_missed_by_far_gets_no_letter_but_its_reasons() -> None:
    case = case_of(AT_WORK, NATIONALITY, ADULT)
    assert case.letter is None
    assert case.says[:2] == (
        (
            "Nothing here is left to the authority's discretion, and nothing is missed by so "
            "little that a letter of facts would be likely to help:"
        ),
        "A national: nationality: XB; XA asked.",
    )
    assert case.says[-1] == (
        "Other titles and other authorities may ask for less: compare them with comity assess."
    )
