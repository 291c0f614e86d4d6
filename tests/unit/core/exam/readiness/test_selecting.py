from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from comity.core.exam.information import item_information
from comity.core.exam.irt import ItemParameters
from comity.core.exam.practice import DatedAnswer, practice_from_log
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.selecting import (
    FEW,
    SelectingError,
    ability_of,
    about_to_be_forgotten,
    next_item,
    parameters_of,
    pool_of,
    with_exposure_odds,
)
from tests.cohorts import blueprint_of
from tests.unit.core.exam.readiness.people import TODAY, items_of, small_prospect

N_DOMAINS = 4


def parameters(n_items: int = 120) -> ItemParameters:
    rng = np.random.default_rng(6)
    ids = tuple(f"i{at}" for at in range(n_items))
    return ItemParameters(ids, np.ones(n_items), rng.normal(size=n_items))


def domains(n_items: int = 120) -> list[str]:
    return [f"d{at % N_DOMAINS}" for at in range(n_items)]


BLUEPRINT = blueprint_of(N_DOMAINS)
POOL = pool_of(parameters(), domains(), BLUEPRINT)


def test_the_item_is_one_of_the_few_that_tell_most() -> None:
    information = item_information(parameters(), 0.5)[:, 0]
    best = {f"i{at}" for at in sorted(range(0, 120, 4), key=lambda at: -information[at])[:FEW]}
    drawn = {next_item(POOL, (), 0.5, rng=np.random.default_rng(seed)).item for seed in range(60)}
    assert drawn == best


def test_domains_keep_to_their_shares_all_along() -> None:
    rng, given = np.random.default_rng(1), dict[str, int]()
    for number in range(1, 41):
        turn = next_item(POOL, given, {"d0": -1.0, "d1": 0.5}, rng=rng)
        given[turn.item] = 1
        counts = Counter(int(item[1:]) % N_DOMAINS for item in given)
        assert max(counts.values()) - min(counts[k] for k in range(N_DOMAINS)) <= 1
        assert len(given) == number


@pytest.mark.parametrize("theta", [-9.0, 9.0])
def test_abilities_beyond_the_table_take_its_ends(theta: float) -> None:
    turn = next_item(POOL, (), theta, rng=np.random.default_rng(1))
    assert turn.why == "tells most"


def test_a_quarter_of_the_turns_goes_to_what_is_about_to_be_forgotten() -> None:
    rng = np.random.default_rng(2)
    turns = [next_item(POOL, ("i3",), 0.0, rng=rng, due=("nowhere", "i3")) for _ in range(400)]
    recalled = [turn for turn in turns if turn.why == "about to be forgotten"]
    assert {(turn.item, turn.domain) for turn in recalled} == {("i3", "d3")}
    assert 70 <= len(recalled) <= 130


def test_when_all_were_given_only_what_is_due_is_left() -> None:
    given = {f"i{at}" for at in range(120)}
    turn = next_item(POOL, given, 0.0, rng=np.random.default_rng(0), due=("i7",))
    assert turn.item == "i7"
    with pytest.raises(SelectingError, match="all 120 items were given, and none is about to be"):
        next_item(POOL, given, 0.0, rng=np.random.default_rng(0))


def test_a_domain_used_up_gives_way_to_the_others() -> None:
    given = {f"i{at}" for at in range(0, 120, 4)}
    turn = next_item(POOL, {*given}, 0.0, rng=np.random.default_rng(0))
    assert turn.domain != "d0"


def test_items_outside_the_blueprint_are_never_chosen() -> None:
    pool = pool_of(parameters(8), ["d0", "else"] * 4, BLUEPRINT)
    assert pool.domains == ("d0",)
    assert pool.shares == (1.0,)
    rng, given = np.random.default_rng(0), set[str]()
    for _ in range(4):
        given.add(next_item(pool, given | {"i1"}, 0.0, rng=rng).item)
    assert given == {"i0", "i2", "i4", "i6"}


def test_a_pool_without_a_domain_of_the_blueprint_is_refused() -> None:
    with pytest.raises(SelectingError, match="no item belongs to a domain of invented"):
        pool_of(parameters(2), ["else", "else"], BLUEPRINT)


def test_exposure_odds_keep_items_from_being_worn_out() -> None:
    rng = np.random.default_rng(3)
    abilities = rng.normal(0, 0.1, 80).tolist()
    tempered = with_exposure_odds(POOL, abilities, n_items=12, rng=rng, at_most=0.2)
    most = []
    for pool in (POOL, tempered):
        counts = Counter[str]()
        for theta in rng.normal(0, 0.1, 200):
            given = set[str]()
            for _ in range(12):
                given.add(next_item(pool, given, float(theta), rng=rng).item)
            counts.update(given)
        most.append(max(counts.values()) / 200)
    assert most[0] > 0.45
    assert most[1] < 0.36


def test_what_was_wrong_comes_first_then_what_waited_longest() -> None:
    log = [
        DatedAnswer("ana", "i0", TODAY - 40, 1.0),
        DatedAnswer("ana", "i1", TODAY - 20, 1.0),
        DatedAnswer("ana", "i2", TODAY - 3, 1.0),
        DatedAnswer("ana", "i3", TODAY - 2, 0.0),
        DatedAnswer("ana", "i4", TODAY, 0.0),
        DatedAnswer("bo", "i5", TODAY - 40, 0.0),
    ]
    practice = practice_from_log(log, items_of(8), today=TODAY)
    fit = fit_practice(practice, BLUEPRINT)
    assert about_to_be_forgotten(fit, "ana") == ("i3", "i0", "i1")
    # In a year, the best gap is four weeks; tomorrow, everything is due from the next day on.
    assert about_to_be_forgotten(fit, "ana", exam_on=TODAY + 365) == ("i3", "i0")
    assert about_to_be_forgotten(fit, "ana", exam_on=TODAY + 1) == ("i3", "i0", "i1", "i2")
    assert about_to_be_forgotten(fit, "nobody") == ()


def test_practice_gives_difficulties_and_abilities_to_choose_by() -> None:
    fit = small_prospect().fit
    items = parameters_of(fit)
    assert items.b == pytest.approx(fit.b)
    known, unknown = ability_of(fit, "p0001"), ability_of(fit, "nobody")
    assert set(known) == set(unknown) == set(fit.domains)
    assert unknown["d0"] == pytest.approx(fit.level[0])
