"""Up the likelihood: EM steps made longer (SQUAREM) first, Newton steps near the top.

References
----------
Varadhan, R. and Roland, C. (2008). Simple and globally convergent methods for accelerating the
convergence of any EM algorithm. Scandinavian Journal of Statistics 35, 335-353 (scheme S3).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import linalg

if TYPE_CHECKING:
    from comity.core.exam.irt_models import Objective, Point
    from comity.core.exam.quadrature import Floats

NEAR: Final = 0.02
"""When an EM step moves no parameter further, Newton takes over."""
CONVERGED: Final = 1e-6
MAX_EM_STEPS: Final = 1000
MAX_NEWTON_STEPS: Final = 20
OUT_OF_THIS_WORLD: Final = 100.0
SLACK: Final = 1e-9
"""Relative fall of the objective which rounding may explain."""


@dataclass(frozen=True, slots=True, eq=False)
class Summit:
    """Where the climb ended.

    Parameters
    ----------
    point : Point
        The last parameters with value and gradient.
    converged : bool
        Whether the last step was below the tolerance.
    n_steps : int
        E steps taken.
    """

    point: Point
    converged: bool
    n_steps: int


def climb(objective: Objective, start: Floats) -> Summit:
    """Return the top of the objective; when it is flat or endless, how far we came."""
    near = _squarem(objective, objective.at(start), tolerance=NEAR)
    top = _newton(objective, near)
    if top.converged:
        return top
    return _squarem(objective, top.point, tolerance=CONVERGED, n_steps=top.n_steps)


def _squarem(objective: Objective, point: Point, *, tolerance: float, n_steps: int = 1) -> Summit:
    """Return where EM, extrapolated from two steps at a time, moves less than the tolerance."""
    while n_steps < MAX_EM_STEPS:
        first = objective.at(objective.em(point))
        n_steps += 1
        if _largest(first.free - point.free) < tolerance:
            return Summit(first, converged=True, n_steps=n_steps)
        second = objective.em(first)
        last = first.free - point.free
        bend = second - first.free - last
        length = -np.sqrt((last @ last) / max(float(bend @ bend), np.finfo(float).tiny))
        leap = point.free - 2 * length * last + length**2 * bend
        point = _better(objective, first, leap if length < -1 else second)
        n_steps += 1
        if point is first:
            point, n_steps = objective.at(second), n_steps + 1
    return Summit(point, converged=False, n_steps=n_steps)


def _better(objective: Objective, so_far: Point, tried: Floats) -> Point:
    """Return the point tried, unless it is lower or out of this world."""
    if not np.isfinite(tried).all() or _largest(tried) > OUT_OF_THIS_WORLD:
        return so_far
    there = objective.at(tried)
    return there if there.value >= so_far.value - SLACK * abs(so_far.value) else so_far


def _newton(objective: Objective, near: Summit) -> Summit:
    """Return where Newton steps end; not converged as soon as one of them does not climb.

    The information is kept from step to step while it still serves: a gradient costs one E step,
    the information about five.
    """
    point, n_steps = near.point, near.n_steps
    factor = _factor(objective, point)
    moved = np.inf
    for _ in range(MAX_NEWTON_STEPS):
        if factor is None:
            break
        step = linalg.cho_solve(factor, point.slope)
        further = _better(objective, point, point.free + step)
        n_steps += 1
        if further is point:
            break
        point, before, moved = further, moved, _largest(step)
        if moved < CONVERGED:
            return Summit(point, converged=True, n_steps=n_steps)
        if moved > before / 10:
            factor = _factor(objective, point)
    return Summit(point, converged=False, n_steps=n_steps)


def _factor(objective: Objective, point: Point) -> tuple[Floats, bool] | None:
    """Return the Cholesky factor of the information, None where it is not positive."""
    try:
        return linalg.cho_factor(objective.information(point))
    except linalg.LinAlgError:
        return None


def _largest(change: Floats) -> float:
    """Return the largest absolute entry."""
    return float(np.abs(change).max(initial=0.0))
