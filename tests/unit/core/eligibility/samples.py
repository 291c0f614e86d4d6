"""Small cases as they stand in files: requirements, facts, editions, and what is found on them."""

from __future__ import annotations

from dataclasses import replace
from textwrap import dedent
from typing import TYPE_CHECKING, Any

from comity.core.days.calendar import iso
from comity.core.eligibility.assess import assess
from comity.core.eligibility.inquiry import Inquiry, Question
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Rulebook, Title
from comity.files.reading import read
from comity.files.yaml import read_tree
from tests.unit.core.rulebook.samples import AUTHORITY, day, edition, requirement, title

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Assessment, Assumption, RequirementResult
    from comity.core.eligibility.view import View
    from comity.core.rulebook.kinds.base import Requirement
    from comity.core.rulebook.model import Edition

TODAY = "2026-06-01"


def applicant(text: str) -> Applicant:
    """Return an applicant as the file's sections stand, the id left out."""
    node, problems = read_tree(f"applicant: case\n{dedent(text)}", "test.yaml")
    assert node is not None, problems
    found = read(node, Applicant)
    assert found.value is not None, found.problems
    return found.value


def named(text: str, name: str = "it") -> Requirement:
    """Return a requirement with an id."""
    found = requirement(text)
    return found if found.id else replace(found, id=name)


def title_from(text: str) -> Title:
    """Return a title as its requirements and pathways stand in a file."""
    head = "id: dietitian\nname: Dietitian\nprofession: '2265'\n"
    node, problems = read_tree(head + dedent(text), "test.yaml")
    assert node is not None, problems
    found = read(node, Title)
    assert found.value is not None, found.problems
    return found.value


def asking(*requirements: str, **fields: Any) -> Edition:  # noqa: ANN401  (any field of it)
    """Return an edition that asks for requirements as they stand in a file."""
    listed = tuple(named(text, f"r{number}") for number, text in enumerate(requirements))
    return edition(title(requires=listed), **fields)


def assessed(
    facts: str | Applicant,
    *editions: Edition,
    on: str = TODAY,
    today: str | None = None,
    **options: Any,  # noqa: ANN401  (assumption, confirmed_only)
) -> Assessment:
    """Return the assessment of a file under some editions, asked on that day unless said."""
    return assess(
        applicant(facts) if isinstance(facts, str) else facts,
        Rulebook(AUTHORITY, editions),
        title="dietitian",
        on=day(on),
        today=day(today or on),
        **options,
    )


def result_of(
    text: str,
    facts: str,
    *,
    on: str = TODAY,
    **options: Any,  # noqa: ANN401  (as for an assessment)
) -> RequirementResult:
    """Return what one requirement says."""
    (result,) = assessed(facts, asking(text), on=on, **options).requirements
    return result


def view_of(
    text: str, facts: str, *, on: str = TODAY, assumption: Assumption = "continues"
) -> tuple[Requirement, View]:
    """Return a requirement and the view of a case from the day asked."""
    rules = asking(text)
    question = Question("dietitian", day(on), day(on), assumption)
    inquiry = Inquiry(applicant(facts), Rulebook(AUTHORITY, (rules,)), question)
    return rules.titles[0].requires[0], inquiry.view


def spans(found: Assessment | RequirementResult) -> list[tuple[str, str, str]]:
    """Return the windows with their days as text, an open end as ``..``."""

    return [
        (
            ".." if window.start is None else iso(window.start),
            ".." if window.until is None else iso(window.until),
            window.certainty,
        )
        for window in found.windows
    ]
