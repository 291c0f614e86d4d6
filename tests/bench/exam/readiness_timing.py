"""Times readiness, plans and choices of items; run by the bench in its own process."""

from __future__ import annotations

import json
import sys
from functools import partial
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

import numpy as np

from comity.core.exam.exam_chance import Exam
from comity.core.exam.information import item_information
from comity.core.exam.irt import ItemParameters
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.readiness import prospect
from comity.core.exam.selecting import FEW, next_item, pool_of
from comity.core.exam.study import Wishes, plan_study
from comity.core.exam.study_days import StudyTime
from tests.bench.registry import interleaved
from tests.cohorts import Setting, blueprint_of, cohort

if TYPE_CHECKING:
    from collections.abc import Callable

N_DOMAINS = 12
BANK = 5000
PICKS = 30
CUT = 0.55


def time_refit(rounds: int) -> dict[str, float]:
    """Return seconds of a fit of 300 people with 200 answers each."""
    found = cohort(Setting(300))
    fit = partial(fit_practice, found.practice, blueprint_of(N_DOMAINS))
    assert np.corrcoef(fit().b, fit().b)[0, 1] > 0.999
    return interleaved({"ours": fit}, rounds)


def time_study(rounds: int) -> dict[str, float]:
    """Return seconds of a plan, and what it gains over study in proportion."""
    found = cohort(Setting(30, seed=1))
    known = prospect(found.practice, blueprint_of(N_DOMAINS), Exam(100, CUT))
    # Somebody near the mark, and three domains in which study goes slowly.
    person = min(
        found.practice.people,
        key=lambda each: abs((known.readiness(each, found.on).uncorrected or 0) - 0.4),
    )
    start = found.practice.today
    time = StudyTime(start, start + 56, 10)
    wishes = Wishes({}, 20, {"d0": 2.0, "d1": 2.0, "d2": 2.0})

    def plan() -> Any:  # noqa: ANN401 - one type, told by the caller below
        rng = np.random.default_rng(1)
        return plan_study(known, person, time, rng=rng, wishes=wishes)

    gain = plan().gain
    return interleaved({"ours": plan}, rounds) | {"gain": gain.gain, "noise": gain.noise}


def time_next(rounds: int) -> dict[str, float]:
    """Return seconds of one choice, in practice of thirty items."""
    rng = np.random.default_rng(2)
    ids = tuple(f"i{at}" for at in range(BANK))
    items = ItemParameters(ids, rng.lognormal(0, 0.3, BANK), rng.normal(size=BANK))
    domains = [f"d{at % N_DOMAINS}" for at in range(BANK)]
    pool = pool_of(items, domains, blueprint_of(N_DOMAINS))
    information = item_information(items, 0.5)[:, 0]
    turn = next_item(pool, (), 0.5, rng=rng)
    own = sorted(information[at] for at in range(int(turn.domain[1:]), BANK, N_DOMAINS))
    assert information[ids.index(turn.item)] >= own[-FEW]

    def ours() -> None:
        given: set[str] = set()
        for _ in range(PICKS):
            given.add(next_item(pool, given, 0.5, rng=rng).item)

    functions: dict[str, Callable[[], object]] = {"ours": ours}
    if find_spec("catsim"):
        functions["catsim"] = _catsim(items)
    seconds = interleaved(functions, rounds)
    return {name: each / PICKS for name, each in seconds.items()}


def _catsim(items: ItemParameters) -> Callable[[], object]:
    """Return thirty choices by maximum information alone."""
    table = np.column_stack((items.a, items.b, np.zeros(items.a.size), np.ones(items.a.size)))
    bank = import_module("catsim").ItemBank(table)
    selector = import_module("catsim.selection").MaxInfoSelector()

    def theirs() -> None:
        given: list[int] = []
        for _ in range(PICKS):
            given.append(selector.select(item_bank=bank, administered_items=given, est_theta=0.5))

    return theirs


if __name__ == "__main__":
    parts = {"refit": time_refit, "study": time_study, "next": time_next}
    print(json.dumps(parts[sys.argv[1]](int(sys.argv[2]))))
