"""Requirements that give points: a selection grid of 100 points of which 67 are needed.

Numbers of the grid: Canada, Immigration and Refugee Protection Regulations (SOR/2002-227), sections
76 to 83, Federal Skilled Worker Class: first language up to 24, a bachelor's degree 21, age 18 to
35 12, experience 9, 11, 13 and 15 after 1, 2, 4 and 6 years, pass mark 67 (from memory; the pass
mark and the maxima agree with pages that tell the grid). What is asked of each factor is shortened
here: only how points add up is tried.
"""

from __future__ import annotations

from datetime import date

import pytest

from comity.core.days.calendar import day_from_date, iso
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Assessment, Verdict
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts

GRID = """\
rulebook: "2026"
authority: {id: xa, name: Council, country: XA}
applies: {from: 2020-01-01}
read: 2026-05-01
wholly_read: yes
titles:
  - id: worker
    name: Worker
    profession: 2265
    requires:
      - id: grid
        kind: points
        needed: NEEDED
        source: {document: Grid, section: "76"}
        of:
          - points: 24
            for: {kind: declaration, question: Tested?, declaration: language}
          - {points: 21, for: {kind: qualification, titles: [bachelor]}}
          - {points: 12, for: {kind: age, at_least: 18 years, below: 36 years}}
          - {points: 9, for: {kind: practice, amount: 12 months, full_time: 40}}
          - {points: 2, for: {kind: practice, amount: 24 months, full_time: 40}}
          - {points: 2, for: {kind: practice, amount: 48 months, full_time: 40}}
          - {points: 2, for: {kind: practice, amount: 72 months, full_time: 40}}
"""
FILE = """\
applicant: amara-n
facts:
  person: {born: 1995-07-01}
  declarations: [{id: language, answer: yes}]
  qualifications: [{id: degree, title: bachelor, completed: 2022-06-30}]
  practice: [{id: post, employer: Clinic, start: 2024-03-01, end: .., hours_a_week: 40}]
"""


def asked(on: str, *, needed: int = 67, file: str = FILE) -> Assessment:
    """Return the answer for the one title on a day."""
    loaded = load_rulebook_texts({"grid.yaml": GRID.replace("NEEDED", str(needed))})
    assert loaded.is_sound, loaded.problems
    applicant = read_applicant(file, "amara.yaml")
    assert applicant.applicant is not None, applicant.problems
    day = day_from_date(date.fromisoformat(on))
    return assess(applicant.applicant, loaded.rulebooks[0], title="worker", on=day, today=day)


@pytest.mark.parametrize(
    ("on", "points", "verdict"),
    [
        ("2025-01-31", 57, Verdict.NOT_MET),  # language, degree and age
        ("2025-03-31", 66, Verdict.NOT_MET),  # and one year of work: one point short
        ("2026-03-31", 68, Verdict.MET),  # and two years
    ],
)
def test_points_add_up_as_years_go_by(on: str, points: int, verdict: Verdict) -> None:
    result = asked(on).requirements[0]
    assert result.verdict is verdict
    assert (result.amount, result.needed, result.unit) == (points, 67, "points")
    assert result.shortfall == max(67 - points, 0)
    assert result.reason.startswith(f"{points} of 67 points")


def test_points_are_lost_on_the_birthday() -> None:
    answer = asked("2031-06-30")
    assert answer.verdict is Verdict.MET
    # 24 + 21 + 15 without those for age
    assert asked("2031-07-01").requirements[0].amount == 60
    assert answer.requirements[0].until is not None
    assert iso(answer.requirements[0].until) == "2031-06-30"


def test_what_is_missing_is_the_smallest_part_that_is_enough() -> None:
    remedy = asked("2025-03-31").requirements[0].remedy
    assert remedy is not None
    assert remedy.earliest is not None
    assert iso(remedy.earliest).startswith("2026-0")
    assert "2026" in remedy.what


def test_a_part_that_is_not_known_leaves_it_open() -> None:
    unknown = FILE.replace("  declarations: [{id: language, answer: yes}]\n", "")
    assert asked("2026-03-31", file=unknown).verdict is Verdict.UNKNOWN
    assert asked("2026-03-31", needed=40, file=unknown).verdict is Verdict.MET
    assert asked("2026-03-31", needed=70, file=unknown).verdict is Verdict.NOT_MET


def test_more_points_than_there_are_cannot_be_asked_for() -> None:
    found = load_rulebook_texts({"grid.yaml": GRID.replace("NEEDED", "73")}).problems
    assert [(each.code, each.got) for each in found] == [("R201", "73; all parts together give 72")]
