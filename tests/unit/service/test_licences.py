"""Licences that are held; days by hand from the demo's own rulebooks, which are invented."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import Day, date_from_day, day_from_date
from comity.demo.caseload import demo_files
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts
from comity.service.licences import Licence, days_after, licences_of

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant

TODAY = day_from_date(date(2026, 11, 25))
TEXTS = {name: text for name, text in demo_files().items() if name.startswith("rulebooks/")}
RULEBOOKS = load_rulebook_texts(TEXTS).rulebooks
COUNCIL = """
  - {id: c1, milestone: xa-council/dietitian/decision, on: 2025-01-20}
  - {id: c2, milestone: xa-council/dietitian/registration, on: 2025-02-01}
"""
REGISTER = """
  - {id: r1, milestone: xb-register/dietitian/decision, on: 2026-10-01}
"""


def applicant(events: str, *, facts: str = "") -> Applicant:
    text = f"applicant: ada\nprogress:{events}{facts}"
    found = read_applicant(text, "ada.yaml").applicant
    assert found is not None
    return found


def only(person: Applicant) -> Licence:
    (found,) = licences_of(person, RULEBOOKS, today=TODAY)
    return found


def on(day: Day | None) -> date | None:
    return None if day is None else date_from_day(day)


def test_nothing_is_held_before_the_milestone_it_counts_from() -> None:
    assert licences_of(applicant(" []\n"), RULEBOOKS, today=TODAY) == ()


def test_days_of_a_licence_that_waits_to_be_taken_up() -> None:
    days = {
        each.key.rpartition("/")[2]: on(each.day) for each in days_after(only(applicant(REGISTER)))
    }
    # Taken up within 3 months of the decision; 30 months from the decision.
    assert days == {"claim": date(2027, 1, 1), "ends": date(2029, 4, 1)}


def test_days_of_a_licence_that_was_taken_up() -> None:
    days = {
        each.key.rpartition("/")[2]: on(each.day) for each in days_after(only(applicant(COUNCIL)))
    }
    # 3 years from the entry; renewal opens 3 months before the end, a month of grace after it.
    assert days == {
        "renewal-opens": date(2027, 11, 1),
        "ends": date(2028, 2, 1),
        "grace": date(2028, 3, 1),
    }


def test_a_licence_that_has_ended_is_held_no_more() -> None:
    person = applicant(COUNCIL.replace("2025", "2022"))
    assert licences_of(person, RULEBOOKS, today=TODAY) == ()


def test_a_registration_at_the_authority_itself_is_a_licence() -> None:
    facts = """
facts:
  registrations:
    - {id: own, authority: xa-council, title: dietitian, start: 2025-02-01, end: ..}
"""
    found = only(applicant(" []", facts=facts))
    assert on(found.days.ends) == date(2028, 2, 1)
    assert found.days.claim_by is None


def test_the_ledger_counts_units_and_categories() -> None:
    facts = """
facts:
  education:
    - {id: a, earned: 2026-03-01, units: 20, category: clinical}
    - {id: b, earned: 2026-09-01, units: 4, category: ethics}
    - {id: old, earned: 2024-06-01, units: 9, category: clinical}
"""
    total, ethics = only(applicant(COUNCIL, facts=facts)).ledger
    # 57 units within the 3 years before the end on 2028-02-01; the course of 2024 is too old.
    assert (total.have, total.needed, total.left) == (24, 57, 33)
    assert (ethics.have, ethics.needed, ethics.left) == (4, 6, 2)
    # 433 days to go, 14.23 months of 365.2425 / 12 days.
    months = 433 / (365.2425 / 12)
    assert total.a_month == pytest.approx(33 / months)
    # 24 units in the last twelve months, so 2 a month go on.
    assert total.forecast == pytest.approx(24 + 2 * months)


def test_practice_that_stopped_grows_too_old_on_a_day() -> None:
    facts = """
facts:
  practice:
    - {id: post, title: dietitian, setting: clinical, start: 2020-01-01, end: 2026-01-31,
       hours_a_week: 40, country: XN, registered: yes}
"""
    found = only(applicant(REGISTER, facts=facts))
    assert not found.is_practising
    # Renewal asks practice in the last thirty months: the last day counts to 2028-07-31.
    assert on(found.too_old_on) == date(2028, 8, 1)
    keys = [each.key.rpartition("/")[2] for each in days_after(found)]
    assert "practice" in keys


def test_practice_that_goes_on_is_watched_but_no_day_to_be_reminded_of() -> None:
    facts = """
facts:
  practice:
    - {id: post, title: dietitian, setting: clinical, start: 2020-01-01, end: ..,
       hours_a_week: 40, country: XN, registered: yes}
"""
    found = only(applicant(REGISTER, facts=facts))
    assert found.is_practising
    assert found.too_old_on is not None
    assert "practice" not in [each.key.rpartition("/")[2] for each in days_after(found)]
