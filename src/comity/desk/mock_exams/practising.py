"""Which question comes next."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from comity.desk.mock_exams.practice_log import fit_now

if TYPE_CHECKING:
    from comity.desk.mock_exams.shown import Sat


def next_number(shown: Sat) -> int:
    """Return the question to go on with; the last one where all are answered.

    In a mock examination it is the first open one. In practice it is the one that tells most about
    the person, by the shares of the examination, or one about to be forgotten; questions that
    belong to no part of the examination come last.
    """
    n = shown.n_questions
    open_ones = [number for number in range(1, n + 1) if not shown.is_answered(number)]
    if not open_ones:
        return n
    return _practised_next(shown, open_ones) if shown.is_practice else open_ones[0]


def _practised_next(shown: Sat, open_ones: list[int]) -> int:
    from comity.service.mock_readiness import next_of  # noqa: PLC0415 - it loads scipy.stats, which the desk starts without

    items = shown.bank.items
    still_open = {items[number - 1].id: number for number in open_ones}
    given = [item.id for item in items if item.id not in still_open]
    # The same question at every look, until it is answered.
    seed = shown.sitting.pk.int % 2**63 + len(given)
    found = next_of(fit_now(), str(shown.sitting.case_id), items, given=given, seed=seed)
    if found in still_open:
        return still_open[found]
    return open_ones[int(np.random.default_rng(seed).integers(len(open_ones)))]
