"""What whole forms and banks give away: places and lengths of keys, items that tell each other."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from scipy.stats import chisquare

from comity.core.exam.items import BestAnswer, Level
from comity.core.exam.writing import _chance_of_uneven, flaws_between, flaws_of_form
from comity.core.exam.writing_flaws import draft_of

BALANCED = "baccabbdcbbadadcdbabacccadddabcd"


def item(number: int, place: str, *, key: str = "zinc") -> BestAnswer:
    texts = dict(zip("abcd", ("gold", "iron", "lead", "neon"), strict=True))
    return BestAnswer(
        id=f"i-{number}", domain="d", level=Level.RECALL, stem=f"Which metal has mark {number}?",
        source="s", options={**texts, place: key}, answer=place,
    )  # fmt: skip


def form(places: str, *, key: str = "zinc") -> list[BestAnswer]:
    return [item(number, place, key=key) for number, place in enumerate(places)]


def test_keys_at_every_place_say_nothing() -> None:
    assert flaws_of_form(form(BALANCED)) == ()


@pytest.mark.parametrize(
    ("places", "got"),
    [
        ("abbbcbbdbbab", "8 of 12 at place 2"),
        ("abcd" * 10, "0 times the place of the item before"),
        ("a" * 8 + "b" * 8 + "c" * 8 + "d" * 8, "28 times the place of the item before"),
    ],
)
def test_keys_that_gather_or_follow_a_pattern_are_told(places: str, got: str) -> None:
    assert [(flaw.code, flaw.got) for flaw in flaws_of_form(form(places))] == [("X311", got)]


def test_the_chance_of_uneven_places_is_that_of_the_chi_squared_test() -> None:
    """Against scipy.stats.chisquare."""
    places = "aaaaaaaabbbbbbccccdd"
    drafts = [draft_of(each) for each in form(places)]
    counted = [places.count(place) for place in "abcd"]
    found = _chance_of_uneven(drafts, Counter(dict(enumerate(counted))))
    assert found == pytest.approx(chisquare(counted).pvalue, abs=1e-12)


def test_keys_that_are_the_longest_more_often_than_by_chance_are_told() -> None:
    found = flaws_of_form(form(BALANCED, key="a metal"))
    assert [(flaw.code, flaw.weight, flaw.got) for flaw in found] == [
        ("X316", "error", "32 of 32, by chance 8")
    ]


def test_fewer_than_ten_items_say_nothing() -> None:
    assert flaws_of_form(form("aaaaaaaaa")) == ()


STORES = BestAnswer(
    id="stores", domain="d", level=Level.RECALL, source="s",
    stem="Which protein stores iron inside the cells of the liver?",
    options={"a": "Serum ferritin", "b": "Transferrin", "c": "Albumin"}, answer="a",
)  # fmt: skip


def test_two_items_of_the_same_words_are_told_unless_they_are_kept_apart() -> None:
    twin = replace(STORES, id="twin", stem="Which protein stores the iron of the liver's cells?")
    found = flaws_between((STORES, twin))
    assert [(flaw.code, flaw.weight, flaw.path) for flaw in found] == [
        ("X301", "error", (1, "stem"))
    ]
    assert flaws_between((STORES, replace(twin, not_with=("stores",)))) == ()
    assert flaws_between((replace(STORES, case="x"), replace(twin, case="x"))) == ()


def test_a_stem_that_tells_the_key_of_another_item_is_told() -> None:
    other = replace(
        STORES, id="other", stem="Which illness raises serum ferritin without iron to spare?",
        options={"a": "Infection", "b": "Goitre", "c": "Rickets"},
    )  # fmt: skip
    found = flaws_between((STORES, other))
    assert [(flaw.code, flaw.weight, flaw.got) for flaw in found] == [
        ("X301", "info", "other tells 'serum ferritin' of stores")
    ]
