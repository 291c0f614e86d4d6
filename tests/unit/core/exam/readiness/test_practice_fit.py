from __future__ import annotations

import numpy as np
import pytest

from comity.core.exam.exam_chance import (
    Exam,
    ExamModel,
    evenly_spread,
    exam_model,
    possible_abilities,
)
from comity.core.exam.irt_scores import score_distribution
from comity.core.exam.practice import DatedAnswer, PracticeItem, practice_from_log
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.practice_problem import domain_spread
from comity.core.exam.practice_rows import Priors
from tests.cohorts import blueprint_of
from tests.unit.core.exam.readiness.people import TODAY, alternating, practised, small_prospect

NARROW = 1e-4
ONLY_ABILITY = Priors(
    mu=(0.0, NARROW),
    gamma=(0.0, NARROW),
    eta=(0.0, NARROW),
    theta=1.0,
    delta=NARROW,
    judged=(1.0, NARROW),
)
"""All but ability is known."""


@pytest.mark.parametrize("n_right", [0, 3, 6, 10, 12])
def test_with_known_items_ability_is_the_exact_posterior_mean(n_right: int) -> None:
    b = np.linspace(-1.5, 1.5, 12)
    items = [
        PracticeItem(f"i{at}", "d0", float(1 / (1 + np.exp(each)))) for at, each in enumerate(b)
    ]
    score = np.array(alternating(n_right, 12))
    log = [DatedAnswer("ana", f"i{at}", TODAY, each) for at, each in enumerate(score)]
    fit = fit_practice(
        practice_from_log(log, items, today=TODAY), blueprint_of(1), priors=ONLY_ABILITY
    )
    theta = np.linspace(-8, 8, 4001)
    p = 1 / (1 + np.exp(b[:, None] - theta))
    joint = np.where(score[:, None] > 0, p, 1 - p).prod(axis=0) * np.exp(-(theta**2) / 2)
    mean = (joint * theta).sum() / joint.sum()
    deviation = np.sqrt((joint * theta**2).sum() / joint.sum() - mean**2)
    drawn = possible_abilities(fit, "ana", shift=0.0).ability[:, 0]
    assert fit.ability[0, 0] == pytest.approx(mean, abs=0.05)
    assert drawn.std() == pytest.approx(deviation, rel=0.1)
    # The plain mode of the posterior lies further from the mean for those with all right or wrong.
    assert np.abs(drawn.mean() - mean) < 0.05


def test_spreads_of_domains_are_those_of_the_whole_matrix() -> None:
    weight = np.array([0.0, 2.5, 11.0])
    slope, shared, own = domain_spread(weight, 0.8, 0.4)
    prior = 0.16 * np.eye(3) + 0.64
    expected = np.linalg.inv(np.linalg.inv(prior) + np.diag(weight))
    assert np.diag(own) + shared * np.outer(slope, slope) == pytest.approx(expected)


def test_without_an_answer_everything_is_as_believed_before() -> None:
    fit = fit_practice(practised([]), blueprint_of(4))
    drawn = possible_abilities(fit, "anybody", shift=0.3)
    assert drawn.ability.mean() == pytest.approx(0, abs=0.02)
    assert drawn.ability.std(axis=0) == pytest.approx(np.sqrt(1 + 0.64 + 0.16), rel=0.05)
    assert drawn.ease.std() == pytest.approx(0.3, rel=0.02)
    assert (drawn.gain >= 0).all()


@pytest.mark.parametrize("score", [0.0, 1.0])
def test_five_people_and_a_hundred_items_all_right_or_wrong_stay_finite(score: float) -> None:
    items = [PracticeItem(f"i{at}", f"d{at % 4}") for at in range(100)]
    log = [
        DatedAnswer(f"p{person}", f"i{at}", TODAY, score)
        for person in range(5)
        for at in range(100)
    ]
    fit = fit_practice(practice_from_log(log, items, today=TODAY), blueprint_of(4))
    for each in (fit.level, fit.ability, fit.b, fit.b_variance, fit.level_spread):
        assert np.isfinite(each).all()
    assert fit.level[1] >= 0
    assert np.abs(fit.ability).max() < 4


def test_one_more_answer_moves_little() -> None:
    before = fit_practice(practised(alternating(24, 40)), blueprint_of(4))
    after = fit_practice(practised([*alternating(24, 40), 0.0]), blueprint_of(4))
    moved = before.level[0] + before.ability - after.level[0] - after.ability
    assert np.abs(moved).max() < 0.15


def test_hard_items_are_found_hard() -> None:
    known = small_prospect()
    right = [
        known.fit.practice.score[known.fit.practice.item == at].mean()
        for at in range(300)
        if (known.fit.practice.item == at).sum() >= 8
    ]
    b = [known.fit.b[at] for at in range(300) if (known.fit.practice.item == at).sum() >= 8]
    assert np.corrcoef(right, b)[0, 1] < -0.6


def test_an_item_seen_again_counts_as_remembered_and_not_as_able() -> None:
    again = [DatedAnswer("ana", "i0", TODAY, 1.0) for _ in range(20)]
    fresh = [DatedAnswer("ana", f"i{at}", TODAY, 1.0) for at in range(20)]
    items = [PracticeItem(f"i{at}", "d0") for at in range(20)]
    by_rote, by_skill = (
        fit_practice(practice_from_log(log, items, today=TODAY), blueprint_of(1))
        for log in (again, fresh)
    )
    assert by_rote.ability[0, 0] < by_skill.ability[0, 0] - 0.2


def test_answers_outside_the_blueprint_are_left_out() -> None:
    fit = fit_practice(practised(alternating(10, 20), n_domains=4), blueprint_of(3))
    assert fit.rows.n_left_out == 5
    assert fit.item_domain[:4].tolist() == [0, 1, 2, -1]


def test_possibilities_are_spread_evenly_and_always_the_same() -> None:
    points = evenly_spread(9, 17)
    assert points.mean(axis=0) == pytest.approx(0, abs=0.03)
    assert points.std(axis=0) == pytest.approx(1, abs=0.03)
    assert np.abs(np.corrcoef(points.T) - np.eye(17)).max() < 0.15
    assert not points.flags.writeable


def test_scores_by_domain_are_those_of_the_recursion_item_by_item() -> None:
    chances = np.random.default_rng(8).random((7, 4))
    model = ExamModel((3, 0, 9, 1), np.zeros((4, 2)))
    expected = score_distribution(np.repeat(chances.T, model.counts, axis=0))
    assert model.scores(chances) == pytest.approx(expected, abs=1e-12)


def test_a_domain_without_items_is_taken_as_items_in_general() -> None:
    fit = fit_practice(practised(alternating(10, 20), n_domains=3), blueprint_of(4))
    model = exam_model(fit, blueprint_of(4), 10)
    assert model.counts == (3, 3, 2, 2)
    chance = model.chance(3, np.array([-2.0, 0.0, 2.0]))
    assert chance[1] == pytest.approx(0.5)
    assert chance[2] == pytest.approx(1 - chance[0])


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"n_items": 0}, "an examination must have at least 1 item, got 0"),
        ({"cut": 55}, "a cut must be a share from 0 to 1, got 55"),
        ({"cut_error": -0.1}, "deviations must be 0 or more, got -0.1"),
    ],
)
def test_an_examination_that_cannot_be_is_refused(wrong: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Exam(**wrong)  # type: ignore[arg-type]


def test_a_mark_is_reached_by_the_whole_number_at_or_above_it() -> None:
    assert Exam(10, 0.55).passing(0.55).tolist() == [0] * 6 + [1] * 5
    assert Exam(20, 0.55).passing(0.55).tolist() == [0] * 11 + [1] * 10
    rough = Exam(10, 0.5, cut_error=0.05).passing(0.5)
    assert rough[5] == pytest.approx(0.5)
    assert rough[6] == pytest.approx(0.977, abs=1e-3)
