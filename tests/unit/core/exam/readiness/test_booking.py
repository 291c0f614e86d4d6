from __future__ import annotations

from dataclasses import dataclass
from math import prod
from typing import TYPE_CHECKING

import numpy as np
import pytest

from comity.core.exam.booking import BookingRules, book_or_wait
from comity.core.exam.exam_chance import Exam
from comity.core.exam.forecasts import Correction, Outcome
from comity.core.exam.planned_study import PlannedStudy, ReadinessError, StudySession
from comity.core.exam.readiness import Prospect, prospect
from tests.cohorts import blueprint_of
from tests.unit.core.exam.readiness.people import EXAM, TODAY, alternating, practised

if TYPE_CHECKING:
    from comity.core.exam.exam_chance import Possible
    from comity.core.exam.quadrature import Floats

SITTINGS = (TODAY + 10, TODAY + 40, TODAY + 70)


@dataclass(frozen=True, slots=True, eq=False)
class Steady(Prospect):
    """A prospect in which every sitting is passed with the same chance."""

    def chances(self, possible: Possible, left: Floats) -> Floats:
        return np.full(8, 0.5)


def known(n_right: int = 34) -> Prospect:
    return prospect(practised(alternating(n_right, 60)), blueprint_of(4), EXAM)


def steady() -> Steady:
    made = known()
    return Steady(made.fit, made.blueprint, made.exam, made.model, made.outcomes, made.correction)


def test_even_chances_cost_what_one_works_out_by_hand() -> None:
    rules = BookingRules(100, attempts=2, day_minor=1, failure_minor=1000)
    found = book_or_wait(steady(), "ana", SITTINGS, rules=rules)
    first, second, third = found.options
    # Half pass on day 10, the other half sits again on day 40.
    assert first.n_attempts == pytest.approx(1.5)
    assert first.days == pytest.approx(25)
    assert first.p_ever == pytest.approx(0.75)
    assert first.cost_minor == pytest.approx(150 + 25 + 250)
    assert second.cost_minor == pytest.approx(150 + 55 + 250)
    # After the last sitting there is none to sit again.
    assert third.cost_minor == pytest.approx(100 + 70 + 500)
    assert found.advice == "book the first"
    assert found.best == first
    assert found.p_by_sitting == tuple((day, 0.5) for day in SITTINGS)


def test_a_wait_between_attempts_skips_sittings() -> None:
    found = book_or_wait(steady(), "ana", SITTINGS, rules=BookingRules(100, wait_days=31))
    assert found.options[0].days == pytest.approx(0.5 * 10 + 0.5 * 70)


def test_failing_makes_the_next_failure_likelier() -> None:
    found = book_or_wait(known(), "ana", SITTINGS, rules=BookingRules(100))
    apart = 1 - prod(1 - chance for _, chance in found.p_by_sitting)
    assert found.options[0].p_pass < found.options[0].p_ever < apart - 0.02


def test_waiting_pays_when_study_is_to_come_and_attempts_are_dear() -> None:
    sessions = tuple(StudySession(TODAY + 11 + at, f"d{at % 4}", 240) for at in range(28))
    rules = BookingRules(100_000, attempts=1, day_minor=10, failure_minor=500_000)
    found = book_or_wait(known(28), "ana", SITTINGS, rules=rules, plan=PlannedStudy(sessions))
    assert found.advice == "wait"
    assert found.best is not None
    assert found.best.on == SITTINGS[1]
    assert found.saves_minor > 2 * found.noise_minor


def test_a_saving_within_its_noise_is_no_reason_to_wait() -> None:
    rules = BookingRules(100, attempts=1)
    one = StudySession(TODAY + 35, "d0", 30)
    found = book_or_wait(known(), "ana", SITTINGS[:2], rules=rules, plan=PlannedStudy((one,), 0.0))
    assert found.advice in {"book the first", "no clear difference"}


@pytest.mark.parametrize(
    ("scores", "exam", "sittings", "attempts", "reason"),
    [
        (alternating(34, 60), EXAM, (TODAY - 1,), None, "no sitting is known on 2025-12-11 or"),
        (alternating(34, 60), EXAM, SITTINGS, 0, "no attempt is left"),
        (alternating(34, 60), Exam(100), SITTINGS, None, "the cut is not known"),
        (alternating(4, 8), EXAM, SITTINGS, None, "8 answers to different items"),
    ],
)
def test_what_cannot_be_said_is_not_said(
    scores: list[float], exam: Exam, sittings: tuple[int, ...], attempts: int | None, reason: str
) -> None:
    made = prospect(practised(scores), blueprint_of(4), exam)
    found = book_or_wait(made, "ana", sittings, rules=BookingRules(100, attempts))
    assert (found.advice, found.best, found.options) == ("cannot say yet", None, ())
    assert found.reasons[0].startswith(reason)


def test_costs_below_nothing_are_refused() -> None:
    with pytest.raises(ReadinessError, match="fees, costs and waits must be 0 or more, got -1"):
        BookingRules(-1)


def test_real_results_move_chances_of_sittings_as_they_move_readiness() -> None:
    results = [Outcome(0.8, 0.66, passed=at % 4 == 0) for at in range(40)]
    made = prospect(practised(alternating(34, 60)), blueprint_of(4), EXAM, outcomes=results)
    found = book_or_wait(made, "ana", SITTINGS, rules=BookingRules(100))
    assert made.correction != Correction()
    for day, chance in found.p_by_sitting:
        assert chance == pytest.approx(made.readiness("ana", day).p_pass, abs=1e-6)
