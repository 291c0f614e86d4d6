"""Day-sets of many applicants and of one, against queries, loops and an interval library."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from tests.bench.engine import duckdb_queries, ours, polars_queries, portion_sets, python_loops
from tests.bench.engine.applicants import AS_AT, Applicants, make_applicants
from tests.bench.registry import Measure, Settings, bench, faster_than, interleaved, no_more_than

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[3]
N_LOOPED = 20_000
# Polars and DuckDB use every processor as they please. Ours is held against them on one; what its
# blocks gain by threads is a figure of its own.
WORKERS = os.cpu_count() or 1


def check(agree: bool, what: str) -> None:  # noqa: FBT001 - a claim and its name
    """Stop when results differ: times of different answers mean nothing."""
    if not agree:
        message = f"results differ: {what}"
        raise AssertionError(message)


@bench
def day_sets_against_queries(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Ten years of day-sets against Polars and DuckDB."""
    for size in settings.sizes:
        applicants = make_applicants(size)
        frames, database = (
            polars_queries.frames_of(applicants),
            duckdb_queries.connect(applicants),
        )
        expected = ours.day_sets(applicants, workers=WORKERS)
        found = polars_queries.to_sets(polars_queries.day_sets(frames), size)
        check(found == expected, f"Polars, {size} applicants")
        duckdb_queries.day_sets(database)
        check(duckdb_queries.to_sets(database, size) == expected, f"DuckDB, {size} applicants")
        del expected, found
        seconds = interleaved(
            {
                "ours": partial(ours.day_sets, applicants),
                "all cores": partial(ours.day_sets, applicants, workers=WORKERS),
                "polars": partial(polars_queries.day_sets, frames),
                "duckdb": partial(duckdb_queries.day_sets, database),
            },
            settings.rounds,
        )
        per_applicant = {name: each / size * 1e6 for name, each in seconds.items()}
        best = min(per_applicant["polars"], per_applicant["duckdb"])
        yield (
            f"day-sets, {size} applicants",
            faster_than(per_applicant["ours"], best, unit="us/applicant", at_least=3.5),
        )
        for name in ("all cores", "polars", "duckdb"):
            label = f"day-sets, {size} applicants: {name}"
            yield label, Measure(float(f"{per_applicant[name]:.4g}"), "us/applicant")


@bench
def day_sets_against_loops(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Ten years of day-sets against a plain loop over applicants."""
    applicants = make_applicants(N_LOOPED)
    entries = list(python_loops.people(applicants))
    found = python_loops.to_sets(python_loops.day_sets(entries))
    check(found == ours.day_sets(applicants), "plain loops")
    seconds = interleaved(
        {
            "ours": lambda: ours.day_sets(applicants),
            "loops": lambda: python_loops.day_sets(entries),
        },
        settings.rounds,
    )
    value, baseline = (seconds[name] / N_LOOPED * 1e6 for name in ("ours", "loops"))
    yield (
        "day-sets, against plain Python loops",
        faster_than(value, baseline, unit="us/applicant", at_least=12),
    )


@bench
def verdicts_against_queries(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Verdicts on one day against Polars and DuckDB."""
    size = max(settings.sizes)
    applicants = make_applicants(size)
    frames, database = polars_queries.frames_of(applicants), duckdb_queries.connect(applicants)
    expected = ours.verdicts(applicants, workers=WORKERS)
    found = polars_queries.to_verdicts(polars_queries.verdicts(frames))
    check(bool((found == expected).all()), "verdicts, Polars")
    duckdb_queries.verdicts(database)
    check(bool((duckdb_queries.to_verdicts(database) == expected).all()), "verdicts, DuckDB")
    seconds = interleaved(
        {
            "ours": lambda: ours.verdicts(applicants),
            "all cores": lambda: ours.verdicts(applicants, workers=WORKERS),
            "polars": lambda: polars_queries.verdicts(frames),
            "duckdb": lambda: duckdb_queries.verdicts(database),
        },
        settings.rounds,
    )
    per_applicant = {name: each / size * 1e6 for name, each in seconds.items()}
    best = min(per_applicant["polars"], per_applicant["duckdb"])
    yield (
        f"verdicts on a day, {size} applicants",
        faster_than(per_applicant["ours"], best, unit="us/applicant", at_least=4.5),
    )
    for name in ("all cores", "polars", "duckdb"):
        label = f"verdicts on a day, {size} applicants: {name}"
        yield label, Measure(float(f"{per_applicant[name]:.4g}"), "us/applicant")


@bench
def one_applicant(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """One applicant, certain and possible, against `portion`."""
    readings = _two_readings()
    entries = list(python_loops.people(readings))

    def by_portion() -> list[tuple[bool, int, int]]:
        sets = [
            portion_sets.sets_of(spells, qualified, issued=issued, expiry=expiry)
            for spells, qualified, issued, expiry in entries
        ]
        return [portion_sets.answer(each[-1], AS_AT) for each in sets]

    _, *answers = ours.certain_and_possible(readings)
    check(list(zip(*(each.tolist() for each in answers), strict=True)) == by_portion(), "portion")
    times = 200
    seconds = interleaved(
        {
            "ours": lambda: [ours.certain_and_possible(readings) for _ in range(times)],
            "portion": lambda: [by_portion() for _ in range(times)],
        },
        settings.rounds,
    )
    value, baseline = (seconds[name] / times * 1e3 for name in ("ours", "portion"))
    yield (
        "one applicant, certain and possible, four requirements",
        faster_than(value, baseline, unit="ms", at_least=1, at_most=1),
    )


def _two_readings() -> Applicants:
    """Return one applicant whose first start is known to the month: certain, then possible."""
    one = make_applicants(200).rows(7, 8)
    both = Applicants(
        type(one.spells)(
            np.concatenate((one.spells.offsets, one.spells.offsets[1:] + one.spells.offsets[-1])),
            tuple(np.tile(column, 2) for column in one.spells.columns),
        ),
        *(np.tile(each, 2) for each in (one.qualified, one.issued, one.expiry)),
    )
    both.spells.columns[0][one.spells.offsets[-1]] -= 30
    return both


@bench
def peak_memory(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Peak memory over the data against DuckDB."""
    size = max(settings.sizes)
    value, baseline = (_peak_mb(engine, size) for engine in ("ours", "duckdb"))
    yield (
        f"peak memory over the data, {size} applicants",
        faster_than(value, baseline, unit="MB", at_least=20, at_most=200),
    )


def _peak_mb(engine: str, size: int) -> float:
    command = [sys.executable, "-m", "tests.bench.engine.memory", engine, str(size)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return float(done.stdout)


@bench
def growth(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Cost of an applicant among a thousand and among very many."""
    few, many = 1_000, max(settings.sizes)
    small, large = make_applicants(few), make_applicants(many)
    times = 50
    seconds = interleaved(
        {
            "few": lambda: [ours.day_sets(small) for _ in range(times)],
            "many": lambda: ours.day_sets(large),
        },
        settings.rounds,
    )
    growth = (seconds["many"] / many) / (seconds["few"] / few / times)
    yield (
        f"cost of an applicant, {many} against {few}",
        no_more_than(growth, 1.3, unit="times"),
    )
