"""Item calibration and abilities against plain NumPy and girth 0.8, one BLAS thread."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING

from tests.bench.registry import Measure, bench, faster_than, no_more_than

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.bench.registry import Settings

ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
SAME = 0.02
"""How far our estimates and the baseline's may lie apart."""


@bench
def two_parameter_calibration(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Two-parameter calibration, standard errors included."""
    for size in ("1000x100", "5000x200"):
        found = timed(size, settings.rounds)
        label, ours = f"2PL {size} with errors", found["ours"]
        yield f"{label}, times plain EM", no_more_than(ours / found["plain"], 2, unit="x")
        yield f"{label}, against girth", faster_than(ours, found["girth"], unit="s", at_least=40)
        ratio = found["rmse"] / found["rmse_plain"]
        yield f"{label}, RMSE(a) over ML's", no_more_than(ratio, 1.05, unit="x")


@bench
def rasch_calibration(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """One common discrimination, estimated or 1; standard errors included."""
    found = timed("rasch", settings.rounds)
    girth = found["girth"]
    yield "1PL 5000x200 with errors", faster_than(found["ours"], girth, unit="s", at_least=8)
    yield "Rasch 5000x200 with errors", faster_than(found["rasch"], girth, unit="s", at_least=8)


@bench
def posterior_means(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Abilities on known items."""
    found = timed("eap", settings.rounds)
    yield "EAP 10000x100", faster_than(found["ours"], found["girth"], unit="s", at_least=2)


def timed(part: str, rounds: int) -> dict[str, float]:
    """Return the figures of a process of its own: BLAS reads its threads when it is loaded."""
    command = [sys.executable, "-m", "tests.bench.psychometrics.timing", part, str(rounds)]
    done = subprocess.run(
        command, env=os.environ | ONE_THREAD, check=True, capture_output=True, text=True
    )
    found: dict[str, float] = json.loads(done.stdout)
    assert found["gap"] < SAME, f"{part}: results differ by {found['gap']}"
    return found
