"""Run all benches, print a table, and write ``build/bench.json``."""

from __future__ import annotations

import argparse
import importlib
import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.registry import BENCHES, Settings

if TYPE_CHECKING:
    from tests.bench.registry import Measure

HERE = Path(__file__).parent
ROOT = HERE.parent.parent


def load_benches() -> None:
    """Import every module that declares benches."""
    for path in sorted(HERE.rglob("bench_*.py")):
        importlib.import_module(".".join(path.relative_to(ROOT).with_suffix("").parts))


def run(only: list[str], settings: Settings) -> dict[str, Measure]:
    """Run the benches whose names contain one of the words given, or all of them."""
    found: dict[str, Measure] = {}
    for name, function in BENCHES.items():
        if only and not any(word in name for word in only):
            continue
        for label, measure in function(settings):
            found[label] = measure
            show(label, measure)
    return found


def show(label: str, measure: Measure) -> None:
    """Print one line."""
    verdict = {True: "ok", False: "MISSED", None: ""}[measure.ok]
    baseline = "" if measure.baseline is None else f"baseline {measure.baseline:g}"
    ratio = "" if measure.ratio is None else f"{measure.ratio:.2f}x"
    value = f"{measure.value} {measure.unit}"
    print(f"{label:48} {value:26} {baseline:18} {ratio:9} {measure.target or '':32} {verdict}")
    sys.stdout.flush()


def main() -> None:
    """Read the options, run, write."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("only", nargs="*", help="words in the names of the benches to run")
    parser.add_argument("--sizes", default="100000,1000000", help="numbers of applicants")
    parser.add_argument("--rounds", type=int, default=3, help="rounds to take the median of")
    parser.add_argument("-o", "--output", type=Path, default=ROOT / "build" / "bench.json")
    options = parser.parse_args()
    sizes = tuple(int(size) for size in options.sizes.split(","))
    load_benches()
    found = run(options.only, Settings(sizes, options.rounds))
    options.output.parent.mkdir(parents=True, exist_ok=True)
    lines = {label: asdict(measure) for label, measure in found.items()}
    options.output.write_text(json.dumps(lines, indent=2) + "\n", encoding="utf-8")
    print(f"written to {options.output}")


if __name__ == "__main__":
    main()
