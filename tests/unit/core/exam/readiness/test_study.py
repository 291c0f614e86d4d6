from __future__ import annotations

from datetime import date
from itertools import product

import numpy as np
import pytest

from comity.core.days.calendar import day_from_date
from comity.core.exam.exam_chance import Exam
from comity.core.exam.planned_study import ReadinessError
from comity.core.exam.readiness import prospect
from comity.core.exam.study import StudyGain, Wishes, plan_study
from comity.core.exam.study_days import (
    StudyTime,
    by_week,
    monday_of,
    spread_out,
    study_days,
)
from comity.core.exam.study_shares import best_shares
from tests.cohorts import blueprint_of
from tests.unit.core.exam.readiness.people import (
    EXAM,
    SETTING,
    TODAY,
    alternating,
    practised,
    small_prospect,
)

MONDAY = monday_of(TODAY)
NOW = SETTING.n_days


def chance() -> np.random.Generator:
    return np.random.default_rng(5)


def test_weeks_begin_on_monday() -> None:
    assert monday_of(day_from_date(date(2026, 11, 25))) == day_from_date(date(2026, 11, 23))


def test_whole_weeks_have_the_hours_asked_for_evenly() -> None:
    days = study_days(StudyTime(MONDAY, MONDAY + 14, 7))
    assert len(days) == 28
    assert [days.count(MONDAY + at) for at in range(14)] == [2] * 14


def test_a_week_cut_short_has_its_share() -> None:
    assert len(study_days(StudyTime(MONDAY + 4, MONDAY + 7, 7))) == 6


def test_a_blocked_day_is_made_up_for_as_far_as_a_day_allows() -> None:
    weekend = (5, 6)
    free = StudyTime(MONDAY, MONDAY + 7, 6, weekend)
    blocked = StudyTime(MONDAY, MONDAY + 7, 6, weekend, 4, frozenset({MONDAY + 5}))
    assert study_days(free) == (MONDAY + 5,) * 6 + (MONDAY + 6,) * 6
    assert study_days(blocked) == (MONDAY + 6,) * 8


def test_a_week_wholly_blocked_has_nothing() -> None:
    every = frozenset(range(MONDAY, MONDAY + 7))
    assert study_days(StudyTime(MONDAY, MONDAY + 7, 10, blocked=every)) == ()


@pytest.mark.parametrize(
    ("hours", "day", "weekdays", "message"),
    [
        (-1, 8, (0,), "hours must fit a week and a day: got -1 a week, at most 8 a day"),
        (200, 8, (0,), "got 200 a week"),
        (5, 25, (0,), "at most 25 a day"),
        (5, 8, (7,), r"days of the week are 0 Monday to 6 Sunday, got \(7,\)"),
    ],
)
def test_time_that_cannot_be_is_refused(
    hours: float, day: float, weekdays: tuple[int, ...], message: str
) -> None:
    with pytest.raises(ReadinessError, match=message):
        StudyTime(MONDAY, MONDAY + 7, hours, weekdays, day)


def test_an_examination_before_study_begins_is_refused() -> None:
    with pytest.raises(ReadinessError, match="is before"):
        StudyTime(MONDAY, MONDAY - 1, 5)


def test_each_domain_comes_again_at_even_distances() -> None:
    days = tuple(range(100, 140))
    sessions = spread_out(days, ("much", "little"), (30, 10))
    assert sum(each.minutes for each in sessions if each.domain == "much") == 30 * 30
    little = [each.on for each in sessions if each.domain == "little"]
    assert set(np.diff(little)) == {4}


def test_weeks_tell_all_minutes_the_most_first() -> None:
    sessions = spread_out(study_days(StudyTime(MONDAY, MONDAY + 14, 5)), ("a", "b"), (6, 14))
    weeks = by_week(sessions)
    assert [week.starts for week in weeks] == [MONDAY, MONDAY + 7]
    assert [week.minutes for week in weeks] == [300, 300]
    assert [domain for domain, _ in weeks[0].domains] == ["b", "a"]
    assert sum((week.sessions for week in weeks), ()) == sessions


@pytest.mark.parametrize("seed", range(6))
def test_shares_are_the_best_of_all_even_where_more_buys_more(seed: int) -> None:
    rng = np.random.default_rng(seed)
    # Not concave: the chance of a right answer rises faster and faster below one half.
    worth = np.cumsum(rng.random((3, 9)) ** 3, axis=1)
    least = (0, 2, 0)
    ours = best_shares(worth, 8, least)
    every = [each for each in product(range(9), repeat=3) if sum(each) == 8 and each[1] >= 2]
    best = max(sum(worth[k, n] for k, n in enumerate(each)) for each in every)
    assert sum(ours) == 8
    assert ours[1] >= 2
    assert sum(worth[k, n] for k, n in enumerate(ours)) == pytest.approx(best)


def test_a_plan_uses_every_half_hour_and_tells_what_it_gains() -> None:
    known = small_prospect()
    plan = plan_study(known, "p0001", StudyTime(NOW, NOW + 42, 5), rng=chance())
    assert plan.aim == "pass"
    assert plan.reasons == ()
    assert sum(minutes for _, minutes in plan.minutes) == 6 * 5 * 60
    assert sum(week.minutes for week in plan.weeks) == 6 * 5 * 60
    assert all(NOW <= each.on < NOW + 42 for each in plan.planned.sessions)
    assert plan.gain is not None
    assert plan.gain.without < plan.gain.planned
    assert plan.gain.gain == pytest.approx(plan.gain.planned - plan.gain.in_proportion)
    assert plan.gain.noise >= 0


def test_the_same_chance_gives_the_same_plan() -> None:
    time = StudyTime(NOW, NOW + 42, 5)
    first, again = (plan_study(small_prospect(), "p0002", time, rng=chance()) for _ in range(2))
    assert first == again


def test_hours_go_where_they_buy_most_and_the_gain_is_clear() -> None:
    known = small_prospect()
    slow = {"d0": 1.0, "d1": 1.0, "d2": 1.0}
    middling = min(
        known.fit.practice.people,
        key=lambda person: abs((known.readiness(person, NOW + 42).uncorrected or 0) - 0.4),
    )
    plan = plan_study(
        known, middling, StudyTime(NOW, NOW + 42, 5), rng=chance(), wishes=Wishes({}, 20, slow)
    )
    minutes = dict(plan.minutes)
    assert min(minutes["d3"], minutes["d4"], minutes["d5"]) > max(minutes[each] for each in slow)
    assert plan.gain is not None
    assert plan.gain.is_clear
    assert plan.gain.better_in > 0.9


def test_a_gain_within_its_noise_or_too_small_to_notice_is_not_clear() -> None:
    assert not StudyGain(0.4, 0.6, 0.61, 0.01, 0.006, 0.6).is_clear
    assert not StudyGain(0.4, 0.6, 0.601, 0.001, 0.0001, 0.9).is_clear
    assert StudyGain(0.4, 0.6, 0.62, 0.02, 0.006, 0.9).is_clear


def test_least_hours_are_kept() -> None:
    plan = plan_study(
        small_prospect(),
        "p0003",
        StudyTime(NOW, NOW + 14, 6),
        rng=chance(),
        wishes=Wishes({"d5": 7.5}),
    )
    assert dict(plan.minutes)["d5"] >= 450


@pytest.mark.parametrize(
    ("wishes", "message"),
    [
        (Wishes({"d5": 99}), "at least 99 hours are wished for, and there are 12"),
        (Wishes({"d9": 1}), "no domain of invented has the id 'd9'"),
        (Wishes({"d5": -1}), "at least -1 hours are wished for, and there are 12"),
    ],
)
def test_wishes_that_cannot_be_are_refused(wishes: Wishes, message: str) -> None:
    time = StudyTime(NOW, NOW + 14, 6)
    with pytest.raises(ReadinessError, match=message):
        plan_study(small_prospect(), "p0003", time, rng=chance(), wishes=wishes)


def test_no_hours_give_no_plan_and_say_so() -> None:
    plan = plan_study(small_prospect(), "p0001", StudyTime(NOW, NOW + 14, 0), rng=chance())
    assert plan.weeks == ()
    assert plan.reasons == ("there is not half an hour of study before the examination",)
    assert {minutes for _, minutes in plan.minutes} == {0}


def test_study_cannot_start_before_today() -> None:
    with pytest.raises(ReadinessError, match="study cannot start before today"):
        plan_study(small_prospect(), "p0001", StudyTime(NOW - 1, NOW + 14, 5), rng=chance())


def test_without_a_cut_the_score_is_raised_and_no_gain_told() -> None:
    known = prospect(practised(alternating(30, 60)), blueprint_of(4), Exam(100))
    plan = plan_study(known, "ana", StudyTime(TODAY, TODAY + 28, 5), rng=chance())
    assert (plan.aim, plan.gain) == ("score", None)
    assert plan.reasons == ("the cut is not known: the plan raises the score to expect",)
    assert sum(minutes for _, minutes in plan.minutes) == 4 * 5 * 60


def test_too_little_practice_gives_a_plan_and_no_chances() -> None:
    known = prospect(practised([1.0, 0.0]), blueprint_of(4), EXAM)
    plan = plan_study(known, "ana", StudyTime(TODAY, TODAY + 28, 5), rng=chance())
    assert plan.gain is None
    assert plan.reasons[0] == "2 answers to different items; a chance needs 20"
    assert sum(week.minutes for week in plan.weeks) == 4 * 5 * 60


def test_very_many_hours_are_shared_out_in_longer_steps() -> None:
    plan = plan_study(small_prospect(), "p0004", StudyTime(NOW, NOW + 70, 30), rng=chance())
    assert sum(minutes for _, minutes in plan.minutes) == 10 * 30 * 60
