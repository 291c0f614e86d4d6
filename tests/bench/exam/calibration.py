"""Prints how well readiness is calibrated on invented cohorts: the figures of readiness.md.

Run as ``python -m tests.bench.exam.calibration 30 40`` for 40 cohorts of 30 people. It takes from a
minute to a quarter of an hour, so no test runs it.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.exam_chance import Exam
from comity.core.exam.forecasts import brier_score, log_loss, reliability_diagram
from comity.core.exam.readiness import prospect
from tests.cohorts import Setting, blueprint_of, cohort, left_out_logistic

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats
    from tests.cohorts import Cohort

TRIED: Final = {
    "as the model": Setting(0),
    "nothing judged": Setting(0, judged=False),
    "exam off by 0.3": Setting(0, shift=0.3),
}


def forecasts(found: Cohort, setting: Setting, shift: float) -> tuple[Floats, Floats, Floats]:
    """Return chances, the ends of their intervals, and what percent correct says."""
    exam = Exam(100, setting.cut, shift=shift)
    known = prospect(found.practice, blueprint_of(setting.n_domains), exam)
    answers = [known.readiness(person, found.on) for person in found.practice.people]
    chances = np.array([each.uncorrected for each in answers], dtype=np.float64)
    ends = np.array([(each.low, each.high) for each in answers], dtype=np.float64)
    plain = np.array([each.benchmark.chance for each in answers], dtype=np.float64)
    return chances, ends, plain


def report(name: str, n_people: int, n_cohorts: int) -> None:
    """Print the figures of one way of drawing cohorts."""
    setting = TRIED[name]
    rows, all_chances, all_passed = [], [], []
    for seed in range(n_cohorts):
        drawn = Setting(n_people, shift=setting.shift, judged=setting.judged, seed=seed)
        found = cohort(drawn)
        chances, ends, plain = forecasts(found, drawn, shift=setting.shift)
        others = left_out_logistic(found)
        true = np.clip(found.chance, 0.01, 0.99)
        inside = (ends[:, 0] - 1e-9 <= true) & (true <= ends[:, 1] + 1e-9)
        rows.append(
            (
                log_loss(chances, found.passed),
                log_loss(others, found.passed),
                log_loss(np.clip(plain, 0.01, 0.99), found.passed),
                brier_score(chances, found.passed),
                brier_score(others, found.passed),
                float(inside.mean()),
                float((chances - found.chance).mean()),
            )
        )
        all_chances.append(chances)
        all_passed.append(found.passed)
    table = np.array(rows)
    mean, paired = table.mean(axis=0), table[:, 0] - table[:, 1]
    error = paired.std(ddof=1) / np.sqrt(n_cohorts)
    print(f"\n{name}, {n_cohorts} cohorts of {n_people}")
    print(f"  log loss: model {mean[0]:.3f}, logistic {mean[1]:.3f}, from the mark {mean[2]:.3f}")
    print(f"  model less logistic {paired.mean():+.3f}, error {error:.3f}")
    print(f"  Brier: model {mean[3]:.4f}, logistic {mean[4]:.4f}")
    print(f"  true chance inside the interval {mean[5]:.3f}; mean error of chances {mean[6]:+.4f}")
    for each in reliability_diagram(np.concatenate(all_chances), np.concatenate(all_passed)):
        print(
            f"  {each.low:.1f} to {each.high:.1f}: {each.count:5}  said {each.forecast:.3f}"
            f"  came {each.share:.3f} ({each.share_low:.3f} to {each.share_high:.3f})"
        )


if __name__ == "__main__":
    for tried in TRIED:
        report(tried, int(sys.argv[1]), int(sys.argv[2]))
