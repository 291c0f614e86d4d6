"""Times of the calendar are told in months and days, and from their own first day."""

from __future__ import annotations

from comity.core.days.calendar import iso
from comity.core.eligibility.discretion import case_for_discretion
from comity.core.rulebook.model import Rulebook
from tests.unit.core.eligibility.samples import applicant, asking, assessed, result_of
from tests.unit.core.rulebook.samples import AUTHORITY

GAP = (
    "{kind: interruption, label: No gap, greatest: 29 months, since: qualification, "
    "anchor: after last practice day}"
)
IDLE = """
facts:
  qualifications: [{id: q, title: degree, completed: 2020-01-31}]
  practice:
    - {id: a, start: 2020-02-01, end: 2021-03-31, hours_a_week: 40}
    - {id: b, start: 2023-09-12, end: .., hours_a_week: 40}
"""


def test_a_gap_is_told_in_months_and_days() -> None:
    result = result_of(GAP, IDLE)
    # By hand: 31 March 2021 and 29 months are 31 August 2023; eleven days are left to 11 September.
    assert (result.amount_said, result.shortfall_said) == ("29 months and 11 days", "11 days")


def test_the_letter_has_no_decimals_beside_days() -> None:
    rules = asking(GAP)
    found = assessed(IDLE, rules)
    case = case_for_discretion(
        found, applicant=applicant(IDLE), rulebook=Rulebook(AUTHORITY, (rules,))
    )
    assert case.letter is not None
    (row,) = case.letter.rows
    assert (row.needed, row.has, row.shortfall) == (
        "29 months",
        "29 months and 11 days",
        "11 days over",
    )
    assert (
        case.letter.speaks_for[0]
        == "No gap: by 11 days over the 29 months allowed, and by no more."
    )


def test_an_age_within_its_limit_has_no_shortfall_to_tell() -> None:
    rule = "{kind: certificate, of: health, greatest_age: 6 months}"
    facts = "facts: {certificates: [{id: c, of: health, issued: 2026-03-01}]}"
    result = result_of(rule, facts)
    assert (result.amount_said, result.shortfall_said) == ("3 months", "")


def test_days_need_no_other_words() -> None:
    rule = "{kind: certificate, of: health, greatest_age: 90 days}"
    facts = "facts: {certificates: [{id: c, of: health, issued: 2026-03-01}]}"
    assert result_of(rule, facts).amount_said == ""


def test_what_held_before_the_oldest_edition_has_its_own_first_day() -> None:
    rule = "{kind: qualification, titles: [degree]}"
    facts = "facts: {qualifications: [{id: q, title: degree, completed: 2012-06-30}]}"
    (result,) = assessed(facts, asking(rule)).requirements
    assert result.start is not None
    assert iso(result.start) == "2012-06-30"
