"""Steps of study shared out over domains so that passing becomes likeliest.

What each step buys is one sum over domains, so for a given weighing of possibilities the best steps
are found exactly, domain by domain (dynamic programming).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import special

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt

    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

TURNS: Final = 2
LEANINGS: Final = (0.0, 0.5)
"""How much a point counts more the less sure it is."""


@dataclass(frozen=True, slots=True, eq=False)
class Task:
    """What hours buy.

    Parameters
    ----------
    n_items : ndarray of shape (n_domains,)
    chances : ndarray of shape (n_domains, n_steps + 1, n_draws)
        Of a right answer after so many steps of study.
    step : int
        Half hours in a step.
    enough : float or None
        Right answers that pass.
    """

    n_items: Floats
    chances: Floats
    step: int
    enough: float | None

    def ends(self, steps: Sequence[int]) -> tuple[Floats, Floats]:
        """Return mean and variance of the score for each possible ability."""
        p = self.chances[np.arange(len(steps)), list(steps)]
        return self.n_items @ p, self.n_items @ (p * (1 - p))

    def value(self, steps: Sequence[int]) -> float:
        """Return the chance of passing, or the score where the cut is not known."""
        mean, variance = self.ends(steps)
        if self.enough is None:
            return float(mean.mean())
        return float(special.ndtr((mean - self.enough) / np.sqrt(variance)).mean())


def best_counts(task: Task, proportional: Sequence[int], least: Sequence[int]) -> tuple[int, ...]:
    """Return the half hours of each domain."""
    total = sum(proportional)
    n_steps = task.chances.shape[1] - 1
    floor = [-(-each // task.step) for each in least]
    if n_steps == 0 or sum(floor) > n_steps:
        return tuple(proportional)
    candidates = [best_shares(_worth(task, leaning), n_steps, floor) for leaning in LEANINGS]
    if task.enough is not None:
        best = max(candidates, key=task.value)
        for _ in range(TURNS):
            best = best_shares(_worth_near_mark(task, best), n_steps, floor)
            candidates.append(best)
    chosen = max(candidates, key=task.value)
    counts = [steps * task.step for steps in chosen]
    # What is left of a step goes where most is studied anyway.
    counts[int(np.argmax(counts))] += total - sum(counts)
    if task.step == 1 and task.value(proportional) >= task.value(chosen):
        return tuple(proportional)
    return tuple(counts)


def _worth(task: Task, leaning: float) -> Floats:
    """Return what steps in each domain are worth: mean score, leaning to the unsure or sure."""
    p = task.chances
    points = (p + leaning * p * (1 - p)).mean(axis=2)
    worth: Floats = task.n_items[:, None] * points
    return worth


def _worth_near_mark(task: Task, steps: Sequence[int]) -> Floats:
    """Return what steps are worth when possibilities that end near the mark count most."""
    mean, variance = task.ends(steps)
    assert task.enough is not None  # noqa: S101 - the caller has looked
    away = (mean - task.enough) / np.sqrt(variance)
    weight = np.exp(-0.5 * away**2) / np.sqrt(variance)
    # Where nothing ends near the mark, all count alike.
    weight = weight / weight.sum() if weight.sum() > 0 else np.full(weight.size, 1 / weight.size)
    worth: Floats = task.n_items[:, None] * (task.chances @ weight)
    return worth


def best_shares(worth: Floats, n_steps: int, least: Sequence[int]) -> tuple[int, ...]:
    """Return the steps of each domain whose worth together is greatest: exact, concave or not.

    Parameters
    ----------
    worth : ndarray of shape (n_domains, n_steps + 1)
        Of 0, 1, ... steps in a domain.
    n_steps : int
        To be shared out, all of them.
    least : sequence of int
        Steps each domain is to have at least; they sum to `n_steps` or less.

    Notes
    -----
    Domain after domain, the best of any sharing of any number of steps so far: time
    n_domains times n_steps squared.
    """
    together, before, impossible = _sharings(n_steps)
    best = np.where(together == 0, 0.0, -np.inf)
    taken = []
    for k, minimum in enumerate(least):
        either = best[before]
        either += worth[k]
        either += impossible
        either[:, :minimum] = -np.inf
        choice = either.argmax(axis=1)
        best = either[together, choice]
        taken.append(choice)
    left, steps = n_steps, []
    for choice in reversed(taken):
        steps.append(int(choice[left]))
        left -= steps[-1]
    return tuple(reversed(steps))


@lru_cache(maxsize=8)
def _sharings(n_steps: int) -> tuple[Ints, Ints, Floats]:
    """Return numbers of steps, what is left of each number after each, and where that is none."""
    together = np.arange(n_steps + 1)
    before = together[:, None] - together
    return together, np.maximum(before, 0), np.where(before < 0, -np.inf, 0.0)
