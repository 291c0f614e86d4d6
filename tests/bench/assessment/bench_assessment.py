"""How long one complete assessment takes, warm, and the whole command, cold."""

from __future__ import annotations

import resource
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assess import assess
from comity.core.eligibility.assessment import Verdict
from tests.bench.assessment.forty import (
    N_REQUIREMENTS,
    applicant_text,
    forty_requirements,
    rulebook_text,
)
from tests.bench.registry import Measure, Settings, bench, interleaved

if TYPE_CHECKING:
    from collections.abc import Iterator

from datetime import date

TODAY = day_from_date(date(2026, 11, 25))
MOST_MS = 10.0
MOST_TIMES = 4.0
N_WARM = 15


@bench
def one_rulebook_of_forty(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Assess one applicant against 40 requirements, with reasons and remedies, warm."""
    applicant, rulebook = forty_requirements()

    def run() -> None:
        assess(applicant, rulebook, title="dietitian", on=TODAY, today=TODAY)

    found = assess(applicant, rulebook, title="dietitian", on=TODAY, today=TODAY)
    n_open = sum(each.verdict is Verdict.NOT_MET for each in found.requirements)
    if len(found.requirements) != N_REQUIREMENTS or not n_open:
        message = f"{len(found.requirements)} requirements, {n_open} not met"
        raise AssertionError(message)
    value = 1000 * interleaved({"assess": run}, settings.rounds * N_WARM)["assess"]
    yield (
        "one applicant, one rulebook of 40 requirements, warm",
        Measure(value, "ms", MOST_MS, MOST_MS / value, "<= 10 ms", value <= MOST_MS),
    )


def _cpu_seconds(command: list[str]) -> float:
    """Return the processor time of a command, which other work disturbs least."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return (after.ru_utime - before.ru_utime) + (after.ru_stime - before.ru_stime)


@bench
def the_command_cold(settings: Settings) -> Iterator[tuple[str, Measure]]:
    """Run ``comity assess`` on one file, the whole process, beside importing NumPy and pydantic."""
    with TemporaryDirectory() as folder:
        applicant, rulebook = Path(folder, "applicant.yaml"), Path(folder, "rulebook.yaml")
        applicant.write_text(applicant_text(), encoding="utf-8")
        rulebook.write_text(rulebook_text(), encoding="utf-8")
        ours = [sys.executable, "-m", "comity", "assess", str(applicant)]
        ours += ["--rulebook", str(rulebook), "--today", "2026-11-25", "--json"]
        theirs = [sys.executable, "-c", "import numpy, pydantic"]
        pairs = [
            (_cpu_seconds(ours), _cpu_seconds(theirs)) for _ in range(max(settings.rounds, 3) + 2)
        ]
    value = sorted(pair[0] for pair in pairs)[len(pairs) // 2]
    baseline = sorted(pair[1] for pair in pairs)[len(pairs) // 2]
    times = value / baseline
    yield (
        "comity assess on one file, whole process, cold",
        Measure(value, "s of CPU", baseline, times, "<= 4 times", times <= MOST_TIMES),
    )
