"""What is printed for programs is what the reference says."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.demo.caseload import demo_applicants, demo_rulebooks
from comity.service.assessment_json import Data, assessments_data

PAGE = Path(__file__).parents[3] / "docs/reference/json.md"
TODAY = day_from_date(date(2026, 11, 25))
DAY = re.compile(r"\d{4}-\d\d-\d\d")


def answers() -> list[Data]:
    """Return the answers for two people of the demo on every title."""
    people = {
        each.applicant.applicant: each.applicant for each in demo_applicants() if each.applicant
    }
    return assessments_data(
        [
            assess(people[name], rulebook, title=title, on=TODAY, today=TODAY)
            for name in ("soren", "kofi")
            for rulebook in demo_rulebooks().rulebooks
            for title in rulebook.titles()
        ]
    )


def documented(heading: str) -> set[str]:
    """Return the keys which one table of the page tells of."""
    section = PAGE.read_text(encoding="utf-8").split(f"## {heading}")[1].split("\n## ")[0]
    rows = re.findall(r"^\| (`.*?) \|", section, re.MULTILINE)
    return {key for row in rows for key in re.findall(r"`(\w+)`", row)}


def test_every_key_is_documented_and_no_other() -> None:
    for answer in answers():
        assert set(answer) == documented("An assessment")
        for requirement in (*answer["requirements"], *answer["requirements"][0]["parts"]):
            assert set(requirement) == documented("A requirement")


def test_windows_follow_each_other_and_their_days_are_iso_dates() -> None:
    seen = 0
    for answer in answers():
        days = [day for window in answer["windows"] for day in (window["from"], window["until"])]
        known = [day for day in days if day is not None]
        assert all(DAY.fullmatch(day) for day in known)
        assert known == sorted(known)
        assert {window["certainty"] for window in answer["windows"]} <= {"certain", "possible"}
        seen += len(known)
    assert seen


def test_the_answers_survive_json_with_every_script() -> None:
    found = answers()
    assert json.loads(json.dumps(found, ensure_ascii=False)) == found
