"""Would this person pass on a day? A chance with its interval, what it rests on, or why not yet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from comity.core.days.calendar import Day, iso
from comity.core.exam.benchmark import Benchmark, benchmark_of
from comity.core.exam.exam_chance import Exam, exam_model, possible_abilities
from comity.core.exam.forecasts import Correction, Outcome, as_told, correction_by
from comity.core.exam.forgetting import retained
from comity.core.exam.planned_study import NO_STUDY, PlannedStudy, ReadinessError
from comity.core.exam.practice_fit import fit_practice
from comity.core.exam.practice_rows import USUAL, Priors
from comity.core.exam.readiness_basis import RestsOn, lacking, remarks_on_basis, rests_on

if TYPE_CHECKING:
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.exam_chance import ExamModel, Possible
    from comity.core.exam.practice import Practice
    from comity.core.exam.practice_fit import PracticeFit
    from comity.core.exam.quadrature import Floats

Basis = Literal["nothing", "range", "chance"]
LOW, HIGH = 10, 90
"""Percentiles between which 8 of 10 possibilities lie."""
MINUTES_IN_HOUR: Final = 60
CUTS: Final = tuple(number / 100 for number in range(40, 85, 5))


@dataclass(frozen=True, slots=True)
class Spread:
    """A share of right answers at the examination: 8 of 10 lie from low to high."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True, slots=True)
class CutChance:
    """The chance of reaching a cut."""

    cut: float
    chance: float


@dataclass(frozen=True, slots=True)
class DomainReadiness:
    """What to expect in one domain on the day.

    Parameters
    ----------
    domain, name : str
        Id and what people call it.
    share : float
        Share of the examination.
    n_first : int
        Items of it answered.
    right : Spread
        Share of its items the person would get right.
    """

    domain: str
    name: str
    share: float
    n_first: int
    right: Spread


@dataclass(frozen=True, slots=True)
class Readiness:
    """The answer for one person and one day. Practice is not the examination.

    Parameters
    ----------
    person : str
    on : Day
        Day of the examination.
    enough : bool
        Whether the practice is enough to say a chance.
    reasons : tuple of str
        Why it is not; empty if it is.
    basis : {"nothing", "range", "chance"}
        Nothing: not one answer, people in general. Range: only `low` to `high` should be shown.
    p_pass : float or None
        Chance of passing; None when there is not enough, or the cut is not known.
    low, high : float or None
        If the person's ability were known exactly, the chance would lie from low to high in 8 of
        10 cases; None when the cut is not known.
    score : Spread
        Share of right answers to expect.
    by_cut : tuple of CutChance
        The chance of several cuts, uncorrected; empty when there is not enough.
    domains : tuple of DomainReadiness
        In the order of the blueprint.
    benchmark : Benchmark
        What the share of right answers alone says.
    correction : Correction
        How real results move the chance.
    rests_on : RestsOn
    remarks : tuple of str
        What is odd about the answers, and what is done about it.
    uncorrected : float or None
        The chance before correction, to be kept with the result for `Outcome`; not for people.
    """

    person: str
    on: Day
    enough: bool
    reasons: tuple[str, ...]
    basis: Basis
    p_pass: float | None
    low: float | None
    high: float | None
    score: Spread
    by_cut: tuple[CutChance, ...]
    domains: tuple[DomainReadiness, ...]
    benchmark: Benchmark
    correction: Correction
    rests_on: RestsOn
    remarks: tuple[str, ...]
    uncorrected: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Prospect:
    """Practice, a blueprint and an examination, made ready to ask about many people and days.

    Made by `prospect`.
    """

    fit: PracticeFit
    blueprint: Blueprint
    exam: Exam
    model: ExamModel
    outcomes: tuple[Outcome, ...]
    correction: Correction

    def possible(self, person: str, normal: Floats | None = None) -> Possible:
        """Return abilities the person may have; laid out by given normal numbers, or evenly."""
        return possible_abilities(self.fit, person, shift=self.exam.shift, normal=normal)

    def left_on(self, person: str, on: Day, plan: PlannedStudy = NO_STUDY) -> Floats:
        """Return what is left on a day of practice in each domain, with planned study."""
        return self.fit.left_on(person, on) + self.left_of_plan(plan, on)

    def left_of_plan(self, plan: PlannedStudy, on: Day) -> Floats:
        """Return what is left on a day of study to come."""
        unknown = [each.domain for each in plan.sessions if each.domain not in self.fit.domains]
        if unknown:
            message = (
                f"study is planned in {unknown[0]!r}, which is no domain of"
                f" {self.blueprint.blueprint}: {', '.join(self.fit.domains)}"
            )
            raise ReadinessError(message)
        place = {domain: k for k, domain in enumerate(self.fit.domains)}
        counted = [each for each in plan.sessions if self.fit.practice.today <= each.on <= on]
        items = [each.minutes / MINUTES_IN_HOUR * plan.rate(each.domain) for each in counted]
        days_before = on - np.array([each.on for each in counted], dtype=np.float64)
        left = np.zeros(self.fit.n_domains)
        kept = np.array(items) * retained(days_before, self.fit.priors.psi)
        np.add.at(left, [place[each.domain] for each in counted], kept)
        return left

    def chances(self, possible: Possible, left: Floats) -> Floats:
        """Return the chance of passing for each possible ability, uncorrected.

        Parameters
        ----------
        possible : Possible
        left : ndarray of shape (n_domains,)
            What is left of practice on the day, as `left_on` returns.
        """
        if self.exam.cut is None:
            message = "without a cut there is no chance of passing; give one"
            raise ReadinessError(message)
        logits = possible.logits(left)
        passing = self.exam.passing(self.exam.cut)
        chances = passing @ self.model.scores(self.model.chances(logits))
        return np.clip(chances, 0, 1)

    def readiness(self, person: str, on: Day, plan: PlannedStudy = NO_STUDY) -> Readiness:
        """Return how ready a person will be on a day. See `readiness`."""
        if on < self.fit.practice.today:
            message = (
                f"the examination, on {iso(on)}, is over: give a day from"
                f" {iso(self.fit.practice.today)} on"
            )
            raise ReadinessError(message)
        logits = self.possible(person).logits(self.left_on(person, on, plan))
        return _answered(self, person, on, logits=logits)


def prospect(
    practice: Practice,
    blueprint: Blueprint,
    exam: Exam,
    *,
    outcomes: Sequence[Outcome] = (),
    priors: Priors = USUAL,
) -> Prospect:
    """Return practice made ready to ask about many people, days and plans: it is fitted once.

    Parameters
    ----------
    practice : Practice
        Everyone's answers.
    blueprint : Blueprint
        Domains and their shares.
    exam : Exam
        Items, cut, and how unsure both are.
    outcomes : sequence of Outcome
        Real results of people who had a forecast; from 30 on they correct it.
    priors : Priors
        What is believed beforehand, the exponent of forgetting among it.
    """
    fit = fit_practice(practice, blueprint, priors)
    model = exam_model(fit, blueprint, exam.n_items)
    return Prospect(fit, blueprint, exam, model, tuple(outcomes), correction_by(outcomes))


def readiness(
    practice: Practice,
    blueprint: Blueprint,
    exam: Exam,
    *,
    person: str,
    on: Day,
    plan: PlannedStudy = NO_STUDY,
) -> Readiness:
    """Return how ready a person will be on a day, if they study as planned.

    For many people, days or plans, and for real results, use `prospect`.

    Raises
    ------
    ReadinessError
        When the day is over, or study is planned in a domain the blueprint does not have.
    """
    return prospect(practice, blueprint, exam).readiness(person, on, plan)


def _answered(known: Prospect, person: str, on: Day, *, logits: Floats) -> Readiness:
    """Return the answer for the logits a person may have on the day."""
    chances = known.model.chances(logits)
    scores = known.model.scores(chances)
    correction = known.correction
    basis = rests_on(
        known.fit,
        known.blueprint,
        person,
        n_results=correction.n_results if correction.is_in_force else 0,
    )
    reasons = lacking(basis, on=on)
    raw, low, high = _passing(known, scores)
    return Readiness(
        person=person,
        on=on,
        enough=not reasons,
        reasons=reasons,
        basis=_named(basis, enough=not reasons),
        p_pass=None if reasons or raw is None else as_told(correction.of(raw)),
        low=low,
        high=high,
        score=_score(scores.mean(axis=1)),
        by_cut=() if reasons else _by_cut(known, scores),
        domains=_by_domain(basis, chances),
        benchmark=benchmark_of(
            basis.n_right, basis.n_first, cut=known.exam.cut, outcomes=known.outcomes
        ),
        correction=correction,
        rests_on=basis,
        remarks=remarks_on_basis(basis),
        uncorrected=raw,
    )


def _named(basis: RestsOn, *, enough: bool) -> Basis:
    """Return what kind of answer can be given."""
    if enough:
        return "chance"
    return "range" if basis.n_answers else "nothing"


def _passing(known: Prospect, scores: Floats) -> tuple[float | None, float | None, float | None]:
    """Return the chance before correction, and its interval after it."""
    if known.exam.cut is None:
        return None, None, None
    chances = np.clip(known.exam.passing(known.exam.cut) @ scores, 0, 1)
    low, high = (float(each) for each in np.percentile(chances, (LOW, HIGH)))
    corrected = known.correction.of
    return float(chances.mean()), as_told(corrected(low)), as_told(corrected(high))


def _by_cut(known: Prospect, scores: Floats) -> tuple[CutChance, ...]:
    return tuple(CutChance(cut, float((known.exam.passing(cut) @ scores).mean())) for cut in CUTS)


def _score(distribution: Floats) -> Spread:
    """Return the middle and the ends of a distribution of right answers, as shares."""
    below = np.cumsum(distribution)
    at = [int(np.searchsorted(below, share / 100)) for share in (LOW, 50, HIGH)]
    low, middle, high = (each / (distribution.size - 1) for each in at)
    return Spread(low, middle, high)


def _by_domain(basis: RestsOn, chances: Floats) -> tuple[DomainReadiness, ...]:
    low, middle, high = np.percentile(chances, (LOW, 50, HIGH), axis=0)
    return tuple(
        DomainReadiness(
            each.domain,
            each.name,
            each.share,
            each.n_first,
            Spread(float(low[k]), float(middle[k]), float(high[k])),
        )
        for k, each in enumerate(basis.domains)
    )
