"""Items placed on a common scale: Rasch and two-parameter models by marginal maximum likelihood.

Metric everywhere: P(right) = 1 / (1 + exp(-(a theta + d))), b = -d / a, theta standard normal.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import linalg

from comity.core.exam.irt_climbing import climb
from comity.core.exam.irt_likelihood import expect, patterns_by_score, patterns_of, probabilities
from comity.core.exam.irt_models import Objective
from comity.core.exam.quadrature import NODES_AT_LEAST, finer, nodes_needed, normal_grid

if TYPE_CHECKING:
    from comity.core.exam.irt_climbing import Summit
    from comity.core.exam.irt_models import Model, NormalPriors
    from comity.core.exam.quadrature import Floats, Grid
    from comity.core.exam.responses import Responses

PEOPLE_AT_LEAST: Final = 10
"""Without priors, fewer people than this are refused."""
FINE_ENOUGH: Final = 1e-5
UNBELIEVABLE_A: Final = 8.0
UNBELIEVABLE_D: Final = 15.0
_WHERE_TO_LOOK: Final = np.linspace(-6, 6, 121)


class CalibrationError(ValueError):
    """The answers do not allow the model that was asked for."""


@dataclass(frozen=True, slots=True, eq=False)
class ItemParameters:
    """Items on the scale.

    Parameters
    ----------
    items : tuple of str
        Ids.
    a, d : ndarray of shape (n_items,)
        Discrimination and easiness.
    """

    items: tuple[str, ...]
    a: Floats
    d: Floats

    @property
    def b(self) -> Floats:
        """Difficulty, -d / a: the ability with an even chance; infinite where a is 0."""
        with np.errstate(divide="ignore"):
            difficulty: Floats = -self.d / self.a
        return difficulty


@dataclass(frozen=True, slots=True, eq=False)
class StandardErrors:
    """Standard errors of the parameters; 0 for an a that was not estimated."""

    a: Floats
    d: Floats
    b: Floats


@dataclass(frozen=True, slots=True)
class GridCheck:
    """Whether the nodes were fine enough: the log-likelihood on twice as many must be the same."""

    n_nodes: int
    log_likelihood_on_finer: float
    difference: float
    n_people: int

    @property
    def is_fine_enough(self) -> bool:
        """Whether the log-likelihood moved by less than a hundred-thousandth for each person."""
        return abs(self.difference) < FINE_ENOUGH * self.n_people


@dataclass(frozen=True, slots=True, eq=False)
class Calibration:
    """What was estimated, and how far it can be trusted.

    Parameters
    ----------
    model : {"rasch", "1pl", "2pl"}
    parameters : ItemParameters
        Of the items that could be estimated.
    errors : StandardErrors or None
        From the observed information; None where it is not positive: the answers do not fix the
        items.
    log_likelihood : float
        Marginal, without the prior.
    n_parameters, n_people : int
        Parameters estimated; people with at least one answer.
    converged : bool
    n_steps : int
        E steps taken.
    largest_gradient : float
        Largest absolute derivative at the end; near 0 at a top.
    grid : GridCheck
    left_out : tuple of (str, str)
        Items without estimates, each with the reason.
    unstable : tuple of str
        Items whose estimates ran away, which says that the answers do not fix them.
    """

    model: Model
    parameters: ItemParameters
    errors: StandardErrors | None
    log_likelihood: float
    n_parameters: int
    n_people: int
    converged: bool
    n_steps: int
    largest_gradient: float
    grid: GridCheck
    left_out: tuple[tuple[str, str], ...]
    unstable: tuple[str, ...]

    @property
    def aic(self) -> float:
        """Akaike's criterion; smaller is better."""
        return 2 * self.n_parameters - 2 * self.log_likelihood

    @property
    def bic(self) -> float:
        """Schwarz's criterion; smaller is better."""
        return float(self.n_parameters * np.log(self.n_people) - 2 * self.log_likelihood)


def calibrate(
    responses: Responses, model: Model, *, priors: NormalPriors | None = None
) -> Calibration:
    """Return the items' parameters by marginal maximum likelihood, or at the posterior mode.

    People without answers count nowhere. Without priors an item that everyone answered alike has
    no estimate and is left out, with the reason; with priors it stays.

    Parameters
    ----------
    responses : Responses
    model : {"rasch", "1pl", "2pl"}
    priors : NormalPriors, optional
        Needed with few answers; an array of easiness means has an entry for each item.

    Raises
    ------
    CalibrationError
        When nothing can be estimated, or fewer than 10 people answered and there are no priors.
    """
    scores = responses.scores[responses.seen.any(axis=1)]
    reasons = () if priors is not None else _without_estimate(responses)
    out = {item for item, _ in reasons}
    kept = [at for at, item in enumerate(responses.items) if item not in out]
    _refuse_too_little(len(scores), len(kept), has_priors=priors is not None)
    patterns = (patterns_of if model == "2pl" else patterns_by_score)(scores[:, kept])
    objective = Objective(model, patterns, normal_grid(NODES_AT_LEAST), priors)
    objective, top = _climb_on_fitting_grid(objective, scores[:, kept])
    items = tuple(responses.items[at] for at in kept)
    return _described(objective, top, items=items, n_people=len(scores), left_out=reasons)


def _without_estimate(responses: Responses) -> tuple[tuple[str, str], ...]:
    """Return the items without a likeliest difficulty, with the reason."""
    n_seen = responses.seen.sum(axis=0)
    n_right = np.nansum(responses.scores, axis=0)
    reasons = []
    for item, seen, right in zip(responses.items, n_seen, n_right, strict=True):
        if seen == 0:
            reasons.append((item, "nobody has answered it"))
        elif right in {0, seen}:
            word = "right" if right else "wrong"
            reasons.append((item, f"all {seen:d} answers are {word}: no likeliest difficulty"))
    return tuple(reasons)


def _refuse_too_little(n_people: int, n_items: int, *, has_priors: bool) -> None:
    """Raise when there is nothing to estimate from."""
    if n_items == 0 or n_people == 0:
        message = f"nothing to estimate: {n_people} people and {n_items} items with both answers"
        raise CalibrationError(message)
    if not has_priors and n_people < PEOPLE_AT_LEAST:
        message = (
            f"{n_people} people are too few to estimate items from their answers alone:"
            f" give priors, or wait for {PEOPLE_AT_LEAST}"
        )
        raise CalibrationError(message)


def _climb_on_fitting_grid(objective: Objective, scores: Floats) -> tuple[Objective, Summit]:
    """Return the top on a grid as fine as the items found there need."""
    start = _start(objective, scores)
    objective = objective.on(_grid_for(objective, start))
    top = climb(objective, start)
    needed = _grid_for(objective, top.point.free)
    if needed.n_nodes > 1.2 * objective.grid.n_nodes:
        objective = objective.on(needed)
        top = climb(objective, top.point.free)
    return objective, top


def _start(objective: Objective, scores: Floats) -> Floats:
    """Return where to start: a = 1, easiness from the share of right answers."""
    n_seen = (~np.isnan(scores)).sum(axis=0)
    share = (np.nansum(scores, axis=0) + 0.5) / (n_seen + 1)
    # A logit averaged over standard normal abilities shrinks by about this much.
    easiness = np.log(share / (1 - share)) * np.sqrt(1 + 0.346)
    return np.concatenate((np.ones(objective.n_slopes), easiness))


def _grid_for(objective: Objective, free: Floats) -> Grid:
    """Return the grid which these items need."""
    a, d = objective.items_at(free)
    p = probabilities(a, d, _WHERE_TO_LOOK)
    return normal_grid(nodes_needed(float((a**2 @ (p * (1 - p))).max())))


def _described(
    objective: Objective,
    top: Summit,
    *,
    items: tuple[str, ...],
    n_people: int,
    left_out: tuple[tuple[str, str], ...],
) -> Calibration:
    """Return the calibration at the top, with its errors and checks."""
    a, d = objective.items_at(top.point.free)
    log_likelihood = top.point.expected.log_likelihood
    on_finer = expect(objective.patterns, a, d, grid=finer(objective.grid)).log_likelihood
    wild = np.flatnonzero((np.abs(a) > UNBELIEVABLE_A) | (np.abs(d) > UNBELIEVABLE_D))
    return Calibration(
        model=objective.model,
        parameters=ItemParameters(items, a, d.copy()),
        errors=_errors(objective, top),
        log_likelihood=log_likelihood,
        n_parameters=top.point.free.size,
        n_people=n_people,
        converged=top.converged,
        n_steps=top.n_steps,
        largest_gradient=float(np.abs(top.point.slope).max()),
        grid=GridCheck(objective.grid.n_nodes, on_finer, on_finer - log_likelihood, n_people),
        left_out=left_out,
        unstable=tuple(items[at] for at in wild),
    )


def _errors(objective: Objective, top: Summit) -> StandardErrors | None:
    """Return standard errors from the observed information; of b by the delta method."""
    try:
        factor = linalg.cho_factor(objective.information(top.point))
    except linalg.LinAlgError:
        return None
    covariance = linalg.cho_solve(factor, np.eye(top.point.free.size))
    a, d = objective.items_at(top.point.free)
    n_slopes = objective.n_slopes
    variances = np.diag(covariance)
    of_d = variances[n_slopes:]
    slopes = np.arange(n_slopes) if n_slopes == a.size else np.zeros(a.size, dtype=np.intp)
    if not n_slopes:
        return StandardErrors(np.zeros(a.size), np.sqrt(of_d), np.sqrt(of_d))
    of_a = variances[slopes]
    together = covariance[slopes, n_slopes + np.arange(a.size)]
    with np.errstate(divide="ignore", invalid="ignore"):
        of_b = (of_d - 2 * (d / a) * together + (d / a) ** 2 * of_a) / a**2
    return StandardErrors(np.sqrt(of_a), np.sqrt(of_d), np.sqrt(np.maximum(of_b, 0)))
