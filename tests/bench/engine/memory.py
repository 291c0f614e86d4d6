"""Peak memory over the data, in a process of its own: ``python -m tests.bench.engine.memory``."""

from __future__ import annotations

import ctypes
import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.engine import ours
from tests.bench.engine.applicants import make_applicants

if TYPE_CHECKING:
    from collections.abc import Callable


def peak_mb(run: Callable[[], object]) -> float:
    """Return by how many MB a run raises the process's memory at its highest."""
    gc.collect()
    ctypes.CDLL(None).malloc_trim(0)
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")  # forget the highest so far
    before = _status_kb("VmRSS")
    kept = run()
    peak = _status_kb("VmHWM")
    del kept
    return (peak - before) / 1024


def _status_kb(name: str) -> int:
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith(name))


def _prepared(engine: str, n_rows: int) -> Callable[[], object]:
    """Return what is to be measured, its data loaded and its tables made."""
    if engine == "ours":
        applicants = make_applicants(n_rows)
        ours.day_sets(applicants.rows(0, 1_000))
        return lambda: ours.day_sets(applicants)
    from tests.bench.engine import duckdb_queries  # noqa: PLC0415 - not in our own process

    connection = duckdb_queries.connect(make_applicants(n_rows))
    return lambda: duckdb_queries.day_sets(connection)


if __name__ == "__main__":
    print(peak_mb(_prepared(sys.argv[1], int(sys.argv[2]))))
