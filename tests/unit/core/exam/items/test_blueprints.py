"""Blueprints: wholes stay wholes, however they are weighed or cut into items."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from comity.core.declaring.fields import complaints_of
from comity.core.exam.blueprints import (
    Blueprint,
    Domain,
    Levels,
    Part,
    apportioned,
    quotas,
    reweighted,
    unknown_domains,
)
from comity.core.exam.items import Bank, Level
from tests.unit.core.exam.items.test_items import BEST

LEVELS = Levels(recall=Fraction(1, 5), apply=Fraction(11, 20), judge=Fraction(1, 4))
PARTS = (
    Part(id="adults", name="Adults", share=Fraction(1, 4)),
    Part(id="children", name="Children", share=Fraction(1, 4)),
)
BLUEPRINT = Blueprint(
    blueprint="x",
    levels=LEVELS,
    domains=(
        Domain(id="assessment", name="Finding out", share=Fraction(1, 2)),
        Domain(id="acting", name="Acting", share=Fraction(1, 2), parts=PARTS),
    ),
)


def test_quotas_sum_to_the_form_and_keep_to_the_shares() -> None:
    found = quotas(BLUEPRINT, 40)
    assert sum(found.values()) == 40
    assert found["acting", Level.APPLY] == 11
    assert [found["assessment", level] for level in Level] == [4, 11, 5]


def test_the_largest_remainders_get_what_is_left_over() -> None:
    """Hamilton's method: seats by largest remainder (Balinski and Young, Fair Representation,
    1982): 26 seats over 9061, 7179, 5259, 3319, 1182 are 9, 7, 5, 4, 1; from memory, and worked
    out anew by hand: the exact shares are 9.061, 7.179, 5.259, 3.319 and 1.182."""
    whole = [9061, 7179, 5259, 3319, 1182]
    shares = [Fraction(each, sum(whole)) for each in whole]
    assert apportioned(shares, 26) == (9, 7, 5, 4, 1)


@given(st.lists(st.integers(1, 50), min_size=1, max_size=9), st.integers(0, 200))
def test_whole_numbers_sum_and_lie_next_to_their_share(weights: list[int], n_items: int) -> None:
    shares = [Fraction(weight, sum(weights)) for weight in weights]
    counts = apportioned(shares, n_items)
    assert sum(counts) == n_items
    assert all(abs(n - n_items * share) < 1 for n, share in zip(counts, shares, strict=True))


def test_other_weights_are_brought_to_a_whole_and_parts_keep_their_proportion() -> None:
    other = reweighted(BLUEPRINT, {"acting": Fraction(3, 2)})
    assert [domain.share for domain in other.domains] == [Fraction(1, 4), Fraction(3, 4)]
    assert [part.share for part in other.domains[1].parts] == [Fraction(3, 8), Fraction(3, 8)]
    assert [*complaints_of(other), *complaints_of(other.domains[1])] == []


def test_a_domain_can_be_weighed_out_and_in_again() -> None:
    without = reweighted(BLUEPRINT, {"acting": Fraction(0)})
    back = reweighted(without, {"acting": Fraction(1)})
    assert without.domains[1].share == 0
    assert back == BLUEPRINT


@pytest.mark.parametrize("weights", [{"other": 1}, {"acting": -1}, {"acting": 0, "assessment": 0}])
def test_weights_that_make_no_whole_are_refused(weights: dict[str, int]) -> None:
    asked = {id_: Fraction(weight) for id_, weight in weights.items()}
    with pytest.raises(ValueError, match=r"no domain|zero or more"):
        reweighted(BLUEPRINT, asked)


def test_an_item_may_name_a_domain_or_a_part_of_one() -> None:
    assert BLUEPRINT.domain_of("children") == BLUEPRINT.domains[1]
    assert list(unknown_domains(Bank(bank="x", items=(BEST,)), BLUEPRINT)) == []


def test_a_domain_nobody_knows_is_told() -> None:
    other = Blueprint(blueprint="y", levels=LEVELS, domains=BLUEPRINT.domains[1:])
    found = list(unknown_domains(Bank(bank="x", items=(BEST,)), other))
    assert [(complaint.code, complaint.path) for complaint in found] == [
        ("X212", ("items", 0, "domain"))
    ]
