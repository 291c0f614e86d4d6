"""What would have been forecast before an examination that has been sat, beside what came of it."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from comity.core.exam.forecasts import RESULTS_AT_LEAST, Outcome
from comity.core.exam.readiness import prospect
from comity.core.exam.readiness_basis import ANSWERS_AT_LEAST, LONGEST_FORGETTING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.exam_chance import Exam
    from comity.core.exam.practice import DatedAnswer, Practice
    from comity.core.exam.readiness import Prospect
    from comity.core.exam.real_results import RealResult


def usable_results(
    results: Iterable[RealResult], answers: Iterable[DatedAnswer]
) -> tuple[RealResult, ...]:
    """Return the results before which a chance could have been told, one for each person.

    The first counts before which at least 20 different items were answered, the last of them within
    a year: later ones tell of somebody who has seen the examination.
    """
    by_person: dict[str, list[DatedAnswer]] = defaultdict(list)
    for answer in answers:
        by_person[answer.person].append(answer)
    first: dict[str, RealResult] = {}
    for result in sorted(results, key=lambda each: (each.person, each.on)):
        if result.person not in first and _has_enough(by_person.get(result.person, ()), result.on):
            first[result.person] = result
    return tuple(first.values())


def _has_enough(answers: Sequence[DatedAnswer], on: Day) -> bool:
    before = [each for each in answers if each.on < on]
    if len({each.item for each in before}) < ANSWERS_AT_LEAST:
        return False
    return on - max(each.on for each in before) <= LONGEST_FORGETTING


def outcomes_of(
    results: Iterable[RealResult],
    answers: Sequence[DatedAnswer],
    *,
    practised: Callable[[Sequence[DatedAnswer]], Practice],
    blueprint: Blueprint,
    exam: Exam,
) -> tuple[Outcome, ...]:
    """Return forecasts as they would have been before each examination, with what came of it.

    Of each person only the answers before the day of their examination count, so that nothing is
    forecast from afterwards; how hard items are, all others tell.

    Parameters
    ----------
    results : iterable of RealResult
    answers : sequence of DatedAnswer
        Everyone's.
    practised : callable
        Returns the checked log of answers.
    blueprint : Blueprint
    exam : Exam
        The examination that was sat.

    Returns
    -------
    tuple of Outcome
        Empty while there are fewer than 30 results that can be used, which correct nothing, and
        where the cut is not known.
    """
    used = {each.person: each for each in usable_results(results, answers)}
    if len(used) < RESULTS_AT_LEAST or exam.cut is None:
        return ()
    known = prospect(practised(_before(answers, used)), blueprint, exam)
    return tuple(_outcome(known, each) for each in used.values())


def _before(
    answers: Sequence[DatedAnswer], used: Mapping[str, RealResult]
) -> tuple[DatedAnswer, ...]:
    return tuple(
        each for each in answers if each.person not in used or each.on < used[each.person].on
    )


def _outcome(known: Prospect, result: RealResult) -> Outcome:
    person, practice = result.person, known.fit.practice
    possible = known.possible(person)
    chances = known.chances(possible, known.left_on(person, result.on))
    own = practice.answers_of(person)
    firsts = dict(zip(practice.item[own][::-1], practice.score[own][::-1], strict=True))
    share = sum(firsts.values()) / len(firsts) if firsts else 0.0
    return Outcome(float(chances.mean()), float(share), result.passed)
