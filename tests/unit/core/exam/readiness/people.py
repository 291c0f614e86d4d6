"""Small logs of practice to ask about."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from comity.core.exam.exam_chance import Exam
from comity.core.exam.practice import DatedAnswer, PracticeItem, practice_from_log
from comity.core.exam.readiness import prospect
from tests.cohorts import Setting, blueprint_of, cohort

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.practice import Practice
    from comity.core.exam.readiness import Prospect
    from tests.cohorts import Cohort

TODAY = 46_000
EXAM = Exam(100, 0.55)
SETTING = Setting(24, n_answers=90, n_items=300, n_domains=6, seed=3)


def items_of(n_items: int, n_domains: int = 4) -> tuple[PracticeItem, ...]:
    """Return items i0, i1, … spread over domains d0, d1, …"""
    return tuple(PracticeItem(f"i{at}", f"d{at % n_domains}") for at in range(n_items))


def practised(scores: Sequence[float], *, person: str = "ana", n_domains: int = 4) -> Practice:
    """Return the practice of one person who answered so many items, one a day until today."""
    log = [
        DatedAnswer(person, f"i{at}", TODAY - len(scores) + 1 + at, score)
        for at, score in enumerate(scores)
    ]
    return practice_from_log(log, items_of(max(len(scores), 1), n_domains), today=TODAY)


def alternating(n_right: int, n_answers: int) -> list[float]:
    """Return so many right answers, evenly among the others."""
    return [
        float((at + 1) * n_right // n_answers > at * n_right // n_answers)
        for at in range(n_answers)
    ]


@cache
def small_cohort() -> Cohort:
    """Return two dozen people who practised ninety items each."""
    return cohort(SETTING)


@cache
def small_prospect() -> Prospect:
    """Return what their practice leads one to expect."""
    return prospect(small_cohort().practice, blueprint_of(SETTING.n_domains), EXAM)
