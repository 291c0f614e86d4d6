"""How ready somebody is for an examination, and how to spend the weeks until it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.exam.booking import book_or_wait
from comity.core.exam.exam_chance import Exam, exam_model
from comity.core.exam.forecasts import correction_by
from comity.core.exam.irt import ItemParameters
from comity.core.exam.looking_back import outcomes_of
from comity.core.exam.practice import practice_from_log, practice_items
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.readiness import Prospect, prospect
from comity.core.exam.readiness_words import words_for_applicant
from comity.core.exam.selecting import (
    SelectingError,
    ability_of,
    about_to_be_forgotten,
    next_item,
    parameters_of,
    pool_of,
)
from comity.core.exam.study import plan_study
from comity.core.exam.study_days import StudyTime
from comity.service.mock_forms import outline

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from comity.core.days.calendar import Day
    from comity.core.exam.booking import Booking, BookingRules
    from comity.core.exam.forecasts import Outcome
    from comity.core.exam.items import Item
    from comity.core.exam.practice import DatedAnswer, Practice
    from comity.core.exam.practice_fit import PracticeFit
    from comity.core.exam.readiness import Readiness
    from comity.core.exam.readiness_words import Words
    from comity.core.exam.real_results import RealResult
    from comity.core.exam.study import StudyPlan

FEWEST_SITTINGS: Final = 2
_SEED: Final = 0
"""Of the fresh abilities by which the gain of a plan is told: the same page tells the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Whose readiness is asked, for which examination, with how much time to study.

    Parameters
    ----------
    person : str
    today, on : Day
        Today, and the day of the examination, which is not before it.
    n_items : int
    cut : float or None
        Share that passes; None where it is not published.
    hours_a_week : float
    results : tuple of RealResult
        What came of this examination so far, of anybody; from 30 on they correct the chance.
    sittings : tuple of Day
        For which one can enter; from two on it is weighed whether to take the first.
    rules : BookingRules or None
        What an attempt costs, and how often one may try; None where it is not to be weighed.
    """

    person: str
    today: Day
    on: Day
    n_items: int
    cut: float | None
    hours_a_week: float
    results: tuple[RealResult, ...] = ()
    sittings: tuple[Day, ...] = ()
    rules: BookingRules | None = None


@dataclass(frozen=True, slots=True)
class Ready:
    """How ready somebody is; `studied` if they study as the plan says.

    `words` is what an applicant may be told; None while it would rest on too little. `booking` is
    None where nothing can be weighed.
    """

    now: Readiness
    studied: Readiness
    plan: StudyPlan
    words: Words | None
    booking: Booking | None = None


def readiness_of(asked: Asked, answers: Iterable[DatedAnswer], items: Sequence[Item]) -> Ready:
    """Return how ready a person is, from everybody's answers to items of the shipped outline.

    Items whose domain the outline does not know are passed over, with their answers; an answer
    dated after today counts as of today.
    """
    log, today = tuple(answers), asked.today
    exam = Exam(asked.n_items, asked.cut)
    outcomes = outcomes_by(asked.results, log, items, today=today, exam=exam)
    found = prospect(_practice(log, items, today=today), outline(), exam, outcomes=outcomes)
    time = StudyTime(asked.today, asked.on, asked.hours_a_week)
    plan = plan_study(found, asked.person, time, rng=np.random.default_rng(_SEED))
    now = found.readiness(asked.person, asked.on)
    studied = found.readiness(asked.person, asked.on, plan.planned)
    booking = _booking(found, asked) if now.enough else None
    return Ready(now, studied, plan, words_for_applicant(studied), booking)


def outcomes_by(
    results: Iterable[RealResult],
    answers: Sequence[DatedAnswer],
    items: Sequence[Item],
    *,
    today: Day,
    exam: Exam,
) -> tuple[Outcome, ...]:
    """Return what real results say of forecasts for an examination; see `outcomes_of`."""

    def practised(some: Iterable[DatedAnswer]) -> Practice:
        return _practice(some, items, today=today)

    return outcomes_of(results, answers, practised=practised, blueprint=outline(), exam=exam)


def chance_on(
    fit: PracticeFit,
    person: str,
    on: Day,
    *,
    exam: Exam,
    hours_a_week: float,
    outcomes: Sequence[Outcome] = (),
) -> float | None:
    """Return the chance of passing on a day, after study; None while practice is not enough.

    Parameters
    ----------
    fit : PracticeFit
        Of `fit_of`.
    person : str
    on : Day
        Day of the examination.
    exam : Exam
        With a cut.
    hours_a_week : float
    outcomes : sequence of Outcome
        Of `outcomes_by`.
    """
    model = exam_model(fit, outline(), exam.n_items)
    correction = correction_by(outcomes)
    found = Prospect(fit, outline(), exam, model, tuple(outcomes), correction)
    plain = found.readiness(person, on)
    if plain.p_pass is None or not hours_a_week:
        return plain.p_pass
    time = StudyTime(fit.practice.today, on, hours_a_week)
    studied = plan_study(found, person, time, rng=np.random.default_rng(_SEED)).planned
    return found.readiness(person, on, studied).p_pass


def _booking(known: Prospect, asked: Asked) -> Booking | None:
    """Return whether to take the first sitting; who waits goes on studying at the same pace."""
    if asked.rules is None or len(asked.sittings) < FEWEST_SITTINGS or known.exam.cut is None:
        return None
    time = StudyTime(asked.today, max(asked.sittings), asked.hours_a_week)
    studied = plan_study(known, asked.person, time, rng=np.random.default_rng(_SEED)).planned
    found = book_or_wait(known, asked.person, asked.sittings, rules=asked.rules, plan=studied)
    return found if len(found.options) >= FEWEST_SITTINGS else None


def fit_of(answers: Iterable[DatedAnswer], items: Sequence[Item], *, today: Day) -> PracticeFit:
    """Return what everybody's answers say of people and items; see `readiness_of`."""
    return fit_practice(_practice(answers, items, today=today), outline())


def next_of(
    fit: PracticeFit, person: str, items: Sequence[Item], *, given: Collection[str], seed: int
) -> str | None:
    """Return the item of a form to practise next: what tells most, or is about to be forgotten.

    Parameters
    ----------
    fit : PracticeFit
        In which the items stand.
    person : str
    items : sequence of Item
        Of the form.
    given : collection of str
        What was answered in this practice; it is not given again in it.
    seed : int
        Of the draw.

    Returns
    -------
    str or None
        None where no item belongs to the outline, or all were given.
    """
    known = parameters_of(fit)
    place = {id_: at for at, id_ in enumerate(known.items)}
    own = [item for item in items if item.id in place]
    at = [place[item.id] for item in own]
    mine = ItemParameters(tuple(item.id for item in own), known.a[at], known.d[at])
    due = [each for each in about_to_be_forgotten(fit, person) if each not in given]
    try:
        pool = pool_of(mine, [item.domain for item in own], outline())
        rng = np.random.default_rng(seed)
        return next_item(pool, given, ability_of(fit, person), rng=rng, due=due).item
    except SelectingError:
        return None


def _practice(answers: Iterable[DatedAnswer], items: Sequence[Item], *, today: Day) -> Practice:
    blueprint = outline()
    known = [item for item in items if blueprint.domain_of(item.domain) is not None]
    ids = {item.id for item in known}
    dated = [each._replace(on=min(each.on, today)) for each in answers if each.item in ids]
    parts = [
        replace(each, domain=domain.id)
        for each in practice_items(known)
        if (domain := blueprint.domain_of(each.domain)) is not None
    ]
    return practice_from_log(dated, parts, today=today)
