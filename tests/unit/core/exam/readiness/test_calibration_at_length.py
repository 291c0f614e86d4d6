"""Readiness over many invented cohorts; run by ``make soak``."""

from __future__ import annotations

import numpy as np
import pytest

from comity.core.exam.exam_chance import Exam
from comity.core.exam.forecasts import as_told, reliability_diagram
from comity.core.exam.readiness import prospect
from tests.cohorts import Setting, blueprint_of, cohort, left_out_logistic, loss_of

pytestmark = pytest.mark.soak
N_COHORTS = 40
N_PEOPLE = 30


def test_over_many_cohorts_readiness_is_calibrated_and_beats_percent_correct() -> None:
    chances, passed = list[float](), list[bool]()
    gains, errors, inside = list[float](), list[float](), list[float]()
    for seed in range(N_COHORTS):
        found = cohort(Setting(N_PEOPLE, seed=seed))
        known = prospect(found.practice, blueprint_of(12), Exam(100, 0.55, shift=0.0))
        answers = [known.readiness(person, found.on) for person in found.practice.people]
        ours = np.array([each.uncorrected for each in answers], dtype=np.float64)
        gains.append(loss_of(left_out_logistic(found), found) - loss_of(ours, found))
        errors.append(float(np.mean(ours - found.chance)))
        inside += [
            (each.low or 0) - 1e-9 <= as_told(true) <= (each.high or 1) + 1e-9
            for each, true in zip(answers, found.chance, strict=True)
        ]
        chances.extend(ours)
        passed.extend(found.passed)
    error = np.std(gains, ddof=1) / np.sqrt(N_COHORTS)
    assert np.mean(gains) > 2 * error
    assert abs(np.mean(errors)) < 0.015
    assert 0.78 <= np.mean(inside) <= 0.95
    for each in reliability_diagram(chances, passed):
        assert each.share_low - 0.05 <= each.forecast <= each.share_high + 0.05
