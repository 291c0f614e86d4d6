"""Every kind of requirement, day by day, against an oracle that shares nothing with the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from comity.core.rulebook.kinds.every import KINDS
from tests.properties.blurring import Blurred, blurred
from tests.properties.effort import examples
from tests.properties.eligibility_asking import Row, days_to_ask, evaluated, judged, world_of
from tests.properties.eligibility_strategies import CASES, applicants
from tests.properties.oracle.judging import HOLDS, JUDGES, Answer
from tests.properties.oracle.months import day_of

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.kinds.base import Requirement

MOST_DAYS_OF_BLURRED = 60
SHAPES = [
    pytest.param(requirements, sections, id=f"{kind} {number}" if number else kind)
    for kind, shapes in CASES.items()
    for number, (requirements, sections) in enumerate(shapes)
]


def test_every_kind_has_an_oracle_and_examples() -> None:
    assert set(HOLDS) | set(JUDGES) == set(KINDS)
    assert set(CASES) == set(KINDS)


def check_exact(requirement: Requirement, applicant: Applicant) -> None:
    """Assert that both rows of the evaluator say of every day what the oracle says."""
    days = evaluated(requirement, applicant)
    certain, possible = Row.of(days, 0), Row.of(days, 1)
    world = world_of(applicant)
    for number in days_to_ask(requirement, [applicant], certain, possible):
        expected = judged(requirement, world, number)
        for name, row in (("certain", certain), ("possible", possible)):
            found = row.on(number)
            assert (found.na, found.verdict) == (expected.na, expected.verdict), (
                f"{day_of(number)} {name}: the evaluator says {found}, the oracle {expected}"
            )


@pytest.mark.parametrize(("requirements", "sections"), SHAPES)
@examples(40)
@given(data=st.data())
def test_exact_facts_give_the_days_of_the_oracle(
    data: st.DataObject, requirements: st.SearchStrategy[Any], sections: tuple[str, ...]
) -> None:
    requirement = data.draw(requirements, label="requirement")
    check_exact(requirement, data.draw(applicants(*sections), label="applicant"))


def check_bracket(requirement: Requirement, blurry: Blurred) -> None:
    """Assert that what is certain holds in every completion, and what holds in one is possible."""
    days = evaluated(requirement, blurry.applicant)
    certain, possible = Row.of(days, 0), Row.of(days, 1)
    worlds = [world_of(each) for each in blurry.completions]
    asked = days_to_ask(requirement, [blurry.applicant, *blurry.completions[:3]], certain, possible)
    for number in asked[:: max(1, len(asked) // MOST_DAYS_OF_BLURRED)]:
        answers = [judged(requirement, world, number) for world in worlds]
        sure, maybe = certain.on(number), possible.on(number)
        faults = [
            *(
                name
                for name, held, may in zip(Answer._fields, sure, maybe, strict=True)
                if held > may
            ),
            *_faults_of_pair(sure, maybe, answers),
        ]
        verdict = str(days.verdict(0, number))
        if verdict != "unknown" and not _agrees(verdict, answers):
            faults.append(f"the verdict is {verdict}")
        assert not faults, (
            f"{day_of(number)}: {faults}; certain {sure}, possible {maybe}, "
            f"completions {set(answers)}"
        )


def _faults_of_pair(sure: Answer, maybe: Answer, answers: list[Answer]) -> list[str]:
    """Name the sets in which a completion lies outside the pair; where it does not apply, none."""
    applies = [each for each in answers if not each.na]
    claims = {
        "na surely": not sure.na or all(each.na for each in answers),
        "na possibly": maybe.na or not any(each.na for each in answers),
        "yes surely": not sure.yes or all(each.yes for each in applies),
        "yes possibly": maybe.yes or not any(each.yes for each in applies),
        "ok surely": not sure.ok or all(each.ok for each in applies),
        "ok possibly": maybe.ok or not any(each.ok for each in applies),
    }
    return [name for name, holds in claims.items() if not holds]


def _agrees(verdict: str, answers: list[Answer]) -> bool:
    """Whether a definite verdict is that of every completion; met may turn out not to apply."""
    drops_out = {"not applicable"} if verdict == "met" else set()
    return {each.verdict for each in answers} - drops_out <= {verdict}


@pytest.mark.parametrize(("requirements", "sections"), SHAPES)
@examples(40)
@given(data=st.data())
def test_partly_known_facts_bracket_every_completion(
    data: st.DataObject, requirements: st.SearchStrategy[Any], sections: tuple[str, ...]
) -> None:
    requirement = data.draw(requirements, label="requirement")
    applicant = data.draw(applicants(*sections), label="applicant")
    check_bracket(requirement, data.draw(blurred(applicant, sections), label="blurred"))
