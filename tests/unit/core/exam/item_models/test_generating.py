from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from comity.core.exam.item_models import (
    GeneratedItem,
    ItemModel,
    NoItemError,
    ReadyModel,
    Refusal,
    generate,
    item_of_seed,
    make_ready,
    try_out,
)
from comity.core.exam.item_models.cautions import EDUCATION, HIGH_RISK, PREDICTIVE
from comity.core.exam.item_models.model import Condition, Key, Parameter, WrongTurn
from tests.unit.core.exam.item_models.samples import MODEL, WORDS, WRONG


def ready(model: ItemModel) -> ReadyModel:
    found, flaws = make_ready(model)
    assert flaws == ()
    assert found is not None
    return found


def refusal_of(model: ItemModel, seed: int = 1) -> Refusal:
    found = generate(ready(model), np.random.default_rng(seed))
    assert isinstance(found, Refusal)
    return found


def test_the_same_seed_gives_the_same_item() -> None:
    one, other = (item_of_seed(ready(MODEL), 7) for _ in range(2))
    assert one == other
    assert one != item_of_seed(ready(MODEL), 8)


def test_an_item_carries_its_provenance() -> None:
    item = item_of_seed(ready(MODEL), 7)
    assert (item.model, item.version, item.seed, item.id) == ("fat", 1, 7, f"fat-v1-7-{item.draw}")
    assert item.review == "teaching material, not yet reviewed by a practitioner"
    assert [name for name, _ in item.given] == ["energy", "share"]


def test_without_a_seed_the_item_says_so() -> None:
    found = generate(ready(MODEL), np.random.default_rng(3))
    assert isinstance(found, GeneratedItem)
    assert found.seed is None
    assert found.id == "fat-v1-x-0"


def test_options_stand_by_number_with_their_unit_and_their_error() -> None:
    item = item_of_seed(ready(MODEL), 7)
    numbers = [option.value for option in item.options]
    assert numbers == sorted(numbers)
    assert all(option.text.endswith(" g") for option in item.options)
    assert [option.error for option in item.options].count(None) == 1
    assert {option.family for option in item.options} == {
        None, "wrong constant or version", "step omitted", "omitted conversion",
    }  # fmt: skip


def test_sentences_show_values_with_units_and_the_key_only_in_the_solution() -> None:
    item = item_of_seed(ready(MODEL), 7)
    energy, share = (value for _, value in item.given)
    begun = f"A plan of {energy:g} kcal takes {share:g} % of energy from fat."
    assert item.stem == f"{begun} How much is that?"
    assert item.solution[-1].endswith(f"÷ 9 kcal/g = {item.key.text}.")
    assert item.use == (
        "Fat gives 9 kcal/g.",
        "Keep full precision and round once, at the end, half up, to the nearest whole number (g).",
    )


def test_tolerance_is_a_last_place_or_half_a_per_cent() -> None:
    small = replace(MODEL, key=Key(formula="part / 900", unit="hg"))
    assert item_of_seed(ready(small), 7).tolerance == 1
    assert item_of_seed(ready(replace(MODEL, key=Key(formula="part * 2"))), 7).tolerance != 1
    stated = replace(MODEL, key=Key(formula="part / 9", tolerance=Fraction(5, 2)))
    assert item_of_seed(ready(stated), 7).tolerance == 2.5


def test_a_wrong_answer_within_the_tolerance_refuses_the_draw() -> None:
    near = WrongTurn(formula="part / 9 + 0.5", family="unit", error="nearly right")
    refusal = refusal_of(replace(MODEL, distractors=(*WRONG, near)))
    assert refusal.cause == "collision"
    assert refusal.reason.startswith("nearly right: leads to the answer, ")


def test_two_wrong_answers_that_look_the_same_refuse_the_draw() -> None:
    same = WrongTurn(formula="part / 4 + 0.2", family="unit", error="same again")
    refusal = refusal_of(replace(MODEL, distractors=(*WRONG, same)))
    assert refusal.cause == "collision"
    assert refusal.reason.startswith("same again: coincides with another error, ")


@pytest.mark.parametrize(("key", "cause"), [("limits", "limit"), ("guards", "guard")])
def test_limits_and_guards_refuse_with_their_reason(key: str, cause: str) -> None:
    condition = Condition(holds="energy < 0", because="it is never so")
    model = replace(MODEL, **{key: (condition,)})  # type: ignore[arg-type]
    refusal = refusal_of(model)
    assert (refusal.cause, refusal.reason) == (cause, "does not hold: it is never so")


def test_a_condition_that_holds_refuses_nothing() -> None:
    model = replace(MODEL, limits=(Condition(holds="energy > 0", because="energy is spent"),))
    assert try_out(ready(model), n=20).refused_share == 0


def test_an_equation_outside_its_range_refuses_the_draw() -> None:
    model = replace(MODEL, key=Key(formula="lipid_energy(strength = '5 %', volume_ml = 250)"))
    assert refusal_of(model).cause == "range"


def test_wrong_answers_that_cannot_be_worked_out_are_left_out() -> None:
    model = replace(
        MODEL,
        distractors=(
            *WRONG,
            WrongTurn(formula="part / 0", family="unit", error="no answer"),
            WrongTurn(formula="part * 7", family="unit", error="never", when="energy < 0"),
        ),
    )
    errors = {option.error for option in item_of_seed(ready(model), 7).options}
    assert errors.isdisjoint({"no answer", "never"})


def test_fewer_than_three_wrong_answers_refuse_the_draw() -> None:
    never = replace(WRONG[2], when="energy < 0")
    refusal = refusal_of(replace(MODEL, distractors=(*WRONG[:2], never)))
    assert refusal == Refusal("range", "only 2 wrong answers can be worked out")


def test_words_stand_in_the_order_of_the_answers() -> None:
    item = item_of_seed(ready(WORDS), 7)
    assert [option.text for option in item.options] == ["none", "little", "much", "all"]
    assert item.tolerance is None
    assert item.use == ("Fat gives 9 kcal/g.",)


@pytest.mark.parametrize(
    ("formula", "reason"),
    [
        ("part / 9", "the answer must be a number, or one of the words under answers"),
        ("'most'", "'most' is none of the answers"),
        ("energy > 2", "the answer must be a number, or one of the words under answers"),
    ],
)
def test_an_answer_in_words_is_one_of_the_answers(formula: str, reason: str) -> None:
    assert refusal_of(replace(WORDS, key=Key(formula=formula))).reason == reason


@pytest.mark.parametrize("formula", ["'most'", "part"])
def test_a_wrong_word_that_is_no_answer_is_left_out(formula: str) -> None:
    turn = WrongTurn(formula=formula, family="unit", error="another")
    errors = {
        option.error
        for option in item_of_seed(
            ready(replace(WORDS, distractors=(*WORDS.distractors, turn))), 1
        ).options
    }
    assert "another" not in errors


def test_two_wrong_words_that_are_the_same_refuse_the_draw() -> None:
    again = WrongTurn(formula="'all'", family="unit", error="again")
    refusal = refusal_of(replace(WORDS, distractors=(*WORDS.distractors, again)))
    assert refusal.reason == "again: coincides with another error, all"


def test_a_model_that_never_gives_an_item_says_so() -> None:
    model = replace(MODEL, limits=(Condition(holds="energy < 0", because="it is never so"),))
    with pytest.raises(NoItemError, match="none of 500 draws gives an item: does not hold"):
        item_of_seed(ready(model), 1)


def test_cautions_grow_with_the_risk() -> None:
    plain = item_of_seed(ready(MODEL), 1).cautions
    model = replace(MODEL, high_risk=True, predictive=True, cautions=("Ask first.",))
    grown = item_of_seed(ready(model), 1).cautions
    assert plain[0] == grown[0] == EDUCATION
    assert "general Atwater factors, 2016" in plain[1]
    assert set(grown) - set(plain) == {HIGH_RISK, PREDICTIVE, "Ask first."}


def test_coefficients_from_memory_are_said_to_be() -> None:
    key = Key(formula="curreri_1974(weight_kg = 70, tbsa_percent = share)", unit="kcal/d")
    item = item_of_seed(ready(replace(MODEL, key=key)), 1)
    assert any("coefficients from memory, not yet opened" in line for line in item.cautions)
    assert item.equations == ("curreri_1974",)
    assert item.use[0].startswith("Energy after burns, Curreri (1974): 25 × kg + 40")


def test_more_places_are_named_in_the_rounding() -> None:
    for places, said in ((1, "to one decimal place"), (3, "to 3 decimal places")):
        model = replace(MODEL, key=Key(formula="part / 9", places=places))
        assert said in item_of_seed(ready(model), 1).use[-1]


def test_words_are_drawn_and_shown_without_a_unit() -> None:
    parameters = {**MODEL.parameters, "who": Parameter(choices=("woman", "man"))}
    model = replace(MODEL, parameters=parameters, stem="For a {who}: {energy}.")
    stems = {item_of_seed(ready(model), seed).stem.split(":")[0] for seed in range(12)}
    assert stems == {"For a woman", "For a man"}
