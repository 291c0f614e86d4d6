"""A requirement may name the event that chooses its edition."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from comity.core.days.calendar import Day, day_from_date
from comity.core.days.partial import parse_partial_date
from comity.core.eligibility.assess import assess
from comity.core.facts.model import Applicant, Progress
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment

EDITION = """rulebook: "{name}"
authority: {{id: xa-council, name: Council, country: XA}}
applies: {{from: {start}{until}}}
read: 2026-01-01
wholly_read: yes
titles:
  - id: dietitian
    name: Dietitian
    profession: "2265"
    milestones:
      - {{id: submission, label: Submission}}
      - {{id: exam-entry, label: Entry for the examination}}
    requires:
      - id: hours
        kind: practice
        amount: {hours} hours
        applies_by: exam-entry
        source: {{document: Rules, section: rule 1}}
      - id: nationality
        kind: nationality
        countries: [XB]
        source: {{document: Rules, section: rule 2}}
"""
TEXTS = {
    "old.yaml": EDITION.format(
        name="old", start="2024-01-01", until=", until: 2025-12-31", hours=400
    ),
    "new.yaml": EDITION.format(name="new", start="2026-01-01", until="", hours=4000),
}
APPLICANT = """applicant: case
facts:
  person: {nationality: [XB]}
  practice:
    - {id: post, start: 2024-01-01, end: 2024-12-31, hours_a_week: 20}
"""


def day(text: str) -> Day:
    return day_from_date(date.fromisoformat(text))


def assessed(entered: str | None) -> Assessment:
    loaded = load_rulebook_texts(TEXTS)
    assert not [problem for problem in loaded.problems if problem.severity == "error"]
    applicant = read_applicant(APPLICANT, "case.yaml").applicant
    assert isinstance(applicant, Applicant)
    if entered is not None:
        step = Progress(id="entry", milestone="exam-entry", on=parse_partial_date(entered))
        applicant = replace(applicant, progress=(step,))
    on = day("2026-06-01")
    return assess(applicant, loaded.rulebooks[0], title="dietitian", on=on, today=on)


def test_without_the_event_the_day_of_submission_chooses() -> None:
    found = assessed(None)
    assert found.verdict == "not met"
    assert [each.edition for each in found.requirements] == ["new", "new"]


def test_who_entered_under_the_old_edition_is_asked_what_it_asked() -> None:
    found = assessed("2025-11-30")
    hours = next(each for each in found.requirements if each.id.endswith("/hours"))
    assert found.verdict == "met"
    assert (hours.edition, hours.needed) == ("old", 400.0)
    assert next(each for each in found.requirements if each is not hours).edition == "new"


def test_who_entered_under_the_new_edition_is_asked_what_it_asks() -> None:
    found = assessed("2026-01-01")
    assert found.verdict == "not met"
    hours = next(each for each in found.requirements if each.id.endswith("/hours"))
    assert (hours.edition, hours.needed) == ("new", 4000.0)
