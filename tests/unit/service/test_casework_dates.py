"""The days to keep in mind come from papers, posts and sittings, and from open dates."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from comity.core.days.calendar import day_from_date, iso
from comity.service.casework_dates import coming_dates
from comity.service.editing import read_document
from tests.unit.service.casework_cases import TODAY, case_of

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant

FILE = """\
applicant: titi
facts:
  practice:
    - {id: ward, employer: City Hospital, start: 2020, end: 2027-03-31}
    - {id: old, employer: Old Clinic, start: 2010, end: 2012}
  registrations:
    - {id: home, authority: Home Register, end: 2027-06}
    - {id: open, authority: Open Register, end: ..}
  certificates:
    - {id: good, of: good standing, expires: 2026-10-01}
    - {id: health, of: health, expires: 2019}
papers:
  - {id: passport, kind: passport, expires: 2027-01-15}
  - {id: far, kind: licence card, expires: 2040}
results:
  language: [{id: a, test: Halvenian, taken: 2027-02-01}]
  examinations: [{id: b, examination: halvenian-dietetics, taken: 2020-02-01}]
progress:
  - {id: c, milestone: xa-council/dietitian/registration, on: 2027-05-01}
"""


def dates(applicant: Applicant) -> list[tuple[str, str, str, bool, bool]]:
    found = coming_dates(applicant, (), today=TODAY)
    return [(iso(d.day), d.sort, d.subject, d.is_past, d.is_about) for d in found]


def test_what_lapses_ends_or_is_booked_is_listed_the_nearest_first() -> None:
    assert dates(read_document(FILE)) == [
        ("2026-10-01", "certificate lapses", "certificate of good standing", True, False),
        ("2027-01-15", "paper lapses", "passport", False, False),
        ("2027-02-01", "sitting", "Halvenian", False, False),
        ("2027-03-31", "practice ends", "City Hospital", False, False),
        ("2027-05-01", "event", "registration", False, False),
        ("2027-06-01", "registration ends", "Home Register", False, True),
    ]


def test_open_dates_that_begin_and_end_and_coming_rules_are_listed() -> None:
    case = case_of("thu")
    found = case.coming_dates(case.answers())
    assert ("2027-01-13", "window opens") in [(iso(d.day), d.sort) for d in found]
    assert ("2027-02-14", "window closes") in [(iso(d.day), d.sort) for d in found]
    kofi = case_of("kofi")
    rules = [each for each in kofi.coming_dates(kofi.answers()) if each.sort == "other rules"]
    assert [iso(each.day) for each in rules] == ["2027-02-01"]


def test_a_day_known_by_its_entry_leads_to_it() -> None:
    found = coming_dates(read_document(FILE), (), today=TODAY)
    assert "papers/passport" in {each.entry for each in found}


def test_a_day_more_than_two_years_ahead_is_left_out() -> None:
    passport = read_document("applicant: x\npapers:\n  - {id: p, kind: passport, expires: 2029}\n")
    assert coming_dates(passport, (), today=TODAY) == ()
    near = day_from_date(date(2028, 1, 1))
    assert len(coming_dates(passport, (), today=near)) == 1
