"""Readiness for a school, a study plan while one waits, and the next item without a wait."""

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


@bench
def readiness_of_a_school(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """A refit from scratch of 60,000 answers."""
    found = timed("refit", settings.rounds)
    yield "readiness refit, 300 people x 200", no_more_than(found["ours"], 1.5, unit="s")


@bench
def study_plan(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Eighty hours over twelve domains, the gain measured on fresh abilities."""
    found = timed("study", settings.rounds)
    yield "study plan, 12 domains x 80 h", no_more_than(found["ours"] * 1000, 50, unit="ms")
    yield "study plan, gain over proportional", Measure(found["gain"], "chance")
    yield "study plan, noise of the gain", Measure(found["noise"], "chance")


@bench
def next_item_of_a_bank(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """The next of 5,000 items, with balance of domains and exposure control."""
    found = timed("next", settings.rounds)
    yield "next item of 5,000", no_more_than(found["ours"] * 1e6, 200, unit="us")
    label = "next item, against catsim"
    if "catsim" in found:
        yield label, faster_than(found["ours"], found["catsim"], unit="s", at_least=30)
    else:
        yield label, Measure(None, None, target="catsim 0.21 is not installed")


def timed(part: str, rounds: int) -> dict[str, float]:
    """Return the figures of a process of its own: BLAS reads its threads when it is loaded."""
    command = [sys.executable, "-m", "tests.bench.exam.readiness_timing", part, str(rounds)]
    done = subprocess.run(
        command, env=os.environ | ONE_THREAD, check=True, capture_output=True, text=True
    )
    found: dict[str, float] = json.loads(done.stdout)
    return found
