"""Real results: which count, what would have been forecast before them, and what they correct."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest

from comity.core.exam.exam_chance import Exam
from comity.core.exam.looking_back import outcomes_of, usable_results
from comity.core.exam.practice import DatedAnswer, practice_from_log
from comity.core.exam.readiness import prospect
from comity.core.exam.real_results import RealResult
from tests.cohorts import blueprint_of
from tests.unit.core.exam.readiness.people import EXAM, TODAY, items_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.forecasts import Outcome
    from comity.core.exam.practice import Practice
    from comity.core.exam.readiness import Prospect

N_PEOPLE = 32
SAT = TODAY - 10
ITEMS = items_of(30)


def answers(person: str, *, start: int, n_items: int = 24, every: int = 3) -> list[DatedAnswer]:
    """Return so many answers on one day, of which each third, say, is wrong."""
    return [DatedAnswer(person, f"i{at}", start, float(at % every != 0)) for at in range(n_items)]


@cache
def log() -> tuple[DatedAnswer, ...]:
    people = (answers(f"p{n}", start=SAT - 20, every=2 + n % 4) for n in range(N_PEOPLE))
    return tuple(each for one in people for each in one)


def practised(some: Sequence[DatedAnswer]) -> Practice:
    return practice_from_log(some, ITEMS, today=TODAY)


def looked_back(
    results: Sequence[RealResult], given: Sequence[DatedAnswer], *, exam: Exam = EXAM
) -> tuple[Outcome, ...]:
    blueprint = blueprint_of(4)
    return outcomes_of(results, given, practised=practised, blueprint=blueprint, exam=exam)


def all_with(*, passed: bool) -> list[RealResult]:
    return [RealResult(f"p{n}", SAT, passed) for n in range(N_PEOPLE)]


def corrected(results: Sequence[RealResult]) -> Prospect:
    outcomes = looked_back(results, log())
    return prospect(practised(log()), blueprint_of(4), EXAM, outcomes=outcomes)


def test_the_first_result_after_enough_practice_counts_for_each_person() -> None:
    given = [*answers("ana", start=SAT - 5), *answers("ben", start=SAT - 5, n_items=19)]
    results = [
        RealResult("ana", SAT - 30, passed=False),
        RealResult("ana", SAT, passed=True),
        RealResult("ana", SAT + 3, passed=False),
        RealResult("ben", SAT, passed=True),
        RealResult("cem", SAT, passed=True),
    ]
    assert usable_results(results, given) == (RealResult("ana", SAT, passed=True),)


@pytest.mark.parametrize(("days", "count"), [(365, 1), (366, 0), (0, 0)])
def test_practice_counts_within_a_year_before_the_day_itself(days: int, count: int) -> None:
    results = [RealResult("ana", SAT, passed=True)]
    assert len(usable_results(results, answers("ana", start=SAT - days))) == count


def test_nothing_is_corrected_by_29_results_or_without_a_cut() -> None:
    assert looked_back(all_with(passed=True)[:29], log()) == ()
    assert looked_back(all_with(passed=True), log(), exam=Exam(100, None)) == ()
    assert len(looked_back(all_with(passed=True)[:30], log())) == 30


def test_what_was_answered_afterwards_changes_no_forecast() -> None:
    before = looked_back(all_with(passed=True), log())
    later = (each for n in range(N_PEOPLE) for each in answers(f"p{n}", start=SAT, every=24))
    assert looked_back(all_with(passed=True), (*log(), *later)) == before


def test_the_share_of_right_answers_is_that_of_first_answers_before() -> None:
    again = tuple(DatedAnswer("p0", each.item, SAT - 1, 1.0) for each in answers("p0", start=0))
    (first, *_rest) = looked_back(all_with(passed=True), (*log(), *again))
    assert first.share_right == pytest.approx(1 / 2)


def test_real_results_move_the_chance_to_where_they_lie() -> None:
    plain = corrected([]).readiness("p1", TODAY)
    worse = corrected(all_with(passed=False)).readiness("p1", TODAY)
    better = corrected(all_with(passed=True)).readiness("p1", TODAY)
    assert plain.p_pass is not None
    assert worse.p_pass is not None
    assert better.p_pass is not None
    assert worse.p_pass < plain.p_pass < better.p_pass
    assert (plain.rests_on.n_results, worse.rests_on.n_results) == (0, N_PEOPLE)
