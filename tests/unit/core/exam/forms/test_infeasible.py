"""Why no form can be made: told in words, and minimal."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from comity.core.exam.assembly import assemble
from comity.core.exam.assembly_request import Assembled, Infeasible, Request
from comity.core.exam.blueprints import Blueprint, Domain, Levels, Part
from comity.core.exam.items import NumberAnswer
from tests.unit.core.exam.forms.made_up import EVENLY, a_bank, a_blueprint, an_item

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.items import BestAnswer


def items_of(**cells: int) -> list[BestAnswer]:
    """Return items of domains and levels, as food_recall=3."""
    return [
        an_item(f"{cell.replace('_', '-')}-{n}", *cell.split("_"))
        for cell, count in cells.items()
        for n in range(count)
    ]


def why(
    items: Sequence[BestAnswer], blueprint: Blueprint, request: Request | None = None
) -> Infeasible:
    found = assemble(a_bank(items), blueprint, request or Request())
    assert isinstance(found, Infeasible)
    return found


def test_a_quota_that_the_bank_cannot_fill_is_told_with_both_numbers() -> None:
    judging = Levels(recall=Fraction(0), apply=Fraction(1, 4), judge=Fraction(3, 4))
    items = items_of(monitoring_apply=20, monitoring_judge=7)
    found = why(items, a_blueprint("monitoring", n_items=16, levels=judging))
    assert found == Infeasible(
        reasons=("the blueprint asks 12 items of monitoring at level judge, the bank has 7",)
    )


def test_a_quota_for_several_forms_says_so() -> None:
    found = why(items_of(food_recall=5, food_apply=9), a_blueprint("food"), Request(n_forms=3))
    assert found.reasons == (
        "the blueprint asks 2 items of food at level recall for each of 3 forms, the bank has 5",
    )


def test_too_little_time_is_told_in_minutes_and_helps_when_given() -> None:
    items = [replace(item, seconds=90) for item in items_of(food_recall=4, food_apply=4)]
    found = why(items, a_blueprint("food", minutes=5))
    assert found.reasons == ("at most 5 minutes: 1.0 minutes too many",)
    assert isinstance(assemble(a_bank(items), a_blueprint("food", minutes=6), Request()), Assembled)


def test_items_that_may_not_meet_are_told_as_what_stands_in_the_way() -> None:
    items = [
        an_item("one", "food", "recall", not_with=("other",)),
        an_item("other", "food", "apply"),
    ]
    found = why(items, a_blueprint("food", n_items=2))
    assert found.reasons == ("at most one of one, other: 1 item too many",)
    assert "no two items meet that tell each other" in found.together


def test_a_case_too_large_for_the_quotas_is_not_cut() -> None:
    items = [an_item(f"ward-{n}", "food", "recall", case="ward") for n in range(3)]
    found = why([*items, *items_of(food_apply=2)], a_blueprint("food"))
    assert found.together == ("2 items of food at level recall",)
    assert found.reasons[-1] == ("the items of a case come together, here up to 3 of one sort")


def test_an_overlap_that_cannot_be_kept_is_told_by_the_earlier_form() -> None:
    items = items_of(food_recall=3, food_apply=3)
    earlier = frozenset(item.id for item in items[:5])
    request = Request(earlier=(earlier,), most_shared=1)
    found = why(items, a_blueprint("food"), request)
    assert found.reasons == ("at most 1 item of earlier form 1: 2 too many",)
    assert isinstance(
        assemble(a_bank(items), a_blueprint("food"), replace(request, most_shared=3)), Assembled
    )


def test_conditions_told_together_hold_once_any_one_of_them_is_dropped() -> None:
    """The deletion filter by hand: time, level and score, each droppable by the request."""
    items = [replace(item, seconds=120) for item in items_of(food_recall=2, food_apply=2)]
    items += [replace(item, seconds=10) for item in items_of(food_judge=4)]
    found = why(items, a_blueprint("food", minutes=4))
    assert set(found.together) == {
        "2 items of food at level recall",
        "2 items of food at level apply",
        "at most 4 minutes",
    }
    for dropped in ("level", "time"):
        request = Request(leave_aside=frozenset({dropped}))
        blueprint = a_blueprint("food", minutes=4)
        assert isinstance(assemble(a_bank(items), blueprint, request), Assembled)


def test_forms_that_only_fail_apart_are_told_so() -> None:
    """The two items at level apply are short enough together, but one of them is not alone."""
    items = [
        *items_of(food_recall=2),
        an_item("x", "food", "apply", seconds=200),
        an_item("y", "food", "apply", seconds=20),
    ]
    blueprint = a_blueprint("food", n_items=2, minutes=3)
    found = why(items, blueprint, Request(n_forms=2))
    says = (
        "the bank has items enough for 2 forms together, but they cannot be parted so that each"
        " form keeps every condition: ask for 1, or let the conditions have some slack"
    )
    assert found.reasons == (says,)


def test_no_items_at_all_are_told_as_quotas() -> None:
    other = items_of(law_recall=4, law_apply=4)
    found = why(other, a_blueprint("food"))
    assert found.reasons[0] == "the blueprint asks 4 items of food, the bank has 0"


def test_slack_lets_levels_differ_and_domains_not() -> None:
    items = items_of(food_recall=1, food_apply=5, care_recall=3, care_apply=3)
    blueprint = a_blueprint("food", "care", n_items=8)
    assert why(items, blueprint).reasons == (
        "the blueprint asks 2 items of food at level recall, the bank has 1",
    )
    fewer = why(items[1:], blueprint, Request(slack=1, n_items=12))
    assert fewer.reasons[1] == (
        "the blueprint asks 3 items of food at level recall, give or take 1, the bank has 0"
    )
    found = assemble(a_bank(items), blueprint, Request(slack=1))
    assert isinstance(found, Assembled)
    domains = [key[0] for key, n in found.forms[0].counts.items() for _ in range(n)]
    assert domains.count("food") == domains.count("care") == 4


PARTED = Blueprint(
    blueprint="parted",
    n_items=4,
    levels=EVENLY,
    domains=(
        Domain(
            id="care",
            name="Care",
            share=Fraction(1),
            numeric=Fraction(1, 4),
            parts=(
                Part(id="adults", name="Adults", share=Fraction(3, 4)),
                Part(id="children", name="Children", share=Fraction(1, 4)),
            ),
        ),
    ),
)


def number(id_: str, domain: str, level: str) -> NumberAnswer:
    plain = an_item(id_, domain, level)
    return NumberAnswer(
        id=id_, domain=domain, level=plain.level, stem=plain.stem, source="made up, 2026",
        number=Fraction(3),
    )  # fmt: skip


def test_parts_and_calculations_are_kept_as_the_blueprint_shares_them() -> None:
    items = [
        *items_of(adults_recall=3, adults_apply=3, children_recall=3, children_apply=3),
        number("sum-1", "children", "apply"),
        number("sum-2", "adults", "recall"),
    ]
    found = assemble(a_bank(items), PARTED, Request())
    assert isinstance(found, Assembled)
    taken = found.forms[0].items
    assert sum(id_.startswith("sum") for id_ in taken) == 1
    children = {item.id for item in items if item.domain == "children"}
    assert len(children & set(taken)) == 1


def test_parts_left_aside_may_be_filled_by_one_of_them() -> None:
    items = [*items_of(children_recall=3, children_apply=3), number("sum-1", "children", "apply")]
    assert not isinstance(assemble(a_bank(items), PARTED, Request()), Assembled)
    request = Request(leave_aside=frozenset({"part"}))
    assert isinstance(assemble(a_bank(items), PARTED, request), Assembled)


def test_calculations_that_the_bank_lacks_are_told_and_may_be_left_aside() -> None:
    items = items_of(adults_recall=3, adults_apply=3, children_recall=3)
    assert why(items, PARTED).reasons == (
        "the blueprint asks 1 item of care that calculates, the bank has 0",
    )
    request = Request(leave_aside=frozenset({"calculating"}))
    assert isinstance(assemble(a_bank(items), PARTED, request), Assembled)


def test_a_request_that_no_time_suffices_for_is_not_called_impossible() -> None:
    items = items_of(food_recall=60, food_apply=60, care_recall=60, care_apply=60)
    request = Request(seconds=1e-9)
    found = assemble(a_bank(items), a_blueprint("food", "care", n_items=40), request)
    assert isinstance(found, Infeasible)
    assert not found.is_proved
    says = (
        "in 1e-09 seconds no form was found, and none was shown to be impossible: give it more"
        " time, or ask for less"
    )
    assert found.reasons == (says,)


@pytest.mark.parametrize("n_forms", [2, 3])
def test_forms_made_at_once_share_nothing_and_are_alike(n_forms: int) -> None:
    items = items_of(food_recall=20, food_apply=20, care_recall=20, care_apply=20)
    blueprint = a_blueprint("food", "care", n_items=8)
    found = assemble(a_bank(items), blueprint, Request(n_forms=n_forms))
    assert isinstance(found, Assembled)
    assert all(not set(a.items) & set(b.items) for a, b in combinations(found.forms, 2))
    information = [form.information for form in found.forms]
    assert max(information) - min(information) < 0.001 * found.bound


def test_right_answers_that_no_form_reaches_are_told_in_their_unit() -> None:
    items = items_of(food_recall=4, food_apply=4)
    found = why(items, a_blueprint("food"), Request(at=0.0, score=(2.5, 3.0)))
    assert found.reasons == (
        "2.5 to 3 right answers expected at the cut: 0.50 right answers too few",
    )


def test_a_condition_that_fails_alone_stands_alone() -> None:
    judging = Levels(recall=Fraction(0), apply=Fraction(1, 2), judge=Fraction(1, 2))
    items = [an_item(f"ward-{n}", "food", "judge", case="ward") for n in range(3)]
    found = why([*items, *items_of(food_apply=3)], a_blueprint("food", levels=judging))
    assert found.together == ("2 items of food at level judge",)


def test_too_little_time_for_several_forms_is_told_for_all_of_them() -> None:
    items = [replace(item, seconds=90) for item in items_of(food_recall=4, food_apply=4)]
    found = why(items, a_blueprint("food", minutes=5), Request(n_forms=2))
    assert found.reasons == ("at most 5 minutes for each of 2 forms: 2.0 minutes too many in all",)


def test_conditions_are_told_together_where_time_for_more_is_short(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    items = [replace(item, seconds=90) for item in items_of(food_recall=40, food_apply=40)]
    monkeypatch.setattr("comity.core.exam.infeasible._SECONDS_EACH", 0.0)
    found = why(items, a_blueprint("food", minutes=5))
    assert found.reasons[0].startswith("no condition fails by itself; these cannot be kept")
    assert "at most 5 minutes" in found.together
