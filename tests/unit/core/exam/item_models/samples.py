"""Small item models that tests change."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from comity.core.exam.item_models.model import ItemModel, Key, Parameter, Value, WrongTurn

WRONG = (
    WrongTurn(formula="part / 4", family="wrong constant or version", error="4 kcal/g"),
    WrongTurn(formula="energy / 9", family="step omitted", error="share left out"),
    WrongTurn(formula="part", family="omitted conversion", error="kcal given as g"),
)
MODEL = ItemModel(
    model="fat",
    version=1,
    title="Grams of fat",
    group="B",
    domain="nutrients",
    level="apply",
    life_stage="any",
    source="general Atwater factors, 2016",
    parameters={
        "energy": Parameter(
            low=Fraction(1400), high=Fraction(3000), step=Fraction(50), unit="kcal"
        ),
        "share": Parameter(low=Fraction(20), high=Fraction(38), unit="%"),
    },
    values={"part": Value(formula="energy * share / 100", unit="kcal")},
    stem="A plan of {energy} takes {share} of energy from fat. How much is that?",
    use=("Fat gives 9 kcal/g.",),
    key=Key(formula="part / 9", unit="g"),
    solution=("From fat come {part}.", "{part} ÷ 9 kcal/g = {key}."),
    distractors=WRONG,
)
WORDS = replace(
    MODEL,
    key=Key(formula="if(energy > 2000, 'much', 'little')"),
    answers=("none", "little", "much", "all"),
    distractors=(
        WrongTurn(formula="'none'", family="unit", error="a"),
        WrongTurn(formula="'all'", family="unit", error="b"),
        WrongTurn(formula="if(energy > 2000, 'little', 'much')", family="wrong branch", error="c"),
    ),
)
