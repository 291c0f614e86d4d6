"""Requirement sets that real authorities have published, and what they make of applicants.

Each folder holds the set as editions of a rulebook, in our own words and with its sources, and
`cases.yaml`: applicants on the day before, on and after each boundary, with the verdicts that
follow from the text of the rule, worked out by hand. README.md says more.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import yaml

from comity.core.days.calendar import Day, day_from_date, iso
from comity.core.eligibility.assess import assess
from comity.files.applicants import read_applicant
from comity.files.rendering import render
from comity.files.rulebooks import load_rulebooks

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment, RequirementResult
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

HERE = Path(__file__).parent
FOLDERS = sorted(path.parent for path in HERE.glob("*/cases.yaml"))

OF_A_REQUIREMENT = {
    "verdict", "amount", "needed", "unit", "shortfall", "from", "until", "missing", "deemed_by"
}  # fmt: skip
OF_THE_WHOLE = {
    "expect", "requirements", "earliest", "pathway", "edition", "conditions"
}  # fmt: skip


@dataclass(frozen=True)
class Question:
    """One applicant and one day, with what the text of the rule makes of them."""

    folder: Path
    case: dict[str, Any]
    on: date
    expected: dict[str, Any]

    def __str__(self) -> str:
        return f"{self.folder.name}: {self.case['id']} on {self.on}"


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


def questions() -> list[Question]:
    return [
        Question(folder, case, on, expected)
        for folder in FOLDERS
        for case in page(folder)["cases"]
        for on, expected in case["days"].items()
    ]


def day(value: date) -> Day:
    return day_from_date(value)


def answer(question: Question) -> Assessment:
    case = question.case
    return assess(
        applicant(question.folder, case["applicant"]),
        rulebook(question.folder),
        title=case["title"],
        on=day(question.on),
        today=day(case.get("today", question.on)),
        assumption=case.get("assume", "continues"),
    )


def found_of(result: RequirementResult, asked: dict[str, Any]) -> dict[str, Any]:
    """Return what the result says of everything that the case asks about."""
    values = {
        "verdict": str(result.verdict),
        "amount": result.amount,
        "needed": result.needed,
        "unit": result.unit,
        "shortfall": result.shortfall,
        "from": None if result.start is None else date.fromisoformat(iso(result.start)),
        "until": None if result.until is None else date.fromisoformat(iso(result.until)),
        "missing": list(result.missing),
        "deemed_by": result.deemed_by,
    }
    return {key: values[key] for key in asked}


def as_asked(expected: str | dict[str, Any]) -> dict[str, Any]:
    asked = {"verdict": expected} if isinstance(expected, str) else expected
    assert asked.keys() <= OF_A_REQUIREMENT, asked
    return {
        key: pytest.approx(value, abs=0.01) if isinstance(value, float) else value
        for key, value in asked.items()
    }


@pytest.mark.parametrize("question", questions(), ids=str)
def test_an_applicant_gets_what_the_published_text_says(question: Question) -> None:
    assessment = answer(question)
    results = {result.id.rsplit("/", 1)[-1]: result for result in assessment.requirements}
    expected = question.expected
    assert expected, "a day that expects nothing proves nothing"
    assert expected.keys() <= OF_THE_WHOLE, expected
    asked = {name: as_asked(each) for name, each in expected.get("requirements", {}).items()}
    found = {name: found_of(results[name], each) for name, each in asked.items()}
    assert found == asked
    if "expect" in expected:
        assert str(assessment.verdict) == expected["expect"]
    if "earliest" in expected:
        earliest = assessment.earliest
        assert earliest is not None
        assert iso(earliest) == str(expected["earliest"])
    if "pathway" in expected:
        assert assessment.pathway == expected["pathway"]
    if "edition" in expected:
        assert {result.edition for result in assessment.requirements} == {expected["edition"]}
    if "conditions" in expected:
        assert list(assessment.conditions) == expected["conditions"]


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_set_says_where_it_is_published_and_how_it_was_read(folder: Path) -> None:
    marks = ("Read in", "Secondary", "From memory")
    for edition in rulebook(folder).editions:
        assert not edition.fictional
        assert edition.sources
        for document in edition.sources.values():
            assert document.edition, f"{document.title}: say its edition, or that it is undated"
            assert document.title.rstrip().endswith(")"), document.title
            assert any(mark.lower() in document.title.lower() for mark in marks), document.title
        for title in edition.titles:
            assert all(requirement.source for requirement in title.requires)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_case_says_where_it_is_from_and_how_it_was_worked(folder: Path) -> None:
    content = page(folder)
    assert content["typed_by"]
    names = [case["id"] for case in content["cases"]]
    assert len(names) == len(set(names))
    for case in content["cases"]:
        assert case["rule"], case["id"]
        assert case["worked"], case["id"]
    assert {case["applicant"] for case in content["cases"]} == set(content["applicants"])
