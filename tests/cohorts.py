"""Invented people who practise and then sit an examination, drawn from the model of readiness."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from comity.core.exam.blueprints import Blueprint, Domain, Levels, apportioned
from comity.core.exam.forecasts import log_loss, logistic_line
from comity.core.exam.practice import DatedAnswer, PracticeItem, practice_from_log

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.practice import Practice
    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

MU, GAMMA, ETA, PSI = 0.2, 0.25, 0.7, 0.25
THETA, DELTA, DIFFICULTY = 0.8, 0.4, 1.0
JUDGED_VARIANCE = 1.75
"""So that half a judged difficulty is the best guess, and 0.75 the deviation around it."""
EXAM_AFTER = 7
EXAM_ITEMS = 100


@dataclass(frozen=True, slots=True)
class Setting:
    """Who practises what.

    Parameters
    ----------
    n_people, n_answers, n_items, n_domains, n_days : int
    cut : float
        Share of 100 items that passes.
    shift : float
        Deviation of how much harder the examination of a cohort is, in logits.
    judged : bool
        Whether items have a judged share.
    seed : int
    """

    n_people: int
    n_answers: int = 200
    n_items: int = 1000
    n_domains: int = 12
    n_days: int = 60
    cut: float = 0.55
    shift: float = 0.0
    judged: bool = True
    seed: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Cohort:
    """What they did, and what came of it.

    Parameters
    ----------
    practice : Practice
    on : int
        Day of the examination.
    passed : ndarray of bool, shape (n_people,)
    share_right : ndarray of float
        Of the answers in practice.
    chance : ndarray of float
        The true chance of passing.
    """

    practice: Practice
    on: int
    passed: npt.NDArray[np.bool_]
    share_right: Floats
    chance: Floats


def blueprint_of(n_domains: int) -> Blueprint:
    """Return a blueprint of equal domains d0, d1, …"""
    third = Fraction(1, 3)
    share = Fraction(1, n_domains)
    names = [f"d{number}" for number in range(n_domains)]
    return Blueprint(
        blueprint="invented",
        levels=Levels(recall=third, apply=third, judge=third),
        domains=tuple(Domain(id=name, name=name, share=share) for name in names),
    )


def cohort(setting: Setting) -> Cohort:
    """Return a cohort that answers items by chance as the model says, on days by chance."""
    rng = np.random.default_rng(setting.seed)
    people, k = setting.n_people, setting.n_domains
    ability = rng.normal(0, THETA, (people, 1)) + rng.normal(0, DELTA, (people, k))
    b = rng.normal(0, DIFFICULTY, setting.n_items)
    domain = np.arange(setting.n_items) % k
    log, left = _practised(setting, MU + ability, b, domain=domain, rng=rng)
    items = _items(setting, b, domain, rng=rng)
    of_exam = np.repeat(np.arange(k), apportioned([Fraction(1, k)] * k, EXAM_ITEMS))
    harder = rng.normal(0, 1) * setting.shift
    logits = MU + ability + GAMMA * np.log1p(left) - harder
    of_items = logits[:, of_exam] - rng.normal(0, DIFFICULTY, (people, EXAM_ITEMS))
    chance = 1 / (1 + np.exp(-of_items))
    mark = setting.cut * EXAM_ITEMS - 1e-9
    again = rng.random((200, *chance.shape)) < chance
    return Cohort(
        practice_from_log(log, items, today=setting.n_days),
        setting.n_days + EXAM_AFTER,
        (rng.random(chance.shape) < chance).sum(axis=1) >= mark,
        np.array([each.score for each in log]).reshape(people, -1).mean(axis=1),
        (again.sum(axis=2) >= mark).mean(axis=0),
    )


def _practised(
    setting: Setting, ability: Floats, b: Floats, *, domain: Ints, rng: np.random.Generator
) -> tuple[list[DatedAnswer], Floats]:
    """Return all answers, and what is left of practice in each domain on the exam day."""
    shape = (setting.n_people, setting.n_answers)
    days = np.sort(rng.integers(0, setting.n_days, shape), axis=1)
    items, luck = rng.integers(0, b.size, shape), rng.random(shape)
    kept = np.exp(-PSI * np.log1p(np.arange(setting.n_days + EXAM_AFTER + 1)))
    log: list[DatedAnswer] = []
    left = np.zeros((setting.n_people, setting.n_domains))
    for person in range(setting.n_people):
        day, item = days[person], items[person]
        for at in range(setting.n_answers):
            k = domain[item[at]]
            before = kept[day[at] - day[:at]]
            same_domain = before[domain[item[:at]] == k].sum()
            same_item = before[item[:at] == item[at]].sum()
            gained = GAMMA * np.log1p(same_domain) + ETA * np.log1p(same_item)
            logit = ability[person, k] - b[item[at]] + gained
            right = float(luck[person, at] < 1 / (1 + np.exp(-logit)))
            log.append(DatedAnswer(f"p{person:04}", f"i{item[at]}", int(day[at]), right))
        until = kept[setting.n_days + EXAM_AFTER - day]
        left[person] = np.bincount(domain[item], until, setting.n_domains)
    return log, left


def _items(
    setting: Setting, b: Floats, domain: Ints, *, rng: np.random.Generator
) -> list[PracticeItem]:
    """Return the items, with judged shares that go along with their difficulties (r about 0.66)."""
    noise = np.sqrt(JUDGED_VARIANCE - (0.5 * JUDGED_VARIANCE) ** 2)
    judged = 0.5 * JUDGED_VARIANCE * b + rng.normal(0, noise, b.size)
    shares = 1 / (1 + np.exp(judged))
    return [
        PracticeItem(f"i{at}", f"d{domain[at]}", float(share) if setting.judged else None)
        for at, share in enumerate(shares)
    ]


def left_out_logistic(found: Cohort) -> Floats:
    """Return each one's chance by a logistic regression on percent correct of all others.

    It needs the others' examination results, which an office rarely has.
    """
    x = (found.share_right - found.share_right.mean()) * 10
    passed = found.passed.astype(np.float64)
    chances = np.empty(x.size)
    for person in range(x.size):
        others = np.arange(x.size) != person
        line = logistic_line(x[others], passed[others], priors=((0.0, 5.0), (0.0, 5.0)))
        chances[person] = 1 / (1 + np.exp(-(line[0] + line[1] * x[person])))
    return chances


def loss_of(chances: Floats, found: Cohort) -> float:
    """Return the log loss of chances for a cohort."""
    return log_loss(chances, found.passed)
