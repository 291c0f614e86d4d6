"""Forms made of a bank and of models; how many of what follows the shipped outline."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from string import ascii_lowercase

import pytest

from comity.bank.resources import texts_in
from comity.core.exam.items import Bank, BestAnswer, Case, Level
from comity.core.exam.reviews import Review, ReviewState
from comity.files.item_bank import read_bank
from comity.service.mock_forms import (
    NoFormError,
    Wanted,
    domain_name,
    make_forms,
    n_to_pass,
    outline,
)
from comity.service.starter_items import starter_bank_text

DOMAINS = [domain.id for domain in outline().domains]


def item(number: int, domain: str, case: str | None = None) -> BestAnswer:
    own = f"{domain.replace('-', '')}{ascii_lowercase[number]}"
    return BestAnswer(
        id=f"{domain}-{number}",
        domain=domain,
        level=list(Level)[number % 3],
        case=case,
        # Words of its own, or the items would tell of each other.
        stem=" ".join(f"{own}{letter}" for letter in "bcdfgh") + "?",
        source="a source, 2020",
        options={id_: f"{own}{id_ * 3}" for id_ in "abc"},
        answer="b",
    )


ITEMS = tuple(item(number, domain) for domain in DOMAINS for number in range(12))
BANK = Bank(bank="many", items=ITEMS)


def ids(text: str) -> list[str]:
    bank = read_bank(text, "form").value
    assert bank is not None
    return [each.id for each in bank.items]


def test_forms_made_at_once_share_no_item_and_are_the_same_for_the_same_seed() -> None:
    wanted = Wanted(n_items=24, n_drawn=4, n_forms=2, seed=5)
    one, other = (ids(made.text) for made in make_forms(BANK, wanted))
    assert (len(one), len(other)) == (24, 24)
    assert not set(one) & set(other)
    assert [ids(made.text) for made in make_forms(BANK, wanted)] == [one, other]


def test_a_form_keeps_the_shares_of_the_outline() -> None:
    (made,) = make_forms(BANK, Wanted(n_items=20))
    counts = {domain: sum(each.startswith(domain) for each in ids(made.text)) for domain in DOMAINS}
    assert counts["intervention"] == 6  # 30 % of 20
    assert sum(counts.values()) == 20


def test_what_is_drawn_brings_its_cautions() -> None:
    (made,) = make_forms(None, Wanted(n_items=3, n_drawn=3, seed=1))
    assert sorted(made.cautions) == sorted(ids(made.text))
    assert all(len(said) > 2 for said in made.cautions.values())


def test_own_models_come_first() -> None:
    own = {"mine": texts_in("models")["bmi.yaml"].replace("model: bmi", "model: mine")}
    (made,) = make_forms(None, Wanted(n_items=1, n_drawn=1), own_models=own)
    assert ids(made.text)[0].startswith("mine-")


def test_a_broken_model_of_ones_own_is_passed_over() -> None:
    (made,) = make_forms(None, Wanted(n_items=1, n_drawn=1), own_models={"broken": "model: ["})
    assert made.n_items == 1


def test_items_of_a_case_stay_together() -> None:
    cased = tuple(
        replace(each, case="ward") if each.id in {"assessment-0", "assessment-1"} else each
        for each in ITEMS
    )
    bank = Bank(bank="many", cases=(Case(id="ward", vignette="An invented man."),), items=cased)
    for seed in range(4):
        (made,) = make_forms(bank, Wanted(n_items=len(ITEMS) - 90, seed=seed))
        found = ids(made.text)
        if "assessment-0" in found:
            places = sorted(found.index(f"assessment-{n}") for n in (0, 1))
            assert places[1] - places[0] == 1


def test_what_cannot_be_kept_is_said_or_filled_up() -> None:
    few = Bank(bank="few", items=ITEMS[:12])
    with pytest.raises(NoFormError, match="the shares of the parts cannot be kept: "):
        make_forms(few, Wanted(n_items=8))
    (made,) = make_forms(few, Wanted(n_items=8, fills_up=True))
    assert made.n_items == 8
    assert made.notes[0].startswith("the shares of the parts are not kept: ")
    with pytest.raises(NoFormError, match="the bank has 12 items that may be used, and 26 are"):
        make_forms(few, Wanted(n_items=13, n_forms=2, fills_up=True))


def test_what_was_withdrawn_or_sent_back_is_not_used() -> None:
    gone = (Review(on=1, by="reader", state=ReviewState.WITHDRAWN),)
    bank = Bank(bank="few", items=(*ITEMS[:3], replace(ITEMS[3], reviews=gone)))
    with pytest.raises(NoFormError, match="has 3 items that may be used"):
        make_forms(bank, Wanted(n_items=4, fills_up=True))


def test_items_that_give_each_other_away_do_not_meet() -> None:
    apart = (ITEMS[0], replace(ITEMS[1], not_with=(ITEMS[0].id,)), *ITEMS[2:4])
    (made,) = make_forms(Bank(bank="few", items=apart), Wanted(n_items=3, fills_up=True))
    assert {ITEMS[0].id, ITEMS[1].id} - set(ids(made.text))


@pytest.mark.parametrize("wanted", [Wanted(n_items=0), Wanted(n_items=2, n_drawn=3)])
def test_a_senseless_wish_is_refused(wanted: Wanted) -> None:
    with pytest.raises(NoFormError, match="a form needs at least one item"):
        make_forms(BANK, wanted)


@pytest.mark.parametrize(
    ("n_items", "share", "needed"),
    [(100, "55/100", 55), (20, "62/100", 13), (3, "1/2", 2), (10, "1", 10), (10, "0", 0)],
)
def test_the_pass_mark_is_the_fewest_that_reach_the_share(
    n_items: int, share: str, needed: int
) -> None:
    assert n_to_pass(n_items, Fraction(share)) == needed


def test_domains_and_their_parts_are_called_by_their_names() -> None:
    assert domain_name("assessment") == "Finding out"
    assert domain_name("tube-and-vein-feeding") == "Tube and vein feeding"
    assert domain_name("no-such-part") == "no such part"


def test_the_starter_items_are_one_sound_bank_of_the_outline() -> None:
    loaded = read_bank(starter_bank_text(), "starter", blueprint=outline())
    assert loaded.problems == ()
    assert loaded.value is not None
    assert len(loaded.value.items) > 100
