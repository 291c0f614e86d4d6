"""An invented class of forty who practised the demo's items over five weeks, a few of them bad.

The bad items are known, so that whoever looks at the figures can see whether they are found.
"""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import Day
from comity.core.exam.items import BestAnswer
from comity.core.problems import Place
from comity.files.item_bank import read_bank
from comity.files.responses import GivenAnswer, responses_csv

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

FOLDER: Final = "examination"
_NAMES: Final = ("blueprint.yaml", "items.yaml")
_ANSWERS: Final = "responses.csv"
N_PEOPLE: Final = 40
SEED: Final = 20261125
FIRST_DAY: Final = Day(46312)
"""2026-10-19, a Monday."""
MISKEYED: Final = "to-buy-for-peeled"
"""Its key is wrong: those who know choose the option that should be the key."""
TOO_EASY: Final = "degrees"
"""Everyone gets it right."""
BACKWARDS: Final = "use-by"
"""Those who know less get it right more often."""
UNKNOWABLE: Final = "allergens"
"""Fewer get it right than would guess it."""
BAD: Final = (MISKEYED, TOO_EASY, BACKWARDS, UNKNOWABLE)
_LURE: Final = {MISKEYED: "c", BACKWARDS: "a", UNKNOWABLE: "c"}
_SLOPE: Final = 1.6
_OFTEN: Final = 0.45


def examination_files() -> Mapping[str, str]:
    """Return the text of the bank, the blueprint and the class's answers, by path."""
    folder = files("comity.demo") / FOLDER
    texts = {name: (folder / name).read_text(encoding="utf-8") for name in _NAMES}
    answers = responses_csv(class_answers(demo_items())).decode("utf-8")
    return {f"{FOLDER}/{name}": text for name, text in {**texts, _ANSWERS: answers}.items()}


def demo_items() -> tuple[BestAnswer, ...]:
    """Return the items that the class practised."""
    text = (files("comity.demo") / FOLDER / "items.yaml").read_text(encoding="utf-8")
    bank = read_bank(text, "items.yaml").value
    return () if bank is None else tuple(e for e in bank.items if isinstance(e, BestAnswer))


def class_answers(
    items: Sequence[BestAnswer], *, n_people: int = N_PEOPLE, seed: int = SEED
) -> tuple[GivenAnswer, ...]:
    """Return the answers of an invented class; the same for the same seed.

    Parameters
    ----------
    items : sequence of BestAnswer
        Those of `BAD` are answered as bad items are.
    n_people : int
        From weak to strong, in an order of chance.
    seed : int
    """
    rng = np.random.default_rng(seed)
    # Evenly spread from -1.6 to 2: a real class has no gaps to speak of, and few at either end.
    abilities = rng.permutation(np.linspace(-1.6, 2.0, n_people))
    hardness = {item.id: float(1.8 * rng.random() - 1.3) for item in items}
    answers: list[GivenAnswer] = []
    for number, ability in enumerate(abilities, 1):
        person = f"p{number:02d}"
        answers += _answers_of(person, float(ability), items, hardness=hardness, rng=rng)
    return tuple(answers)


def _answers_of(
    person: str,
    ability: float,
    items: Sequence[BestAnswer],
    *,
    hardness: dict[str, float],
    rng: np.random.Generator,
) -> Iterator[GivenAnswer]:
    for place, item in enumerate(items):
        # Some items a day, on weekdays, each week a part of them.
        on = Day(FIRST_DAY + 7 * (place // 5) + place % 5)
        chosen = _chosen(item, ability, hardness=hardness[item.id], rng=rng)
        yield GivenAnswer(person, item.id, chosen, None, on, Place("", 0, 0))


def _chosen(item: BestAnswer, ability: float, *, hardness: float, rng: np.random.Generator) -> str:
    knows = rng.random() < 1 / (1 + np.exp(-_SLOPE * (ability - hardness)))
    guess = rng.random()
    others = [option for option in item.options if option != item.answer]
    if item.id == TOO_EASY:
        return item.answer
    if item.id == BACKWARDS:
        return _LURE[item.id] if knows else item.answer
    # Who does not know takes the key of such an item, or whatever comes to mind.
    if item.id in _LURE:
        return _LURE[item.id] if knows or guess > _OFTEN else item.answer
    return item.answer if knows else others[int(guess * len(others))]
