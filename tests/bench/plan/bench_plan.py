"""Plans: many futures, the earliest plan, limits, order dates, and the whole command."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np

from comity.core.plan.earliest import earliest_plan
from comity.core.plan.greedy import greedy_plan
from comity.core.plan.ordering import Search
from comity.core.plan.policies import Policy
from comity.core.plan.simulating import draw, simulate
from comity.core.plan.solving import solve
from comity.service.demo import lay_out
from tests.bench.plan.loops import futures_by_loop
from tests.bench.plan.models import earliest_by_solver, limited_by_solver
from tests.bench.plan.networks import network, task
from tests.bench.registry import Measure, bench, faster_than, interleaved, no_more_than
from tests.unit.core.plan.samples import route

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.bench.registry import Settings

N_DRAWS = 10_000
SECONDS = 60.0
"""For the model as one would first write it; where it proves nothing, this is what it took."""


@bench
def plan_futures(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """10,000 futures of 20 steps, sampling included, against a loop over the same draws."""
    found = network(20)

    def ours() -> list[int]:
        futures = simulate(found, draw(found, N_DRAWS, np.random.default_rng(7)))
        ends: list[int] = futures.ends[found.steps[-1].id].tolist()
        return ends

    def loop() -> list[int]:
        return futures_by_loop(found, draw(found, N_DRAWS, np.random.default_rng(7)))

    assert ours() == loop(), "the futures differ"
    seconds = interleaved({"ours": ours, "loop": loop}, settings.rounds)
    yield (
        "plan 10,000 futures x 20 steps",
        faster_than(
            1_000 * seconds["ours"], 1_000 * seconds["loop"], unit="ms", at_least=35, at_most=25
        ),
    )


@bench
def plan_earliest(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """The least fixpoint against CP-SAT on the same network."""
    for n_steps, most_ms in ((20, 1.0), (60, 2.0)):
        found = network(n_steps)
        plan = earliest_plan(found)
        assert plan is not None
        start = perf_counter()
        ends = earliest_by_solver(found)
        baseline = perf_counter() - start
        assert plan.ends == ends, "the plans differ"
        many = interleaved({"ours": lambda: _earliest(found)}, max(settings.rounds, 3))  # noqa: B023
        yield (
            f"plan earliest, {n_steps} steps",
            faster_than(
                1_000 * many["ours"] / _REPEATS,
                1_000 * baseline,
                unit="ms",
                at_least=1_000,
                at_most=most_ms,
            ),
        )


_REPEATS = 50


def _earliest(found: object) -> None:
    for _ in range(_REPEATS):
        earliest_plan(found)  # type: ignore[arg-type]


@bench
def plan_limited(_settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Money and hours, 20 steps: the first plan at once, then the best one proved."""
    given = task(20)
    start = perf_counter()
    first = greedy_plan(given)
    at_once = perf_counter() - start
    assert first is not None
    yield "plan first within limits", no_more_than(1_000 * at_once, 50, unit="ms")
    start = perf_counter()
    best = solve(given, seconds=SECONDS)
    ours = perf_counter() - start
    assert best is not None
    start = perf_counter()
    end, is_proved = limited_by_solver(given, seconds=SECONDS)
    baseline = perf_counter() - start
    assert best.is_best, "the plan is not proved the best"
    assert best.end == end if is_proved else best.end <= end, "the best plans differ"
    yield (
        "plan best within limits, 20 steps",
        faster_than(ours, baseline, unit="s", at_least=3),
    )


@bench
def plan_orders(_settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Order dates of three papers on 2,000 futures, judged on 20,000 fresh ones."""
    found = route()
    start = perf_counter()
    chosen = Search(found, "submit", draw(found, 2_000, np.random.default_rng(1))).best()
    yield "plan order dates, 3 papers", no_more_than(perf_counter() - start, 5, unit="s")
    fresh = Search(found, "submit", draw(found, 20_000, np.random.default_rng(2)))
    cost = fresh.judge(chosen).cost
    at_once = fresh.judge([Policy(paper) for paper in fresh.papers]).cost
    yield (
        "plan order dates, cost in days",
        faster_than(cost, at_once, unit="days", at_least=2),
    )


@bench
def plan_command(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """The whole command for one applicant, from its start to its JSON."""
    with TemporaryDirectory() as name:
        demo = lay_out(Path(name) / "demo").folder
        command = [
            sys.executable, "-c", "from comity.cli.main import app; app()", "plan",
            str(demo / "applicants" / "zdenka.yaml"), "--rulebook", str(demo / "rulebooks"),
            "--title", "xa-council/dietitian", "--json", "--today", "2026-11-25",
        ]  # fmt: skip

        def run() -> None:
            subprocess.run(command, check=True, capture_output=True, env=os.environ)

        seconds = interleaved({"ours": run}, settings.rounds)
        yield "plan, whole command", no_more_than(seconds["ours"], 2, unit="s")
