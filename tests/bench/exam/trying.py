"""Prints what forgetting and rules of study are worth on invented cohorts: figures of readiness.md.

Run as ``python -m tests.bench.exam.trying``; it takes a minute or two, so no test runs it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.exam_chance import Exam
from comity.core.exam.forecasts import brier_score
from comity.core.exam.planned_study import PlannedStudy
from comity.core.exam.practice_rows import USUAL
from comity.core.exam.readiness import prospect
from comity.core.exam.study import Wishes, plan_study
from comity.core.exam.study_days import StudyTime, spread_out, study_days
from tests.cohorts import Setting, blueprint_of, cohort

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.readiness import DomainReadiness

N_DOMAINS: Final = 12
EXAM: Final = Exam(100, 0.55, shift=0.0)
WEAKEST: Final = 3


def forgetting(n_cohorts: int = 16, n_people: int = 30) -> None:
    """Print how much the exponent matters, which people's answers cannot tell."""
    exponents = (0.1, 0.25, 0.5)
    scores = np.zeros((n_cohorts, len(exponents)))
    moved = np.zeros_like(scores)
    for seed in range(n_cohorts):
        found = cohort(Setting(n_people, seed=seed))
        chances = []
        for psi in exponents:
            known = prospect(
                found.practice, blueprint_of(N_DOMAINS), EXAM, priors=replace(USUAL, psi=psi)
            )
            chances.append(
                [known.readiness(each, found.on).uncorrected for each in found.practice.people]
            )
        table = np.array(chances, dtype=np.float64)
        scores[seed] = [brier_score(each, found.passed) for each in table]
        moved[seed] = np.abs(table - table[1]).mean(axis=1)
    for at, psi in enumerate(exponents):
        print(
            f"psi {psi}: Brier {scores[:, at].mean():.4f},"
            f" chances moved by {moved[:, at].mean():.3f} on average"
        )


def studying(n_instances: int = 20) -> None:
    """Print the chance of passing by rules of sharing out 80 hours, paces by chance."""
    found = cohort(Setting(60, n_answers=150, seed=11))
    known = prospect(found.practice, blueprint_of(N_DOMAINS), Exam(100, 0.65))
    start = found.practice.today
    time = StudyTime(start, start + 56, 10)
    days = study_days(time)
    rows = []
    # Whom study can still help: neither sure to pass nor far from it.
    people = sorted(
        found.practice.people,
        key=lambda each: abs((known.readiness(each, time.exam).uncorrected or 0) - 0.4),
    )
    for at in range(n_instances):
        rng = np.random.default_rng(at)
        person = people[at]
        paces = {f"d{k}": float(pace) for k, pace in enumerate(rng.uniform(2, 20, N_DOMAINS))}
        plan = plan_study(known, person, time, rng=rng, wishes=Wishes({}, 20, paces))
        weakest = _weakest(known.readiness(person, start).domains, len(days))
        three = PlannedStudy(spread_out(days, known.fit.domains, weakest), 20, paces)
        possible = known.possible(person)
        chance = known.chances(possible, known.left_on(person, time.exam, three)).mean()
        assert plan.gain is not None
        gain = plan.gain
        chances_of = (gain.without, float(chance), gain.in_proportion, gain.planned)
        rows.append((*chances_of, gain.noise, float(gain.is_clear)))
    names = ("without", "three weakest", "in proportion", "planned", "noise", "share clear")
    for name, value in zip(names, np.mean(rows, axis=0), strict=True):
        print(f"{name}: {value:.4f}")


def _weakest(domains: Sequence[DomainReadiness], n_half_hours: int) -> list[int]:
    """Return the half hours of each domain when only the weakest three are studied."""
    right = [each.right.middle for each in domains]
    order = np.argsort(right)[:WEAKEST].tolist()
    counts = [0] * len(right)
    for number, k in enumerate(order):
        counts[k] = (number + 1) * n_half_hours // WEAKEST - number * n_half_hours // WEAKEST
    return counts


if __name__ == "__main__":
    studying()
    forgetting()
