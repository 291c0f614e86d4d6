"""How able people are in each domain and how hard items are, from practice that is forgotten.

The chance that person s answers item i of domain k right on day t has the logit

    mu + theta_s + delta_sk - b_i + gamma ln(1 + A_sk(t)) + eta ln(1 + B_si(t))

where A is what is left of earlier practice in the domain and B of earlier answers to the same item
(`comity.core.exam.forgetting`). Everything has a normal prior, so five people and a hundred items
give finite figures, and one more answer moves them a little.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np
from scipy import optimize

from comity.core.exam.forgetting import retained
from comity.core.exam.practice_problem import Problem, Spreads
from comity.core.exam.practice_rows import USUAL, Priors, Rows, domains_of, rows_of, summed

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.practice import Practice
    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

STEPS: Final = 400
PRECISE: Final = (1e-6, 1e-7, 1e-8)
"""How precise each round is: after each, the spread of the estimates is put back into the means."""


@dataclass(frozen=True, slots=True, eq=False)
class PracticeFit:
    """What practice says of people and items; means and spreads, never infinite.

    Parameters
    ----------
    practice : Practice
        What it rests on.
    domains : tuple of str
        Ids of the blueprint's domains.
    priors : Priors
    rows : Rows
    item_domain : ndarray of int
        Domain of each item, -1 outside the blueprint.
    level : ndarray of shape (3,)
        mu, gamma, eta.
    level_spread : ndarray of shape (3, 3)
        Their covariance.
    ability : ndarray of shape (n_people, n_domains)
        theta + delta.
    weight : ndarray of shape (n_people, n_domains)
        Information of the answers on each.
    pull : ndarray of shape (n_people, n_domains, 3)
        How the answers tie each to mu, gamma and eta.
    b, b_variance : ndarray of shape (n_items,)
        Difficulty and how sure it is.
    """

    practice: Practice
    domains: tuple[str, ...]
    priors: Priors
    rows: Rows
    item_domain: Ints
    level: Floats
    level_spread: Floats
    ability: Floats
    weight: Floats
    pull: Floats
    b: Floats
    b_variance: Floats

    @property
    def n_domains(self) -> int:
        """The number of domains."""
        return len(self.domains)

    def left_on(self, person: str, on: int) -> Floats:
        """Return A, what is left on a day of a person's practice in each domain."""
        if person not in self.practice.people:
            return np.zeros(self.n_domains)
        owner, domain = np.divmod(self.rows.cell, self.n_domains)
        own = (owner == self.practice.people.index(person)) & (self.rows.on <= on)
        left = retained(on - self.rows.on[own], self.priors.psi)
        return summed(domain[own], left, self.n_domains)


def fit_practice(practice: Practice, blueprint: Blueprint, priors: Priors = USUAL) -> PracticeFit:
    """Return posterior means and spreads of everyone's ability and every item's difficulty.

    The means are found by L-BFGS. Where an estimate is unsure, the chance of a right answer lies
    nearer to one half than at the estimate itself; this is allowed for in the fit as well, since
    otherwise it would be allowed for twice when chances are worked out from it, and too few people
    would be expected to pass.

    Notes
    -----
    60,000 answers of 300 people take well under a second and a half; it is refitted from scratch
    each time, and keeps no state.
    """
    item_domain = domains_of(practice, blueprint)
    domains = tuple(domain.id for domain in blueprint.domains)
    rows = rows_of(practice, item_domain, n_domains=len(domains), psi=priors.psi)
    problem = Problem.of(practice, rows, n_domains=len(domains), priors=priors)
    spread = Spreads.before(problem)
    point = problem.start
    for precise in PRECISE if rows.item.size else ():
        point = _climbed(problem, point, spread, precise=precise)
        spread = Spreads.at(problem, point, spread)
    level, ability, b = problem.parts(point)
    return PracticeFit(
        practice,
        domains,
        priors,
        rows,
        item_domain,
        level,
        spread.level,
        ability,
        spread.weight,
        spread.pull,
        b,
        spread.b,
    )


def _climbed(problem: Problem, point: Floats, spread: Spreads, *, precise: float) -> Floats:
    """Return the best point for a given flattening."""
    flattening, sign = spread.flattening, 1 - 2 * problem.rows.score
    signed = sign * flattening

    def loss(at: Floats) -> tuple[float, Floats]:
        # How far each answer speaks against its chance, and its slope, from one exponential.
        against = signed * problem.logits(at)
        small = np.exp(-np.abs(against))
        value = ((np.maximum(against, 0) + np.log1p(small)) / flattening).sum() + at @ at / 2
        residual = sign * np.where(against >= 0, 1.0, small) / (1 + small)
        return float(value), problem.gradient(residual, at)

    bounds = optimize.Bounds(problem.least, np.inf)
    found = optimize.minimize(
        loss,
        point,
        jac=True,
        method="L-BFGS-B",
        bounds=bounds,
        options={"maxiter": STEPS, "ftol": precise, "gtol": 1e-4},
    )
    best: Floats = np.asarray(found.x, dtype=np.float64)
    return best
