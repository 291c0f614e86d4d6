"""What the verdicts on single requirements come to together."""

from __future__ import annotations

import pytest

from comity.core.eligibility.context import Context, leaf_days
from comity.core.eligibility.days_of import days_of
from comity.core.facts.columns import columns_of
from comity.core.rulebook.kinds.base import Requirement
from tests.unit.core.eligibility.samples import (
    applicant,
    asking,
    assessed,
    named,
    spans,
    title_from,
)
from tests.unit.core.rulebook.samples import applies, day, edition

MILESTONES = "milestones: [{id: submission, label: Submission}, {id: decision, label: Decision}]"
PERSON = "facts: {person: {born: 1990-01-01, nationality: [XB]}}"
LATER = {
    "kind: nationality, countries: [XA]": "not met",
    "kind: refer, decided_by: the board": "refer",
    "kind: age, at_least: P60Y": "met",
    "kind: age, below: P30Y": "not met",
    "kind: paper, paper: contract": "met",
    "kind: dates, from: 2026-09-01": "met",
    "kind: any, of: [{kind: dates, from: 2027-01-01}, {kind: refer, decided_by: us}]": "met",
}


@pytest.mark.parametrize("later", LATER)
def test_what_is_checked_later_sinks_the_answer_only_if_it_can_never_be_met(later: str) -> None:
    rules = edition(
        title_from(f"""
            {MILESTONES}
            requires:
              - {{id: now, kind: age, at_least: P18Y}}
              - {{id: later, at: decision, {later}}}
        """)
    )
    assert assessed(f"{PERSON}\npapers: []", rules).verdict.value == LATER[later]


def test_what_can_never_be_met_later_leaves_no_day_for_applying() -> None:
    rules = edition(
        title_from(f"""
            {MILESTONES}
            requires: [{{id: later, at: decision, kind: nationality, countries: [XA]}}]
        """)
    )
    assert spans(assessed(PERSON, rules)) == []


def test_of_rules_not_wholly_read_the_best_answer_is_unknown() -> None:
    rules = asking("{kind: age, at_least: P18Y}", wholly_read=False)
    assert assessed(PERSON, rules).verdict.value == "unknown"


def test_what_decides_stands_first_and_what_employers_ask_last() -> None:
    rules = asking(
        "{id: wished, kind: nationality, countries: [XA], demanded_by: employers}",
        "{id: met, kind: age, at_least: P18Y}",
        "{id: open, kind: residence, countries: [XA]}",
        "{id: failing, kind: nationality, countries: [XA]}",
    )
    found = [each.id.rsplit("/", 1)[-1] for each in assessed(PERSON, rules).requirements]
    assert found == ["failing", "open", "met", "wished"]


def test_the_next_question_is_the_fact_most_requirements_wait_for() -> None:
    rules = asking(
        "{kind: residence, countries: [XA]}",
        "{kind: age, at_least: P18Y}",
        "{kind: age, at_least: P21Y}",
    )
    assert assessed("facts: {}", rules).next_question == "person/born"


def test_a_title_that_asks_for_nothing_is_met() -> None:
    found = assessed("facts: {}", asking())
    assert (found.verdict.value, found.requirements) == ("met", ())


# ------------------------------------------------------------------------------ which edition


OLD = asking(
    "{kind: age, at_least: P40Y}",
    rulebook="old",
    applies=applies(start="2020-01-01", end="2025-12-31"),
)
NEW = asking("{kind: age, at_least: P18Y}", rulebook="new", applies=applies(start="2026-01-01"))
DAYS = {"2019-06-01": "old", "2025-12-31": "old", "2026-01-01": "new", "2030-01-01": "new"}


@pytest.mark.parametrize("on", DAYS)
def test_the_day_asked_chooses_the_edition_the_next_one_before_all(on: str) -> None:
    (found,) = assessed(PERSON, OLD, NEW, on=on).requirements
    assert found.edition == DAYS[on]


def test_after_the_last_edition_the_last_one_is_shown() -> None:
    (found,) = assessed(PERSON, OLD, on="2028-01-01").requirements
    assert found.edition == "old"


OVERLAPPING = {
    "2026-12-31": "unknown",  # both apply for certain, and differ
    "2026": "met",  # the older may have ended, the newer applies for certain
}


@pytest.mark.parametrize("end", OVERLAPPING)
def test_of_editions_that_overlap_what_applies_for_certain_goes_first(end: str) -> None:
    longer = applies(start="2020-01-01", end=end)
    older = asking("{kind: age, at_least: P40Y}", rulebook="old", applies=longer)
    found = assessed(PERSON, older, NEW, on="2026-06-01")
    assert found.verdict.value == OVERLAPPING[end]


def test_what_the_edition_chosen_by_an_event_did_not_ask_is_not_asked() -> None:
    before = asking(rulebook="old", applies=applies(start="2020-01-01", end="2025-12-31"))
    after = asking(
        "{kind: age, at_least: P60Y, applies_by: submission}",
        rulebook="new",
        applies=applies(start="2026-01-01"),
    )
    submitted = f"{PERSON}\nprogress: [{{id: s1, milestone: submission, on: %s}}]"
    assert assessed(submitted % "2025-06-01", before, after).verdict.value == "met"
    assert assessed(submitted % "2026-02-01", before, after).verdict.value == "not met"


# ---------------------------------------------------------------------------- what cannot be asked


def test_a_title_no_edition_has_cannot_be_asked_for() -> None:
    with pytest.raises(LookupError, match="no edition has the title 'dietitian'"):
        assessed(PERSON)


def test_the_same_as_a_requirement_that_is_nowhere_cannot_be_worked_out() -> None:
    with pytest.raises(LookupError, match="no requirement 'gone' in '2026'"):
        assessed(PERSON, asking("{kind: same as, requirement: gone}"))


def test_outside_a_title_there_is_nothing_to_be_the_same_as() -> None:
    columns = columns_of([applicant(PERSON)], today=day("2026-06-01"))
    requirement = named("{kind: same as, requirement: adult}")
    with pytest.raises(LookupError, match="no other requirement to look up: 'adult'"):
        days_of(requirement, Context(columns))


def test_a_requirement_without_a_kind_has_no_days() -> None:
    columns = columns_of([applicant(PERSON)], today=day("2026-06-01"))
    with pytest.raises(TypeError, match="no evaluation for the kind Requirement"):
        leaf_days(Requirement(), Context(columns))
