"""Tries a model out: how many draws give an item, and what refuses the others."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.item_models.generating import generate
from comity.core.exam.item_models.item import GeneratedItem

if TYPE_CHECKING:
    from comity.core.exam.item_models.checking import ReadyModel

MAX_REFUSED: Final = 0.6
"""Share of refused draws from which on a model deserves narrower ranges."""


@dataclass(frozen=True, slots=True)
class Trial:
    """What some draws of a model gave.

    Parameters
    ----------
    items : tuple of GeneratedItem
        By draw.
    reasons : tuple of (str, int)
        Why draws were refused, the most frequent first.
    """

    items: tuple[GeneratedItem, ...]
    reasons: tuple[tuple[str, int], ...]

    @property
    def refused_share(self) -> float:
        """Share of the draws that gave no item."""
        n_refused = sum(n for _, n in self.reasons)
        return n_refused / (n_refused + len(self.items))


def try_out(ready: ReadyModel, *, n: int = 100, seed: int = 0) -> Trial:
    """Return what `n` draws of a model give."""
    drawn = [
        generate(ready, np.random.default_rng((seed, draw)), seed=seed, draw=draw)
        for draw in range(n)
    ]
    items = tuple(each for each in drawn if isinstance(each, GeneratedItem))
    reasons = Counter(
        each.reason.partition(", ")[0] for each in drawn if not isinstance(each, GeneratedItem)
    )
    return Trial(items, tuple(reasons.most_common()))
