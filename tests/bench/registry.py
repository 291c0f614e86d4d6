"""How a bench is declared, timed and reported.

A module named ``bench_*.py`` anywhere below ``tests/bench`` declares benches with `bench`; the
runner finds them by itself.
"""

from __future__ import annotations

import gc
import statistics
from dataclasses import dataclass
from time import perf_counter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping


@dataclass(frozen=True, slots=True)
class Settings:
    """How large and how often: numbers of applicants, and rounds to take the median of."""

    sizes: tuple[int, ...] = (100_000, 1_000_000)
    rounds: int = 3


@dataclass(frozen=True, slots=True)
class Measure:
    """One line of ``build/bench.json``; what does not apply is None."""

    value: float | None
    unit: str | None
    baseline: float | None = None
    ratio: float | None = None
    target: str | None = None
    ok: bool | None = None


BENCHES: dict[str, Callable[[Settings], Iterator[tuple[str, Measure]]]] = {}


def bench(
    function: Callable[[Settings], Iterator[tuple[str, Measure]]],
) -> Callable[[Settings], Iterator[tuple[str, Measure]]]:
    """Declare a bench: it yields names and measures, after it has compared results."""
    BENCHES[function.__name__] = function
    return function


def interleaved(functions: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Return the median seconds of each function, all run in turn so that a busy spell hits all."""
    seconds: dict[str, list[float]] = {name: [] for name in functions}
    for _ in range(rounds):
        for name, function in functions.items():
            gc.collect()
            start = perf_counter()
            function()
            seconds[name].append(perf_counter() - start)
    return {name: statistics.median(each) for name, each in seconds.items()}


def faster_than(
    value: float, baseline: float, *, unit: str, at_least: float, at_most: float | None = None
) -> Measure:
    """Return the measure of something that should be so many times as fast as a baseline."""
    ratio = baseline / value
    target = f"ratio >= {at_least:g}" + ("" if at_most is None else f", value <= {at_most:g}")
    ok = ratio >= at_least and (at_most is None or value <= at_most)
    return Measure(_rounded(value), unit, _rounded(baseline), _rounded(ratio), target, ok)


def no_more_than(value: float, at_most: float, *, unit: str) -> Measure:
    """Return the measure of something that should stay below a bound."""
    return Measure(_rounded(value), unit, target=f"value <= {at_most:g}", ok=value <= at_most)


def _rounded(number: float) -> float:
    """Return a number with four significant digits."""
    return float(f"{number:.4g}")
