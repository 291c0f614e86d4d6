"""What can hardly be meant is doubted, and what is merely early or late is not."""

from __future__ import annotations

import pytest

from comity.core.facts.plausible import doubts
from tests.unit.core.eligibility.samples import applicant
from tests.unit.core.rulebook.samples import day

TODAY = day("2026-11-25")


def codes(text: str) -> list[tuple[str, str]]:
    """Return the codes of the doubts with the last step of their paths."""
    return [(each.code, str(each.path[-1])) for each in doubts(applicant(text), today=TODAY)]


@pytest.mark.parametrize(
    ("completed", "found"),
    [
        ("2019-02-02", []),
        # By hand: born on 1 February 2004, fifteen on 1 February 2019.
        ("2019-01-31", [("F321", "completed")]),
        ("2019", []),
        ("unknown", []),
    ],
)
def test_a_training_before_the_fifteenth_birthday_is_doubted(
    completed: str, found: list[tuple[str, str]]
) -> None:
    text = f"""
    facts:
      person: {{born: 2004-02-01}}
      qualifications: [{{id: q, completed: {completed}}}]
    """
    assert codes(text) == found


def test_without_a_date_of_birth_nothing_is_doubted() -> None:
    assert codes("facts: {qualifications: [{id: q, completed: 1990}]}") == []
    assert (
        codes("facts: {person: {born: unknown}, qualifications: [{id: q, completed: 1990}]}") == []
    )


@pytest.mark.parametrize(("hours", "n_doubts"), [("100", 0), ("100.5", 1), ("37:30", 0)])
def test_more_than_a_hundred_hours_a_week_are_doubted(hours: str, n_doubts: int) -> None:
    text = f"facts: {{practice: [{{id: p, start: 2020, end: .., hours_a_week: '{hours}'}}]}}"
    assert len(codes(text)) == n_doubts


def test_a_paper_asked_for_may_come_later() -> None:
    assert codes("papers: [{id: p, kind: letter, status: requested, issued: 2027-01-01}]") == []
    assert codes("papers: [{id: p, kind: letter, issued: 2027-01-01}]") == [("F324", "issued")]


def test_a_day_of_issue_of_which_the_year_alone_is_known_is_not_doubted_in_that_year() -> None:
    assert codes("papers: [{id: p, kind: letter, issued: 2026}]") == []


def test_a_training_may_be_completed_in_some_years() -> None:
    assert codes("facts: {qualifications: [{id: q, completed: 2030-06-30}]}") == []
    assert codes("facts: {qualifications: [{id: q, completed: 2037-06-30}]}") == [
        ("F324", "completed")
    ]


def test_the_same_paid_twice_is_doubted_and_a_second_attempt_is_not() -> None:
    first = "{id: a, purpose: application, amount: 205.00 EUR, on: 2026-11-02}"
    assert codes(f"payments: [{first}]") == []
    again = first.replace("id: a", "id: b")
    assert codes(f"payments: [{first}, {again}]") == [("P302", "1")]
    for more in ("attempt: 2}", "refunded: 2026-11-09}"):
        assert codes(f"payments: [{first}, {again[:-1]}, {more}]") == []


def test_a_payment_that_lies_ahead_is_doubted() -> None:
    text = "payments: [{id: a, purpose: entry, amount: 95.00 EUR, on: 2026-11-26}]"
    assert codes(text) == [("F324", "on")]
