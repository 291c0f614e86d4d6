"""Times forms of 100 out of 5,000 items; run by the bench in a process with one BLAS thread."""

from __future__ import annotations

import json
import sys
from time import perf_counter
from typing import Final

from comity.core.exam.assembly import assemble
from comity.core.exam.assembly_request import Assembled
from tests.bench.exam.large_bank import Instance, bare, instance
from tests.bench.registry import interleaved

WITHIN: Final = 0.25
TIMES_OURS: Final = 10
WANTED_GAP: Final = 1e-3


def ours(asked: Instance) -> Assembled:
    """Return our forms.

    Raises
    ------
    AssertionError
        When there are none.
    """
    found = assemble(asked.bank, asked.blueprint, asked.request, parameters=asked.parameters)
    if isinstance(found, Assembled):
        return found
    raise AssertionError(found)


def time_one(rounds: int) -> dict[str, float]:
    """Return seconds of one form, ours and the solver's alone, and how far the two differ."""
    asked = instance()
    plain = bare(asked)
    found, theirs = ours(asked), plain.solve(seconds=60)[0]
    seconds = interleaved(
        {"ours": lambda: ours(asked), "bare": lambda: plain.solve(seconds=60)}, rounds
    )
    away = float("inf") if theirs is None else abs(found.objective - theirs)
    return seconds | {"away": away, "gap": found.gap, "score": found.forms[0].expected_score}


def time_four(score: float) -> dict[str, float]:
    """Return seconds and gap of four forms; the gap of one programme after ten times as long."""
    asked = instance(n_forms=4, score=(score - WITHIN, score + WITHIN))
    start = perf_counter()
    found = ours(asked)
    seconds = perf_counter() - start
    plain = bare(asked, n_forms=4)
    start = perf_counter()
    _, gap = plain.solve(seconds=TIMES_OURS * seconds, gap=WANTED_GAP)
    return {"ours": seconds, "gap": found.gap, "bare": perf_counter() - start, "bare_gap": gap}


if __name__ == "__main__":
    one = time_one(int(sys.argv[1]))
    print(json.dumps({"one": one, "four": time_four(one["score"])}))
