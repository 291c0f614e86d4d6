"""Forms spoilt by hand are found out; and what is done where the solver does not deliver."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
import pytest

from comity.core.exam import assembly, assembly_splitting
from comity.core.exam.assembly import assemble
from comity.core.exam.assembly_apart import kept_apart
from comity.core.exam.assembly_checks import faults_of
from comity.core.exam.assembly_request import Assembled, Form, Request
from comity.core.exam.assembly_solving import Programme, Solved, solve
from comity.core.exam.assembly_units import supply_of
from tests.unit.core.exam.forms.made_up import a_bank, a_blueprint, an_item

if TYPE_CHECKING:
    from collections.abc import Mapping

ITEMS = tuple(
    an_item(
        f"i{n}",
        "food",
        ("recall", "apply")[n % 2],
        seconds=60,
        case="ward" if n in {8, 9} else None,
        not_with=("i2",) if n == 0 else (),
    )
    for n in range(12)
)
BANK, BLUEPRINT = a_bank(ITEMS), a_blueprint("food", minutes=5)
REQUEST = Request(
    at=0.0,
    earlier=(frozenset({"i1", "i3"}),),
    most_shared=1,
    score=(1.0, 3.0),
    without=frozenset({"i11"}),
)


def _sound() -> Form:
    found = assemble(BANK, BLUEPRINT, REQUEST)
    assert isinstance(found, Assembled)
    return found.forms[0]


SOUND = _sound()


@pytest.mark.parametrize(
    ("spoilt", "says"),
    [
        ({"seconds": 301}, "301 seconds, more than 5 minutes"),
        ({"expected_score": 3.5}, "3.500 right answers expected, not 1 to 3"),
        ({"shared": (2,)}, "2 items of earlier form 1"),
        ({"counts": {("food", "recall"): 3, ("food", "apply"): 1}}, "3 items of food at level"),
        ({"counts": {}}, "0 items of food, not 4"),
        ({"items": ("i4", "i5", "i6")}, "3 items, not 4"),
        ({"items": ("i4", "i4", "i5", "i6")}, "an item twice"),
        ({"items": ("i0", "i2", "i5", "i6")}, "i0 and i2 meet"),
        ({"items": ("i4", "i5", "i6", "i9")}, "the case ward is not whole"),
        ({"items": ("i4", "i5", "i6", "i11")}, "i11 was not to be used"),
    ],
)
def test_a_form_that_breaks_a_condition_is_found_out(
    spoilt: Mapping[str, object], says: str
) -> None:
    supply = supply_of(BANK, BLUEPRINT, REQUEST, parameters=None, errors=None)
    form = replace(SOUND, **spoilt)  # type: ignore[arg-type]
    found = faults_of((form,), supply, BLUEPRINT, request=REQUEST)
    assert any(fault.startswith(f"form 1: {says}") for fault in found)


def test_a_sound_form_has_no_fault_and_two_of_the_same_items_have() -> None:
    supply = supply_of(BANK, BLUEPRINT, REQUEST, parameters=None, errors=None)
    assert faults_of((SOUND,), supply, BLUEPRINT, request=REQUEST) == ()
    both = faults_of((SOUND, SOUND), supply, BLUEPRINT, request=REQUEST)
    assert both == (f"forms 1 and 2 share {', '.join(sorted(SOUND.items))}",)


def test_what_the_solver_should_not_have_given_is_never_handed_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wrong = Solved((np.array([0, 1, 2]),), None)
    monkeypatch.setattr(assembly, "solve", lambda _programme: wrong)
    with pytest.raises(ArithmeticError, match="form 1: 3 items, not 4"):
        assemble(BANK, BLUEPRINT, Request(leave_aside=frozenset({"level"})))


def without_bound(programme: Programme) -> Solved:
    return replace(solve(programme), bound=None)


def test_a_form_without_a_bound_is_not_called_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(assembly, "solve", without_bound)
    largest = assemble(BANK, BLUEPRINT, Request())
    assert isinstance(largest, Assembled)
    assert largest.gap == float("inf")
    assert not largest.is_proved
    nearest = assemble(BANK, BLUEPRINT, Request(target=((0.0, 2.0),)))
    assert isinstance(nearest, Assembled)
    assert nearest.bound == 0.0
    assert not nearest.is_proved


@pytest.mark.parametrize("target", [(), ((0.0, 0.9), (1.0, 0.8))])
def test_forms_are_one_programme_where_dealing_out_is_not_known_to_be_good(
    monkeypatch: pytest.MonkeyPatch, target: tuple[tuple[float, float], ...]
) -> None:
    monkeypatch.setattr(assembly_splitting, "solve", without_bound)
    found = assemble(BANK, BLUEPRINT, Request(n_forms=2, target=target))
    assert isinstance(found, Assembled)
    assert not set(found.forms[0].items) & set(found.forms[1].items)


def test_forms_that_cannot_be_dealt_out_by_exchanges_are_one_programme(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(assembly_splitting, "dealt_out", lambda _programme, _units: None)
    found = assemble(BANK, BLUEPRINT, Request(n_forms=2))
    assert isinstance(found, Assembled)
    assert found.is_proved


def test_exchanges_end_after_a_number_of_rounds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(assembly_splitting, "_MOST_SWEEPS", 0)
    items = [
        an_item(f"i{n}", "food", ("recall", "apply")[n % 2], judged=Fraction(n + 1, 30))
        for n in range(24)
    ]
    found = assemble(a_bank(items), a_blueprint("food"), Request(n_forms=2))
    assert isinstance(found, Assembled)


def test_items_of_which_every_two_are_a_pair_become_one_set() -> None:
    named = {"a": ("b", "c"), "b": ("c",), "c": ("d", "not-there"), "d": (), "e": ("e",)}
    items = [an_item(id_, "food", "recall", not_with=names) for id_, names in named.items()]
    request = Request(
        apart=(frozenset({"d", "e"}), frozenset({"a", "gone"})),
        leave_aside=frozenset({"writing"}),
    )
    assert set(kept_apart(items, request)) == {
        frozenset({3, 4}),
        frozenset({0, 1, 2}),
        frozenset({2, 3}),
    }


def test_items_that_are_no_pair_are_kept_in_two_sets() -> None:
    named = {"a": ("b", "c", "d"), "b": ("c", "d"), "c": (), "d": ()}
    items = [an_item(id_, "food", "recall", not_with=names) for id_, names in named.items()]
    request = Request(leave_aside=frozenset({"writing"}))
    assert set(kept_apart(items, request)) == {frozenset({0, 1, 2}), frozenset({0, 1, 3})}


def test_the_cut_is_at_nought_where_no_ability_reaches_the_pass_mark() -> None:
    blueprint = replace(BLUEPRINT, pass_mark=Fraction(1))
    assert supply_of(BANK, blueprint, Request(), parameters=None, errors=None).at == 0.0
    without = replace(BLUEPRINT, pass_mark=None)
    assert supply_of(BANK, without, Request(), parameters=None, errors=None).at == 0.0


def test_an_item_without_time_takes_its_share_or_a_minute_and_a_half() -> None:
    items = [replace(item, seconds=None) for item in ITEMS]

    def first_takes(minutes: int | None) -> float:
        blueprint = a_blueprint("food", minutes=minutes)
        found = supply_of(a_bank(items), blueprint, Request(), parameters=None, errors=None)
        return float(found.seconds[0])

    assert first_takes(5) == 75
    assert first_takes(None) == 90
