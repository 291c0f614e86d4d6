"""Laws of readiness and study over any log of answers, however odd."""

from __future__ import annotations

from itertools import pairwise
from math import isfinite

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from comity.core.exam.exam_chance import Exam
from comity.core.exam.practice import DatedAnswer, PracticeItem, practice_from_log
from comity.core.exam.readiness import prospect
from comity.core.exam.study_days import StudyTime, by_week, spread_out, study_days
from comity.core.exam.study_shares import best_shares
from tests.cohorts import blueprint_of
from tests.properties.effort import examples

TODAY = 46_000
DOMAINS = ("d0", "d1", "d2")

judged = st.none() | st.floats(0, 1)
answers = st.lists(
    st.builds(
        DatedAnswer,
        st.sampled_from(["ana", "bo", "chi"]),
        st.sampled_from([f"i{at}" for at in range(28)]),
        st.integers(TODAY - 900, TODAY),
        st.sampled_from([0.0, 1.0]),
    ),
    max_size=120,
)


@examples(20)
@given(answers, st.lists(judged, min_size=28, max_size=28), st.integers(0, 400))
def test_whatever_was_answered_every_figure_is_finite_and_in_order(
    log: list[DatedAnswer], shares: list[float | None], days_ahead: int
) -> None:
    items = [PracticeItem(f"i{at}", f"d{at % 4}", share) for at, share in enumerate(shares)]
    practice = practice_from_log(log, items, today=TODAY)
    known = prospect(practice, blueprint_of(3), Exam(50, 0.6))
    for person in (*practice.people, "nobody"):
        found = known.readiness(person, TODAY + days_ahead)
        assert found.low is not None
        assert found.high is not None
        assert 0.01 <= found.low <= found.high <= 0.99
        assert 0 <= found.score.low <= found.score.middle <= found.score.high <= 1
        assert (found.p_pass is not None) == found.enough == (not found.reasons)
        assert found.uncorrected is not None
        assert isfinite(found.uncorrected)
        assert all(one.chance >= other.chance - 1e-9 for one, other in pairwise(found.by_cut))


@examples(8)
@given(st.permutations(range(30)))
def test_the_order_in_which_a_log_is_handed_over_changes_nothing(order: list[int]) -> None:
    items = [PracticeItem(f"i{at}", DOMAINS[at % 3]) for at in range(30)]
    log = [DatedAnswer("ana", f"i{at}", TODAY - at, float(at % 3 > 0)) for at in range(30)]
    first, other = (
        prospect(
            practice_from_log(each, items, today=TODAY), blueprint_of(3), Exam(50, 0.6)
        ).readiness("ana", TODAY + 7)
        for each in (log, [log[at] for at in order])
    )
    assert first == other


@examples(100)
@given(
    st.integers(0, 60),
    st.floats(0, 60),
    st.sets(st.integers(0, 6)),
    st.frozensets(st.integers(TODAY, TODAY + 60)),
    st.integers(1, 8),
)
def test_study_lies_on_free_days_within_hours_and_keeps_every_half_hour(
    n_days: int, hours: float, weekdays: set[int], blocked: frozenset[int], at_most: int
) -> None:
    time = StudyTime(TODAY, TODAY + n_days, hours, tuple(weekdays), at_most, blocked)
    days = study_days(time)
    assert list(days) == sorted(days)
    assert all(TODAY <= day < TODAY + n_days and day not in blocked for day in days)
    assert all(day % 7 in weekdays for day in days)
    assert all(days.count(day) <= 2 * at_most for day in {*days})
    counts = np.bincount(np.arange(len(days)) % 3, minlength=3).tolist()
    sessions = spread_out(days, DOMAINS, counts)
    assert sum(each.minutes for each in sessions) == 30 * len(days)
    assert sum(week.minutes for week in by_week(sessions)) == 30 * len(days)


@examples(100)
@given(st.lists(st.lists(st.floats(0, 1), min_size=9, max_size=9), min_size=1, max_size=5))
def test_shared_out_steps_are_never_worse_than_all_in_one_domain(worth: list[list[float]]) -> None:
    table = np.array(worth)
    shares = best_shares(table, 8, [0] * len(worth))
    ours = sum(table[k, steps] for k, steps in enumerate(shares))
    one_only = [
        table[k, 8] + sum(table[other, 0] for other in range(len(worth)) if other != k)
        for k in range(len(worth))
    ]
    assert sum(shares) == 8
    assert ours >= max(one_only) - 1e-12
