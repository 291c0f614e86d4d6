"""Every kind of requirement, day by day, against an oracle that shares nothing with the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from comity.core.rulebook.kinds.every import KINDS
from tests.properties.effort import examples
from tests.properties.eligibility_asking import Row, days_to_ask, evaluated, judged, world_of
from tests.properties.eligibility_strategies import CASES, applicants
from tests.properties.oracle.judging import HOLDS, JUDGES
from tests.properties.oracle.months import day_of

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.kinds.base import Requirement

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
