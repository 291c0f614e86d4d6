"""Hours that are left, spent where they raise the chance of passing most.

What each hour buys is one sum over domains, so the best hours for a given weighing of
possibilities are found exactly, domain by domain (dynamic programming). Weighing possibilities by
how near the mark they end, and points by how sure they are, gives a few candidates; the one with
the best chance is taken. Studying in proportion to the examination is among them and hard to beat.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from comity.core.days.calendar import Day
from comity.core.exam.blueprints import apportioned
from comity.core.exam.exam_chance import evenly_spread, freshly_spread, n_coordinates
from comity.core.exam.forgetting import retained
from comity.core.exam.planned_study import (
    ITEMS_AN_HOUR,
    PlannedStudy,
    ReadinessError,
    StudySession,
)
from comity.core.exam.readiness import Prospect
from comity.core.exam.readiness_basis import lacking, rests_on
from comity.core.exam.study_days import (
    HALF_HOUR,
    StudyTime,
    StudyWeek,
    by_week,
    spread_out,
    study_days,
)
from comity.core.exam.study_shares import Task, best_counts

if TYPE_CHECKING:
    from collections.abc import Sequence


Aim = Literal["pass", "score"]
LOG2_SEARCHED: Final = 6
LOG2_FRESH: Final = 8
MOST_STEPS: Final = 240
"""Hours are shared out in steps of a half hour, and longer ones where there are more than this."""
CLEAR: Final = 2.0
NOTICED: Final = 0.005
"""A gain of less than half a point in a hundred is told as none."""


@dataclass(frozen=True, slots=True)
class StudyGain:
    """What the plan is worth.

    Parameters
    ----------
    without, in_proportion, planned : float
        Chance of passing without study, with study in proportion to the blueprint, as planned.
    gain : float
        Planned less in proportion, over the same abilities, none of which the plan was made on.
    noise : float
        Standard error of the gain, as if the abilities were drawn by chance; as they are spread
        evenly, it is rather less.
    better_in : float
        Share of possible abilities for which the plan is better.
    """

    without: float
    in_proportion: float
    planned: float
    gain: float
    noise: float
    better_in: float

    @property
    def is_clear(self) -> bool:
        """Whether the gain is more than twice its noise, and as much as anyone would notice."""
        return self.gain > max(CLEAR * self.noise, NOTICED)


@dataclass(frozen=True, slots=True)
class StudyPlan:
    """What to study when.

    Parameters
    ----------
    aim : {"pass", "score"}
        What it raises: the chance of passing, or the score where the cut is not known.
    minutes : tuple of (str, int)
        Minutes of each domain of the blueprint, in its order.
    weeks : tuple of StudyWeek
        Week by week, session by session.
    planned : PlannedStudy
        The same, to ask `readiness` with.
    gain : StudyGain or None
        None where the cut is not known, or the practice is not enough to say a chance.
    reasons : tuple of str
        Why there is no gain to tell, or nothing to study.
    """

    aim: Aim
    minutes: tuple[tuple[str, int], ...]
    weeks: tuple[StudyWeek, ...]
    planned: PlannedStudy
    gain: StudyGain | None
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the person wants besides.

    Parameters
    ----------
    at_least : mapping
        From ids of domains to hours to spend on them at least.
    items_an_hour : float
        Items practised in an hour.
    by_domain : mapping
        The same for domains in which it differs, by id.
    """

    at_least: Mapping[str, float] = field(default_factory=dict)
    items_an_hour: float = ITEMS_AN_HOUR
    by_domain: Mapping[str, float] = field(default_factory=dict)

    def planned(self, sessions: tuple[StudySession, ...]) -> PlannedStudy:
        """Return sessions as study at this pace."""
        return PlannedStudy(sessions, self.items_an_hour, self.by_domain)


NO_WISHES: Final = Wishes()


def plan_study(
    known: Prospect,
    person: str,
    time: StudyTime,
    *,
    rng: np.random.Generator,
    wishes: Wishes = NO_WISHES,
) -> StudyPlan:
    """Return how to spend the hours until the examination.

    Parameters
    ----------
    known : Prospect
        Practice made ready, with the examination.
    person : str
    time : StudyTime
        When there is time.
    rng : numpy.random.Generator
        For the abilities on which the gain is measured.
    wishes : Wishes
        Least hours of domains.

    Raises
    ------
    ReadinessError
        When study would start before today, or the least hours are more than there are.
    """
    if time.start < known.fit.practice.today:
        message = "study cannot start before today"
        raise ReadinessError(message)
    days = study_days(time)
    least = _least(known, wishes, len(days))
    task = _task(known, person, time, days=days, wishes=wishes)
    proportional = _in_proportion(known, len(days), least)
    counts = best_counts(task, proportional, least)
    sessions = spread_out(days, known.fit.domains, counts)
    planned = wishes.planned(sessions)
    basis = rests_on(known.fit, known.blueprint, person)
    reasons = list(lacking(basis, on=time.exam))
    if known.exam.cut is None:
        reasons.append("the cut is not known: the plan raises the score to expect")
    gain = None
    if not reasons:
        other = wishes.planned(spread_out(days, known.fit.domains, proportional))
        gain = _gain(known, person, time.exam, plans=(other, planned), rng=rng)
    if not days:
        reasons.append("there is not half an hour of study before the examination")
    minutes = tuple(
        (domain, HALF_HOUR * count) for domain, count in zip(known.fit.domains, counts, strict=True)
    )
    return StudyPlan(
        "score" if known.exam.cut is None else "pass",
        minutes,
        by_week(sessions),
        planned,
        gain,
        tuple(reasons),
    )


def _least(known: Prospect, wishes: Wishes, n_half_hours: int) -> tuple[int, ...]:
    """Return the half hours each domain is to have at least."""
    unknown = sorted(wishes.at_least.keys() - {*known.fit.domains})
    if unknown:
        message = f"no domain of {known.blueprint.blueprint} has the id {unknown[0]!r}"
        raise ReadinessError(message)
    least = tuple(
        int(np.ceil(2 * wishes.at_least.get(domain, 0.0))) for domain in known.fit.domains
    )
    if sum(least) > n_half_hours or min(least) < 0:
        message = (
            f"at least {sum(least) / 2:g} hours are wished for, and there are {n_half_hours / 2:g}"
        )
        raise ReadinessError(message)
    return least


def _in_proportion(known: Prospect, n_half_hours: int, least: Sequence[int]) -> tuple[int, ...]:
    """Return half hours by the shares of the blueprint, none below its least."""
    shares = [Fraction(domain.share) for domain in known.blueprint.domains]
    counts = list(apportioned(shares, n_half_hours))
    for k, wanted in enumerate(least):
        while counts[k] < wanted:
            most = max(range(len(counts)), key=lambda at: counts[at] - least[at])
            counts[most] -= 1
            counts[k] += 1
    return tuple(counts)


def _task(
    known: Prospect, person: str, time: StudyTime, *, days: Sequence[Day], wishes: Wishes
) -> Task:
    fit = known.fit
    possible = known.possible(person, evenly_spread(LOG2_SEARCHED, n_coordinates(fit)))
    step = max(1, -(-len(days) // MOST_STEPS))
    kept = retained(time.exam - np.array(days, dtype=np.float64), fit.priors.psi)
    rates = [wishes.by_domain.get(each, wishes.items_an_hour) for each in fit.domains]
    a_step = np.array(rates) * (step / 2 * float(kept.mean()) if days else 0.0)
    left = fit.left_on(person, time.exam) + a_step * np.arange(len(days) // step + 1)[:, None]
    logits = (
        possible.ability.T[:, None, :]
        + possible.gain * np.log1p(left).T[:, :, None]
        + possible.ease
    )
    chances = np.stack([known.model.chance(k, each) for k, each in enumerate(logits)])
    cut = known.exam.cut
    # A whole number is reached from half a point below on.
    enough = None if cut is None else float(np.ceil(cut * known.exam.n_items - 1e-9)) - 0.5
    return Task(np.array(known.model.counts, dtype=np.float64), chances, step, enough)


def _gain(
    known: Prospect,
    person: str,
    on: Day,
    *,
    plans: tuple[PlannedStudy, PlannedStudy],
    rng: np.random.Generator,
) -> StudyGain:
    """Return what the second plan gains over the first, over the same fresh abilities."""
    possible = known.possible(person, freshly_spread(LOG2_FRESH, n_coordinates(known.fit), rng))
    nothing, proportional, planned = (
        known.chances(possible, known.left_on(person, on, plan))
        for plan in (PlannedStudy(), *plans)
    )
    gain = planned - proportional
    return StudyGain(
        float(nothing.mean()),
        float(proportional.mean()),
        float(planned.mean()),
        float(gain.mean()),
        float(gain.std(ddof=1) / np.sqrt(gain.size)),
        float((gain > 0).mean()),
    )
