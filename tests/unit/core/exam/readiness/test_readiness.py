from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from comity.core.exam.exam_chance import Exam, exam_of
from comity.core.exam.forecasts import Outcome, as_told, brier_score, reliability_diagram
from comity.core.exam.planned_study import PlannedStudy, ReadinessError, StudySession
from comity.core.exam.practice import DatedAnswer, practice_from_log
from comity.core.exam.readiness import Readiness, prospect, readiness
from comity.core.exam.readiness_words import CAUTION, WORDS, Standing, words_for_applicant
from tests.cohorts import blueprint_of, cohort
from tests.unit.core.exam.readiness.people import (
    EXAM,
    SETTING,
    TODAY,
    alternating,
    items_of,
    practised,
)

SOON = TODAY + 14


def asked(scores: list[float], exam: Exam = EXAM) -> Readiness:
    return readiness(practised(scores), blueprint_of(4), exam, person="ana", on=SOON)


def test_somebody_without_an_answer_is_told_to_be_like_anybody() -> None:
    found = asked([])
    assert (found.basis, found.enough, found.p_pass) == ("nothing", False, None)
    assert found.reasons == (
        "no answers to different items; a chance needs 20",
        *(f"no answers in d{number}; a chance needs 3" for number in range(4)),
    )
    assert (found.low, found.high) == (0.01, 0.99)
    assert found.benchmark.rule == "nothing to go by"
    assert found.rests_on.last_on is None


def test_a_few_answers_give_a_range_and_no_chance() -> None:
    found = asked(alternating(12, 19))
    assert (found.basis, found.p_pass) == ("range", None)
    assert found.reasons == ("19 answers to different items; a chance needs 20",)
    assert found.by_cut == ()
    assert found.low is not None
    assert found.high is not None
    assert found.low < found.high


def test_the_same_item_again_and_again_is_one_answer() -> None:
    log = [DatedAnswer("ana", "i0", TODAY, 1.0) for _ in range(50)]
    practice = practice_from_log(log, items_of(4), today=TODAY)
    found = readiness(practice, blueprint_of(4), EXAM, person="ana", on=SOON)
    assert found.rests_on.n_answers == 50
    assert found.rests_on.n_first == 1
    assert found.reasons[0] == "1 answer to different items; a chance needs 20"


def test_enough_answers_give_a_chance_within_its_interval() -> None:
    found = asked(alternating(36, 60))
    assert (found.basis, found.enough, found.reasons) == ("chance", True, ())
    assert found.low is not None
    assert found.high is not None
    assert found.p_pass is not None
    assert found.low < found.p_pass < found.high
    assert found.score.low < found.score.middle < found.score.high
    assert [each.n_first for each in found.domains] == [15] * 4
    assert found.remarks == ("nobody else has answered: how hard items are, only judgement tells",)


def test_the_chance_of_a_mark_falls_with_the_mark() -> None:
    chances = [each.chance for each in asked(alternating(36, 60)).by_cut]
    assert chances == sorted(chances, reverse=True)


@pytest.mark.parametrize(("score", "which", "told"), [(0.0, "wrong", 0.01), (1.0, "right", 0.99)])
def test_all_right_and_all_wrong_rest_on_priors_and_say_so(
    score: float, which: str, told: float
) -> None:
    found = asked([score] * 60)
    assert found.p_pass == pytest.approx(told, abs=0.03)
    assert found.remarks[0] == (
        f"every answer is {which}: how far beyond the items this goes, only the priors tell"
    )


def test_no_figure_is_ever_missing_without_saying_so() -> None:
    for found in (asked([]), asked([1.0] * 30), asked([0.0] * 30), asked([1.0])):
        for each in fields(found.score):
            assert np.isfinite(getattr(found.score, each.name))
        assert all(np.isfinite(each.chance) for each in found.by_cut)
        assert all(np.isfinite(each.right.middle) for each in found.domains)
        assert np.isfinite([found.low or 0, found.high or 0, found.uncorrected or 0]).all()


def test_an_unknown_mark_gives_chances_of_several_and_none_of_passing() -> None:
    found = asked(alternating(36, 60), Exam(100))
    assert (found.enough, found.p_pass, found.low, found.uncorrected) == (True, None, None, None)
    assert len(found.by_cut) == 9


def test_a_mark_known_roughly_widens_the_doubt() -> None:
    sure, rough = (
        asked(alternating(50, 60), Exam(100, 0.55, cut_error=error)).uncorrected
        for error in (0.0, 0.1)
    )
    assert sure is not None
    assert rough is not None
    assert sure > rough > 0.5


def test_an_examination_that_is_over_is_refused() -> None:
    message = "the examination, on 2025-12-10, is over: give a day from 2025-12-11 on"
    with pytest.raises(ReadinessError, match=message):
        readiness(practised([1.0]), blueprint_of(4), EXAM, person="ana", on=TODAY - 1)


def test_practice_of_long_ago_is_not_enough() -> None:
    practice = replace(practised(alternating(36, 60)), today=TODAY + 300)
    found = readiness(practice, blueprint_of(4), EXAM, person="ana", on=TODAY + 366)
    (reason,) = found.reasons
    assert reason == (
        "the last answer, on 2025-12-11, is more than a year before 2026-12-12;"
        " nothing tells how much would be forgotten by then"
    )


def test_waiting_forgets_and_study_helps() -> None:
    known = prospect(practised(alternating(30, 60)), blueprint_of(4), EXAM)
    sessions = tuple(StudySession(TODAY + at, f"d{at % 4}", 60) for at in range(14))
    now, later = known.readiness("ana", TODAY), known.readiness("ana", TODAY + 90)
    studied = known.readiness("ana", SOON, PlannedStudy(sessions))
    slower = known.readiness("ana", SOON, PlannedStudy(sessions, 20, {"d0": 0.0}))
    assert later.uncorrected < now.uncorrected < studied.uncorrected  # type: ignore[operator]
    assert slower.uncorrected < studied.uncorrected  # type: ignore[operator]


def test_study_before_today_or_after_the_examination_counts_for_nothing() -> None:
    known = prospect(practised(alternating(30, 60)), blueprint_of(4), EXAM)
    beside = (StudySession(TODAY - 1, "d0", 600), StudySession(SOON + 1, "d0", 600))
    assert known.left_of_plan(PlannedStudy(beside), SOON).tolist() == [0, 0, 0, 0]


def test_study_of_a_domain_that_is_none_is_refused() -> None:
    known = prospect(practised([1.0]), blueprint_of(2), EXAM)
    with pytest.raises(ReadinessError, match="'d9', which is no domain of invented: d0, d1"):
        known.readiness("ana", SOON, PlannedStudy((StudySession(TODAY, "d9", 30),)))


def test_study_of_less_than_nothing_is_refused() -> None:
    with pytest.raises(ReadinessError, match="study must take 0 minutes or more"):
        PlannedStudy((StudySession(TODAY, "d0", -30),))


def test_answers_outside_the_blueprint_are_left_out_and_counted() -> None:
    practice = practised(alternating(30, 60), n_domains=5)
    found = readiness(practice, blueprint_of(4), EXAM, person="ana", on=SOON)
    assert found.remarks[0] == ("12 answers to items of domains outside the blueprint are left out")


def test_real_results_move_the_chance_and_its_interval() -> None:
    practice, blueprint = practised(alternating(33, 60)), blueprint_of(4)
    failed = [Outcome(0.8, 0.66, passed=at % 4 == 0) for at in range(40)]
    before = prospect(practice, blueprint, EXAM).readiness("ana", SOON)
    after = prospect(practice, blueprint, EXAM, outcomes=failed).readiness("ana", SOON)
    assert after.uncorrected == before.uncorrected
    assert after.p_pass < before.p_pass  # type: ignore[operator]
    assert after.low < before.low  # type: ignore[operator]
    assert after.rests_on.n_results == 40
    assert after.benchmark.rule == "logistic on real results"


def test_without_a_cut_nobody_can_ask_for_chances() -> None:
    known = prospect(practised([1.0]), blueprint_of(4), Exam(50))
    with pytest.raises(ReadinessError, match="without a cut there is no chance of passing"):
        known.chances(known.possible("ana"), known.left_on("ana", SOON))


def test_a_blueprint_says_what_the_examination_is() -> None:
    assert exam_of(blueprint_of(4)) == Exam(100, None)


def test_forecasts_of_small_cohorts_come_about_as_often_as_they_say() -> None:
    chances, plain, inside = list[float](), list[float](), list[bool]()
    true, passed = list[float](), list[bool]()
    same_scale = Exam(100, 0.55, shift=0.0)
    for seed in range(3):
        found = cohort(replace(SETTING, seed=seed))
        known = prospect(found.practice, blueprint_of(SETTING.n_domains), same_scale)
        for person, chance in zip(found.practice.people, found.chance, strict=True):
            answer = known.readiness(person, found.on)
            chances.append(answer.uncorrected or 0.0)
            plain.append(answer.benchmark.chance or 0.0)
            low, high = answer.low or 0.0, answer.high or 1.0
            inside.append(low - 1e-9 <= as_told(chance) <= high + 1e-9)
        true.extend(found.chance)
        passed.extend(found.passed)
    # In a fifth of cases the chance lies outside the interval, by its meaning.
    assert 0.75 <= np.mean(inside) <= 0.95
    assert np.mean(chances) == pytest.approx(np.mean(true), abs=0.05)
    base = [float(np.mean(passed))] * len(passed)
    assert brier_score(chances, passed) < 0.7 * brier_score(base, passed)
    assert brier_score(chances, passed) < brier_score(plain, passed)
    for each in reliability_diagram(chances, passed, n_bins=4):
        assert each.share_low - 0.1 <= each.forecast <= each.share_high + 0.1


def ready(p_pass: float | None, *, low: float, enough: bool = True) -> Readiness:
    return replace(asked([]), p_pass=p_pass, low=low, high=0.95, enough=enough)


@pytest.mark.parametrize(
    ("p_pass", "low", "standing"),
    [
        (0.1, 0.01, Standing.FAR),
        (0.2, 0.05, Standing.ON_THE_WAY),
        (0.5, 0.2, Standing.OPEN),
        (0.85, 0.3, Standing.OPEN),
        (0.85, 0.5, Standing.LIKELY),
    ],
)
def test_an_applicant_is_told_in_words_how_it_stands(
    p_pass: float, low: float, standing: Standing
) -> None:
    words = words_for_applicant(ready(p_pass, low=low))
    assert words is not None
    assert words.standing is standing
    assert words.caution == CAUTION


def test_an_applicant_is_told_nothing_on_too_little() -> None:
    assert words_for_applicant(ready(0.9, low=0.8, enough=False)) is None
    assert words_for_applicant(ready(None, low=0.8)) is None
    assert words_for_applicant(asked(alternating(12, 19))) is None


def test_words_hold_no_figure_and_no_promise() -> None:
    for words in WORDS.values():
        said = f"{words.sentence} {words.advice} {words.caution}"
        assert not any(letter.isdigit() or letter == "%" for letter in said)
        assert "will pass" not in said
        assert "Talk to your adviser" in words.caution
