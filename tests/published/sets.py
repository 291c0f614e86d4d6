"""Sets of requirements with applicants on and around each boundary, as files.

A set is a folder: `rulebook/*.yaml` are its editions, `cases.yaml` has applicants, days, and what
the text of the rule makes of them, worked out by hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest
import yaml

from comity.core.days.calendar import Day, day_from_date, iso
from comity.core.eligibility.assess import assess
from comity.files.applicants import read_applicant
from comity.files.rendering import render
from comity.files.rulebooks import load_rulebooks

if TYPE_CHECKING:
    from pathlib import Path

    from comity.core.eligibility.assessment import Assessment, RequirementResult
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

OF_A_REQUIREMENT = frozenset(
    ("verdict", "amount", "needed", "unit", "shortfall", "from", "until", "missing", "deemed_by")
)
OF_THE_WHOLE = frozenset(
    ("expect", "requirements", "earliest", "pathway", "edition", "conditions", "remedy", "coming")
)


@dataclass(frozen=True)
class Question:
    """One applicant and one day, with what the text of the rule makes of them."""

    folder: Path
    case: dict[str, Any]
    on: date
    expected: dict[str, Any]

    def __str__(self) -> str:
        return f"{self.folder.name}: {self.case['id']} on {self.on}"


def folders_in(place: Path) -> list[Path]:
    return sorted(path.parent for path in place.glob("*/cases.yaml"))


@cache
def page(folder: Path) -> dict[str, Any]:
    content: dict[str, Any] = yaml.safe_load((folder / "cases.yaml").read_text(encoding="utf-8"))
    return content


@cache
def rulebook(folder: Path) -> Rulebook:
    loaded = load_rulebooks([folder / "rulebook"])
    assert loaded.problems == (), render(loaded.problems, loaded.texts)
    (only,) = loaded.rulebooks
    return only


@cache
def applicant(folder: Path, name: str) -> Applicant:
    text = page(folder)["applicants"][name]
    loaded = read_applicant(f"applicant: {name}\n{text}", f"{folder.name}/{name}")
    assert loaded.problems == (), render(loaded.problems, {loaded.file: loaded.text})
    assert loaded.applicant is not None
    return loaded.applicant


def questions(folders: list[Path]) -> list[Question]:
    return [
        Question(folder, case, on, expected)
        for folder in folders
        for case in page(folder)["cases"]
        for on, expected in case["days"].items()
    ]


def answer(question: Question) -> Assessment:
    case = question.case
    return assess(
        applicant(question.folder, case["applicant"]),
        rulebook(question.folder),
        title=case["title"],
        on=_day(question.on),
        today=_day(case.get("today", question.on)),
        assumption=case.get("assume", "continues"),
    )


def check(question: Question) -> None:
    """Assert that the answer is what the case expects, in everything it speaks of."""
    assessment, expected = answer(question), question.expected
    assert expected, "a day that expects nothing proves nothing"
    assert expected.keys() <= OF_THE_WHOLE, expected
    results = {result.id.rsplit("/", 1)[-1]: result for result in assessment.requirements}
    asked = {name: _asked(each) for name, each in expected.get("requirements", {}).items()}
    assert {name: _found(results[name], each) for name, each in asked.items()} == asked
    said = _said(assessment)
    rest = {key: value for key, value in expected.items() if key != "requirements"}
    assert {key: said[key] for key in rest} == rest


def _day(value: date) -> Day:
    return day_from_date(value)


def _date(day: Day | None) -> date | None:
    return None if day is None else date.fromisoformat(iso(day))


def _asked(expected: str | dict[str, Any]) -> dict[str, Any]:
    asked = {"verdict": expected} if isinstance(expected, str) else expected
    assert asked.keys() <= OF_A_REQUIREMENT, asked
    return {
        key: pytest.approx(value, abs=0.01) if isinstance(value, float) else value
        for key, value in asked.items()
    }


def _found(result: RequirementResult, asked: dict[str, Any]) -> dict[str, Any]:
    values = {
        "verdict": str(result.verdict),
        "amount": result.amount,
        "needed": result.needed,
        "unit": result.unit,
        "shortfall": result.shortfall,
        "from": _date(result.start),
        "until": _date(result.until),
        "missing": list(result.missing),
        "deemed_by": result.deemed_by,
    }
    return {key: values[key] for key in asked}


def _said(assessment: Assessment) -> dict[str, Any]:
    return {
        "expect": str(assessment.verdict),
        "earliest": _date(assessment.earliest),
        "pathway": assessment.pathway,
        "edition": " and ".join(sorted({each.edition for each in assessment.requirements})),
        "conditions": list(assessment.conditions),
        "remedy": [remedy.what for remedy in assessment.remedies],
        "coming": [each.edition for each in assessment.coming],
    }
