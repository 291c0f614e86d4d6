"""The next items for one person: what tells or teaches most, and what is about to be forgotten."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from comity.core.exam.practice import practice_from_log, practice_items
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.reviews import ReviewState
from comity.core.exam.selecting import (
    SelectingError,
    ability_of,
    about_to_be_forgotten,
    next_item,
    parameters_of,
    pool_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.items import Bank, Item
    from comity.core.exam.practice import DatedAnswer
    from comity.core.exam.selecting import Pool, Turn

_OUT = {ReviewState.WITHDRAWN, ReviewState.SENT_BACK}


@dataclass(slots=True)
class Practising:
    """One person practising: items are given one by one, none twice unless it is due."""

    items: Mapping[str, Item]
    pool: Pool
    ability: Mapping[str, float]
    rng: np.random.Generator
    given: set[str] = field(default_factory=set)
    due: list[str] = field(default_factory=list)

    def next(self) -> Turn | None:
        """Return the next item, or None when all were given."""
        try:
            turn = next_item(self.pool, self.given, self.ability, rng=self.rng, due=self.due)
        except SelectingError:
            return None
        self.given.add(turn.item)
        if turn.item in self.due:
            self.due.remove(turn.item)
        return turn


def practising(  # noqa: PLR0913 - a person, what they answered, and when
    answers: Sequence[DatedAnswer],
    bank: Bank,
    blueprint: Blueprint,
    *,
    person: str,
    today: Day,
    exam_on: Day | None = None,
    seed: int = 1,
) -> Practising:
    """Return a person ready to practise; of somebody who is new, nothing need be known.

    Raises
    ------
    ResponsesError, SelectingError
        When an answer is to no item of the bank, or no item belongs to the blueprint.
    """
    usable = [item for item in bank.items if item.state not in _OUT]
    practice = practice_from_log(answers, practice_items(bank.items), today=today)
    fit = fit_practice(practice, blueprint)
    had = {each.item for each in answers if each.person == person}
    out = {item.id for item in bank.items} - {item.id for item in usable}
    pool = pool_of(parameters_of(fit), [item.domain for item in bank.items], blueprint)
    due = [id_ for id_ in about_to_be_forgotten(fit, person, exam_on=exam_on) if id_ not in out]
    return Practising(
        {item.id: item for item in bank.items},
        pool,
        ability_of(fit, person),
        np.random.default_rng(seed),
        had | out,
        due,
    )
