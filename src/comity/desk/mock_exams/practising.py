"""Which question comes next."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from comity.desk.mock_exams.shown import Sat


def next_number(shown: Sat) -> int:
    """Return the question to go on with: the first open one, in practice in an order of its own.

    Where all are answered it is the last one of that order.
    """
    order = practice_order(shown) if shown.is_practice else range(1, shown.n_questions + 1)
    *_before, last = order
    return next((number for number in order if not shown.is_answered(number)), last)


def practice_order(shown: Sat) -> list[int]:
    """Return the questions in an order that is the sitting's own, the same at every look."""
    rng = np.random.default_rng(shown.sitting.pk.int)
    return [int(at) + 1 for at in rng.permutation(shown.n_questions)]
