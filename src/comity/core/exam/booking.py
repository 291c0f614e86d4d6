"""Book the next sitting, or wait? By what each choice costs on average, in money and in days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from scipy import special

from comity.core.days.calendar import Day, iso
from comity.core.exam.forecasts import as_told
from comity.core.exam.planned_study import NO_STUDY, PlannedStudy, ReadinessError
from comity.core.exam.readiness import Prospect
from comity.core.exam.readiness_basis import lacking, rests_on

if TYPE_CHECKING:
    from comity.core.exam.quadrature import Floats

Advice = Literal["book the first", "wait", "no clear difference", "cannot say yet"]
MOST_ATTEMPTS: Final = 8
CLEAR: Final = 2.0
_HALVINGS: Final = 60
_SURE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class BookingRules:
    """What an attempt costs, and how often one may try.

    Parameters
    ----------
    fee_minor : int
        Cost of one attempt, in the smallest unit of the currency.
    attempts : int or None
        Attempts left; None where nothing limits them.
    wait_days : int
        Days between two attempts, at least.
    day_minor : int
        What each day later costs, lost earnings say.
    failure_minor : int
        What it costs to have no attempt or sitting left.
    """

    fee_minor: int
    attempts: int | None = None
    wait_days: int = 1
    day_minor: int = 0
    failure_minor: int = 0

    def __post_init__(self) -> None:
        amounts = (self.fee_minor, self.day_minor, self.failure_minor, self.wait_days)
        if min(amounts) < 0:
            message = f"fees, costs and waits must be 0 or more, got {min(amounts)}"
            raise ReadinessError(message)


@dataclass(frozen=True, slots=True)
class FirstSitting:
    """What comes of sitting first on a day, and again as soon as allowed after each failure.

    Parameters
    ----------
    on : Day
    p_pass : float
        Chance of passing there.
    p_ever : float
        Chance of passing within the attempts and sittings there are.
    n_attempts : float
        Attempts to expect.
    fees_minor : float
        Fees to expect.
    days : float
        Days from today to the last attempt, to expect.
    cost_minor : float
        Fees, days and failure together, to expect.
    """

    on: Day
    p_pass: float
    p_ever: float
    n_attempts: float
    fees_minor: float
    days: float
    cost_minor: float


@dataclass(frozen=True, slots=True)
class Booking:
    """Whether to book the next sitting.

    Parameters
    ----------
    advice : str
    best : FirstSitting or None
        Costs least; None when nothing can be said.
    saves_minor : float
        What the best costs less than the first.
    noise_minor : float
        Standard error of that.
    options : tuple of FirstSitting
        By day.
    p_by_sitting : tuple of (Day, float)
        Chance of passing each sitting at a first attempt, for plan and budget; empty when the
        practice is not enough.
    reasons : tuple of str
        Why nothing can be said.
    """

    advice: Advice
    best: FirstSitting | None
    saves_minor: float
    noise_minor: float
    options: tuple[FirstSitting, ...]
    p_by_sitting: tuple[tuple[Day, float], ...]
    reasons: tuple[str, ...]


def book_or_wait(
    known: Prospect,
    person: str,
    sittings: Sequence[Day],
    *,
    rules: BookingRules,
    plan: PlannedStudy = NO_STUDY,
) -> Booking:
    """Return whether to book the first sitting or a later one.

    Failing tells that one is less able than was thought, so the second attempt is worse than the
    first even with the same practice: abilities are held apart, and each is followed through all
    its attempts.

    Parameters
    ----------
    known : Prospect
        Practice made ready, with the examination.
    person : str
    sittings : sequence of Day
        On which one may still sit; those before today are left out.
    rules : BookingRules
    plan : PlannedStudy
        Study to come; what lies after a sitting does not count for it.
    """
    days = sorted({day for day in sittings if day >= known.fit.practice.today})
    reasons = _reasons(known, person, days, rules=rules)
    if reasons:
        return Booking("cannot say yet", None, 0.0, 0.0, (), (), reasons)
    possible = known.possible(person)
    chances = np.stack(
        [
            _corrected(known, known.chances(possible, known.left_on(person, day, plan)))
            for day in days
        ]
    )
    costs, options = [], []
    for first in range(len(days)):
        cost, option = _followed(days, first, chances, rules=rules, today=known.fit.practice.today)
        costs.append(cost)
        options.append(option)
    at = int(np.argmin([option.cost_minor for option in options]))
    saved = costs[0] - costs[at]
    noise = float(saved.std(ddof=1) / np.sqrt(saved.size))
    return Booking(
        _advice(at, float(saved.mean()), noise),
        options[at],
        float(saved.mean()),
        noise,
        tuple(options),
        tuple((option.on, option.p_pass) for option in options),
        (),
    )


def _reasons(
    known: Prospect, person: str, days: Sequence[Day], *, rules: BookingRules
) -> tuple[str, ...]:
    """Return why nothing can be said."""
    if not days:
        return (f"no sitting is known on {iso(known.fit.practice.today)} or later",)
    if rules.attempts is not None and rules.attempts < 1:
        return ("no attempt is left",)
    reasons = lacking(rests_on(known.fit, known.blueprint, person), on=days[0])
    if known.exam.cut is None:
        return (*reasons, "the cut is not known")
    return reasons


def _corrected(known: Prospect, chances: Floats) -> Floats:
    """Return chances moved alike, so that their mean is what real results make of it."""
    wanted = known.correction.of(float(chances.mean()))
    logits = special.logit(np.clip(chances, _SURE, 1 - _SURE))
    low, high = -40.0, 40.0
    for _ in range(_HALVINGS if known.correction.is_in_force else 0):
        middle = (low + high) / 2
        if special.expit(logits + middle).mean() < wanted:
            low = middle
        else:
            high = middle
    moved: Floats = special.expit(logits + (low + high) / 2)
    return moved


def _followed(
    days: Sequence[Day], first: int, chances: Floats, *, rules: BookingRules, today: Day
) -> tuple[Floats, FirstSitting]:
    """Return the cost for each possible ability, and what to expect on average."""
    chain = _chain(days, first, rules)
    failed = np.ones(chances.shape[1])
    attempts, last = np.zeros_like(failed), np.zeros_like(failed)
    for number, at in enumerate(chain):
        attempts += failed
        passes = failed * chances[at]
        failed = failed - passes
        is_last = number == len(chain) - 1
        last += (passes + (failed if is_last else 0)) * (days[at] - today)
    fees = rules.fee_minor * attempts
    cost = fees + rules.day_minor * last + rules.failure_minor * failed
    return cost, FirstSitting(
        days[first],
        as_told(float(chances[first].mean())),
        as_told(float(1 - failed.mean())),
        float(attempts.mean()),
        float(fees.mean()),
        float(last.mean()),
        float(cost.mean()),
    )


def _chain(days: Sequence[Day], first: int, rules: BookingRules) -> list[int]:
    """Return the sittings one goes to until one passes."""
    chain = [first]
    most = MOST_ATTEMPTS if rules.attempts is None else rules.attempts
    for at in range(first + 1, len(days)):
        if len(chain) < most and days[at] - days[chain[-1]] >= max(rules.wait_days, 1):
            chain.append(at)
    return chain


def _advice(at: int, saves: float, noise: float) -> Advice:
    if at == 0:
        return "book the first"
    return "wait" if saves > CLEAR * noise else "no clear difference"
