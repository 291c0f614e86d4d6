from __future__ import annotations

from functools import cache
from math import floor
from typing import Any

import pytest

from comity.bank.resources import load_models
from comity.core.exam.equations import EQUATIONS, Status
from comity.core.exam.item_models import GeneratedItem, Trial, item_of_seed, try_out
from comity.core.exam.item_models.cautions import EDUCATION, HIGH_RISK
from comity.core.exam.item_models.evaluating import Result, evaluate
from comity.core.exam.item_models.formula import Call

LOADED = load_models()
MODELS = {ready.model.model: ready for ready in LOADED.models}
N_DRAWS = 200
MAX_REFUSED = 0.5
HIGH_RISK_EQUATIONS = {
    "meal_bolus", "glucose_infusion_rate", "pn_osmolarity", "sodium_for_glucose",
    "free_water_deficit", "sodium_change_2000", "parkland", "velocity_two_point",
    "infant_energy", "dextrose_energy", "lipid_energy",
}  # fmt: skip

WITHOUT_ONE_EQUATION = {
    "energy-at-rest-roza", "growth-velocity", "malnutrition-stage", "nitrogen-of-protein",
    "test-performance",
}  # fmt: skip
"""Their key is worked out of an equation and something else, or of a rule that is stated."""


@cache
def trial_of(name: str) -> Trial:
    return try_out(MODELS[name], n=N_DRAWS, seed=11)


def items_of(name: str) -> tuple[GeneratedItem, ...]:
    return trial_of(name).items


def test_the_models_of_the_bank_have_no_problem() -> None:
    assert LOADED.problems == ()
    assert len(MODELS) >= 40


def test_every_group_of_calculations_has_a_model() -> None:
    assert {ready.model.group for ready in LOADED.models} == set("ABCDEFGHIJKLMNO")


def test_every_family_of_errors_occurs() -> None:
    families = {wrong.family for ready in LOADED.models for wrong in ready.model.distractors}
    assert families == {
        "unit", "omitted conversion", "wrong branch", "wrong constant or version",
        "inverted ratio", "step omitted",
    }  # fmt: skip


@pytest.mark.parametrize("name", MODELS)
def test_at_most_half_of_the_draws_are_refused(name: str) -> None:
    assert trial_of(name).refused_share <= MAX_REFUSED, trial_of(name).reasons


@pytest.mark.parametrize("name", MODELS)
def test_options_are_four_and_tell_apart(name: str) -> None:
    for item in items_of(name):
        assert len({option.text for option in item.options}) == 4
        assert sum(option.is_key for option in item.options) == 1


@pytest.mark.parametrize("name", MODELS)
def test_no_wrong_answer_lies_within_the_tolerance_of_the_key(name: str) -> None:
    for item in items_of(name):
        wrong = [option for option in item.options if not option.is_key]
        if isinstance(item.key.value, str):
            assert item.key.text not in {option.text for option in wrong}
            continue
        assert item.tolerance is not None
        for option in wrong:
            assert isinstance(option.value, float)
            assert abs(option.value - item.key.value) > item.tolerance
            assert all((option.family, option.error))


@pytest.mark.parametrize("name", MODELS)
def test_units_stand_beside_the_answers(name: str) -> None:
    unit = MODELS[name].model.key.unit
    for item in items_of(name):
        assert unit is None or all(option.text.endswith(f" {unit}") for option in item.options)


@pytest.mark.parametrize("name", MODELS)
def test_the_solution_ends_with_the_key_and_no_sentence_has_a_gap(name: str) -> None:
    for item in items_of(name):
        assert item.key.text in item.solution[-1]
        assert not any("{" in line or "}" in line for line in (item.stem, *item.solution))


@pytest.mark.parametrize("name", MODELS)
def test_the_lines_to_use_name_equation_version_and_rounding(name: str) -> None:
    item = items_of(name)[0]
    for each in item.equations:
        assert any(EQUATIONS[each].version in line for line in item.use)
        assert any(EQUATIONS[each].states in line for line in item.use)
    assert isinstance(item.key.value, str) or "round once" in item.use[-1]


@pytest.mark.parametrize("name", MODELS)
def test_cautions_go_with_every_item(name: str) -> None:
    for item in items_of(name):
        assert item.cautions[0] == EDUCATION
        assert item.source in item.cautions[1]
        unopened = [each for each in item.equations if EQUATIONS[each].status is Status.FROM_MEMORY]
        said = [line for line in item.cautions if "from memory, not yet opened" in line]
        assert len(said) == len(unopened)


def test_models_of_high_risk_say_so() -> None:
    risky = {name for name, ready in MODELS.items() if HIGH_RISK_EQUATIONS & set(ready.equations)}
    silent = [name for name in risky if HIGH_RISK not in item_of_seed(MODELS[name], 1).cautions]
    assert len(risky) >= 6
    assert silent == []


def test_no_glucose_rate_is_keyed_above_the_adult_limit() -> None:
    # Mirtallo et al. 2004: 4 to 5 mg/kg/min in adults.
    keys = [item.key.value for item in items_of("glucose-infusion-rate")]
    assert all(isinstance(key, float) and key <= 5 for key in keys)


def test_no_mixture_for_a_peripheral_vein_is_keyed_above_its_limit() -> None:
    # Mirtallo et al. 2004: about 900 mOsm/L.
    keys = [item.key.value for item in items_of("osmolarity-of-mixture")]
    assert all(isinstance(key, float) and key <= 900 for key in keys)


@pytest.mark.parametrize("name", sorted(set(MODELS) - WITHOUT_ONE_EQUATION))
def test_the_key_equals_the_equation_asked_directly(name: str) -> None:
    ready = MODELS[name]
    assert isinstance(ready.key, Call)
    for item in items_of(name):
        values: dict[str, Result] = dict(item.given)
        for key, formula in ready.values:
            values[key] = evaluate(formula, values)
        given: dict[str, Any] = {key: evaluate(each, values) for key, each in ready.key.named}
        assert item.key.value == EQUATIONS[ready.key.name].value(**given)


def test_a_key_that_was_worked_out_by_hand() -> None:
    # 10 × kg + 6.25 × cm − 5 × years + 5 or − 161, simplified form of Mifflin et al. 1990.
    for item in items_of("energy-at-rest-mifflin"):
        given: dict[str, Any] = dict(item.given)
        weight = floor(given["target"] * (given["height"] / 100) ** 2 + 0.5)
        constant = 5 if given["sex"] == "male" else -161
        by_hand = 10 * weight + 6.25 * given["height"] - 5 * given["age"] + constant
        assert item.key.value == pytest.approx(by_hand)


@pytest.mark.parametrize("name", MODELS)
def test_the_same_seed_gives_the_same_item(name: str) -> None:
    assert item_of_seed(MODELS[name], 2026) == item_of_seed(MODELS[name], 2026)
