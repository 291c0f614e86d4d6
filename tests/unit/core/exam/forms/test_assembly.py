"""Forms against trying every choice of items, and what each condition keeps."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np
import pytest

from comity.core.exam.assembly import assemble
from comity.core.exam.assembly_request import Assembled, Infeasible, Request
from comity.core.exam.information import item_information
from comity.core.exam.irt import ItemParameters, StandardErrors
from comity.core.exam.items import Level
from comity.core.exam.reviews import Review, ReviewState
from tests.unit.core.exam.forms.made_up import a_bank, a_blueprint, an_item, figures

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.exam.items import BestAnswer

CUT = 0.3


def small_bank(seed: int) -> tuple[BestAnswer, ...]:
    """Return sixteen items of two domains and two levels with times, enemies and a case."""
    rng = np.random.default_rng(seed)
    items = [
        an_item(
            f"i{n}",
            "food" if n % 2 else "care",
            "recall" if n % 4 < 2 else "apply",
            seconds=int(rng.integers(30, 120)),
            not_with=(f"i{(n * 5 + 3) % 16}",) if n % 5 == 1 else (),
            case="ward" if n in {4, 6} else None,
        )
        for n in range(16)
    ]
    return tuple(items)


def keeps_all(form: tuple[BestAnswer, ...], *, minutes: int, earlier: frozenset[str]) -> bool:
    """Tell whether a choice keeps every condition, each said anew."""
    ids = {item.id for item in form}
    cells = [(item.domain, item.level) for item in form]
    return (
        all(
            cells.count((domain, level)) == 1
            for domain in ("food", "care")
            for level in (Level.RECALL, Level.APPLY)
        )
        and sum(item.seconds or 0 for item in form) <= minutes * 60
        and not any(ids & set(item.not_with) for item in form)
        and sum(item.case == "ward" for item in form) in {0, 2}
        and len(ids & earlier) <= 1
    )


def every_form(items: tuple[BestAnswer, ...], minutes: int) -> Iterator[tuple[BestAnswer, ...]]:
    earlier = frozenset({"i0", "i1", "i2", "i3"})
    return (
        form for form in combinations(items, 4) if keeps_all(form, minutes=minutes, earlier=earlier)
    )


def told(form: tuple[BestAnswer, ...], known: ItemParameters, theta: float) -> float:
    """Return the information of a form, by the formula a squared times P times Q."""
    place = {id_: n for n, id_ in enumerate(known.items)}
    numbers = [place[item.id] for item in form]
    p = 1 / (1 + np.exp(-(known.a[numbers] * theta + known.d[numbers])))
    return float((known.a[numbers] ** 2 * p * (1 - p)).sum())


REQUEST = Request(at=CUT, minutes=5, earlier=(frozenset({"i0", "i1", "i2", "i3"}),), most_shared=1)


@pytest.mark.parametrize("seed", range(6))
def test_one_form_is_the_best_of_all_choices(seed: int) -> None:
    items = small_bank(seed)
    known = figures(items, seed)
    best = max(told(form, known, CUT) for form in every_form(items, 5))
    found = assemble(a_bank(items), a_blueprint("food", "care"), REQUEST, parameters=known)
    assert isinstance(found, Assembled)
    assert found.objective == pytest.approx(best, abs=1e-6)
    assert found.is_proved
    assert found.bound == pytest.approx(best, abs=1e-6)


@pytest.mark.parametrize("seed", range(4))
def test_two_forms_come_near_the_best_of_all_pairs_and_keep_their_bound(seed: int) -> None:
    items = small_bank(seed)
    known = figures(items, seed)
    all_forms = [(told(form, known, CUT), {i.id for i in form}) for form in every_form(items, 5)]
    best = max(
        min(one[0], other[0]) for one, other in combinations(all_forms, 2) if not one[1] & other[1]
    )
    request = replace(REQUEST, n_forms=2)
    found = assemble(a_bank(items), a_blueprint("food", "care"), request, parameters=known)
    assert isinstance(found, Assembled)
    assert found.objective == pytest.approx(best, abs=1e-5)
    assert found.bound >= best - 1e-6
    assert not set(found.forms[0].items) & set(found.forms[1].items)


@pytest.mark.parametrize("seed", range(3))
def test_a_target_is_missed_by_as_little_as_any_choice_misses_it(seed: int) -> None:
    items = small_bank(seed)
    known = figures(items, seed)
    target = ((-1.0, 0.8), (0.5, 1.2))
    least = min(
        max(abs(told(form, known, theta) - wanted) for theta, wanted in target)
        for form in every_form(items, 5)
    )
    request = replace(REQUEST, target=target)
    found = assemble(a_bank(items), a_blueprint("food", "care"), request, parameters=known)
    assert isinstance(found, Assembled)
    assert found.objective == pytest.approx(least, abs=1e-6)
    assert max(abs(c - w) for c, (_, w) in zip(found.forms[0].curve, target, strict=True)) == (
        pytest.approx(found.objective)
    )


def test_a_form_says_what_it_holds() -> None:
    items = small_bank(1)
    known = figures(items, 1)
    found = assemble(a_bank(items), a_blueprint("food", "care"), REQUEST, parameters=known)
    assert isinstance(found, Assembled)
    form = found.forms[0]
    by_id = {item.id: item for item in items}
    taken = tuple(by_id[id_] for id_ in form.items)
    assert [item.domain for item in taken] == ["food", "food", "care", "care"]
    assert form.information == pytest.approx(told(taken, known, CUT))
    assert form.seconds == sum(item.seconds or 0 for item in taken)
    assert form.counts == {(d, lv): 1 for d in ("food", "care") for lv in ("recall", "apply")}
    assert form.shared == (len(REQUEST.earlier[0] & set(form.items)),)


def test_the_same_lot_gives_the_same_form_and_another_may_give_another() -> None:
    items = [an_item(f"i{n}", "food", "recall" if n % 2 else "apply") for n in range(40)]
    bank, blueprint = a_bank(items), a_blueprint("food")
    forms = [assemble(bank, blueprint, Request(seed=seed)) for seed in (1, 1, 2, 3)]
    assert all(isinstance(form, Assembled) for form in forms)
    taken = [form.forms[0].items for form in forms if isinstance(form, Assembled)]
    assert taken[0] == taken[1]
    assert len({*taken}) > 1


def test_items_sent_back_withdrawn_or_named_are_left_out() -> None:
    def with_state(id_: str, state: ReviewState) -> BestAnswer:
        read = Review(on=20000, by="second", state=state)
        return replace(an_item(id_, "food", "recall"), reviews=(read,))

    items = [
        with_state("back", ReviewState.SENT_BACK),
        with_state("gone", ReviewState.WITHDRAWN),
        with_state("fine", ReviewState.APPROVED),
        an_item("named", "food", "recall"),
        an_item("other", "food", "apply"),
    ]
    request = Request(n_items=2, without=frozenset({"named"}))
    found = assemble(a_bank(items), a_blueprint("food"), request)
    assert isinstance(found, Assembled)
    assert found.forms[0].items == ("fine", "other")


def test_items_of_which_one_tells_the_other_do_not_meet() -> None:
    telling = replace(
        an_item("telling", "food", "recall"), stem="Why is beta oxidation in mitochondria slow?"
    )
    told_of = replace(
        an_item("told", "food", "apply"),
        options={"a": "Beta oxidation", "b": "Glycolysis", "c": "Ketosis"},
    )
    spare = an_item("spare", "food", "apply")
    bank, blueprint = a_bank([telling, told_of, spare]), a_blueprint("food", n_items=2)
    found = assemble(bank, blueprint, Request())
    assert isinstance(found, Assembled)
    assert found.forms[0].items == ("telling", "spare")
    without = Request(without=frozenset({"spare"}))
    assert isinstance(assemble(bank, blueprint, without), Infeasible)
    aside = replace(without, leave_aside=frozenset({"writing"}))
    assert isinstance(assemble(bank, blueprint, aside), Assembled)


def test_lucky_estimates_count_with_a_lower_discrimination() -> None:
    items = [an_item("sure", "food", "recall"), an_item("lucky", "food", "recall"),
             an_item("fill", "food", "apply")]  # fmt: skip
    ids = tuple(item.id for item in items)
    known = ItemParameters(ids, np.array([1.0, 1.4, 1.0]), np.zeros(3))
    errors = StandardErrors(np.array([0.1, 0.8, 0.1]), np.zeros(3), np.zeros(3))
    bank, blueprint, request = a_bank(items), a_blueprint("food", n_items=2), Request(at=0.0)
    plain = assemble(bank, blueprint, request, parameters=known)
    careful = assemble(bank, blueprint, request, parameters=known, errors=errors)
    assert isinstance(plain, Assembled)
    assert isinstance(careful, Assembled)
    assert plain.forms[0].items == ("lucky", "fill")
    assert careful.forms[0].items == ("sure", "fill")


def test_without_answers_items_count_with_what_was_judged_and_a_note_says_so() -> None:
    items = [
        an_item("middling", "food", "recall", judged=Fraction(1, 2)),
        an_item("easy", "food", "recall", judged=Fraction(99, 100)),
        an_item("fill", "food", "apply"),
    ]
    found = assemble(a_bank(items), a_blueprint("food", n_items=2), Request(at=0.0))
    assert isinstance(found, Assembled)
    assert found.forms[0].items == ("middling", "fill")
    says = (
        "3 of 3 items have no figures from answers: they count with how hard they were judged, or"
        " as of middling difficulty"
    )
    assert found.notes == (says,)


def test_the_cut_lies_where_the_mean_item_is_right_as_often_as_the_pass_mark() -> None:
    items = [an_item(f"i{n}", "food", ("recall", "apply")[n % 2]) for n in range(6)]
    known = figures(items, 3)
    blueprint = replace(a_blueprint("food"), pass_mark=Fraction(3, 5))
    found = assemble(a_bank(items), blueprint, Request(), parameters=known)
    assert isinstance(found, Assembled)
    chance = 1 / (1 + np.exp(-(known.a * found.at + known.d)))
    assert chance.mean() == pytest.approx(0.6)
    assert item_information(known, found.at).shape == (6, 1)


def test_right_answers_expected_at_the_cut_stay_within_their_ends() -> None:
    items = small_bank(2)
    known = figures(items, 2)
    request = replace(REQUEST, score=(1.6, 2.0), earlier=())
    found = assemble(a_bank(items), a_blueprint("food", "care"), request, parameters=known)
    assert isinstance(found, Assembled)
    assert 1.6 - 1e-6 <= found.forms[0].expected_score <= 2.0 + 1e-6


@pytest.mark.parametrize(
    ("request_", "says"),
    [
        (Request(n_items=0), "a form needs at least one item, got 0"),
        (Request(n_forms=0), "at least one form is asked for, got 0"),
        (Request(slack=-1), "the slack is a number of items, 0 or more, got -1"),
        (Request(most_shared=-2), "items shared are counted from 0, got -2"),
        (Request(seconds=0), "the solver needs some time, got 0 seconds"),
        (
            Request(leave_aside=frozenset({"domain"})),
            "what may be left aside is calculating, level, part, time, writing, got domain",
        ),
    ],
)
def test_a_request_without_sense_is_told_in_a_sentence(request_: Request, says: str) -> None:
    found = assemble(a_bank(small_bank(0)), a_blueprint("food", "care"), request_)
    assert found == Infeasible(reasons=(says,))


def test_a_blueprint_without_a_number_of_items_asks_for_one() -> None:
    blueprint = replace(a_blueprint("food", "care"), n_items=None)
    says = "the blueprint does not say how many items a form has; say it"
    assert assemble(a_bank(small_bank(0)), blueprint, Request()) == Infeasible(reasons=(says,))
