"""Items looked over and drawn: what a bank holds, and what models give for a seed."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from comity.core.exam.item_models import NoItemError, item_of_seed
from comity.core.exam.items import Bank
from comity.core.exam.items_generated import item_from_generated
from comity.core.problems import Problem

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from comity.core.exam.item_models.checking import ReadyModel
    from comity.core.exam.items import Item

KINDS = {
    "answer": "one best answer",
    "answers": "several answers",
    "number": "a number",
    "matches": "matching",
}


@dataclass(frozen=True, slots=True)
class Drawn:
    """Items that models gave, with what is to be said beside each."""

    items: tuple[Item, ...]
    cautions: Mapping[str, tuple[str, ...]]
    problems: tuple[Problem, ...]

    def as_bank(self) -> Bank:
        """Return the items as a bank."""
        return Bank(bank="drawn", items=self.items)


def draw_items(models: Sequence[ReadyModel], *, n_each: int, seed: int) -> Drawn:
    """Return items of each model; the same for the same seed.

    A model that gives none for a seed is told as a problem, the others go on.
    """
    items: list[Item] = []
    cautions: dict[str, tuple[str, ...]] = {}
    problems: list[Problem] = []
    for model in models:
        for number in range(n_each):
            try:
                drawn = item_of_seed(model, seed + number)
            except NoItemError as error:
                problems.append(Problem("X507", "this cannot be worked out", got=str(error)))
                break
            item = replace(item_from_generated(drawn), high_risk=model.model.high_risk)
            items.append(item)
            cautions[item.id] = drawn.cautions
    return Drawn(tuple(items), cautions, tuple(problems))


@dataclass(frozen=True, slots=True)
class Overview:
    """What a bank holds.

    Parameters
    ----------
    n_items, n_cases : int
    counts : mapping
        By what is counted (domain, level, kind, state), how many items of each.
    n_with_explanation, n_drawn, n_judged, n_high_risk : int
    """

    n_items: int
    n_cases: int
    counts: Mapping[str, Mapping[str, int]]
    n_with_explanation: int
    n_drawn: int
    n_judged: int
    n_high_risk: int


def overview_of(banks: Sequence[Bank]) -> Overview:
    """Return how many items of each sort there are, the most frequent first."""
    items = [item for bank in banks for item in bank.items]
    by = {
        "domain": (item.domain for item in items),
        "level": (item.level.value for item in items),
        "kind": (KINDS[item.kind] for item in items),
        "state": (item.state.value for item in items),
    }
    return Overview(
        len(items),
        sum(len(bank.cases) for bank in banks),
        {what: _counted(values) for what, values in by.items()},
        sum(item.explanation is not None for item in items),
        sum(item.generated is not None for item in items),
        sum(item.judged is not None for item in items),
        sum(item.high_risk for item in items),
    )


def _counted(values: Iterable[str]) -> dict[str, int]:
    return dict(Counter(values).most_common())


def overview_data(found: Overview) -> dict[str, object]:
    """Return an overview as JSON has it."""
    return {
        "items": found.n_items,
        "cases": found.n_cases,
        **{f"by_{what}": dict(counts) for what, counts in found.counts.items()},
        "with_explanation": found.n_with_explanation,
        "from_models": found.n_drawn,
        "judged": found.n_judged,
        "high_risk": found.n_high_risk,
    }
