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
from scipy import optimize, special

from comity.core.exam.forgetting import PSI, practice_left, retained

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.practice import Practice
    from comity.core.exam.quadrature import Floats

    Ints = npt.NDArray[np.int64]

N_GLOBAL: Final = 3
"""mu, gamma and eta."""
ROUNDS: Final = 3
"""How often the spread of the estimates is put back into their means; more change nothing."""
STEPS: Final = 400
PRECISE: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Priors:
    """Means and standard deviations before any answer is seen.

    The values are the project's own, not published ones.

    Parameters
    ----------
    mu, gamma, eta : tuple of float
        Mean and deviation of the level, the gain from practice in a domain, the gain from having
        seen the very item; the last two are never negative.
    theta, delta : float
        Deviations of people, and of a person between domains.
    b : float
        Deviation of difficulties of items that nobody judged.
    judged : tuple of float
        How much of a judged difficulty is believed, and the deviation around it.
    psi : float
        Exponent of forgetting, held fixed.
    """

    mu: tuple[float, float] = (0.0, 1.0)
    gamma: tuple[float, float] = (0.25, 0.15)
    eta: tuple[float, float] = (0.7, 0.4)
    theta: float = 0.8
    delta: float = 0.4
    b: float = 1.0
    judged: tuple[float, float] = (0.5, 0.75)
    psi: float = PSI


USUAL: Final = Priors()


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """The answers to items of the blueprint's domains, as the model sees them.

    Parameters
    ----------
    cell : ndarray of int
        Person times number of domains, plus domain.
    item : ndarray of int
        Place of the item.
    score : ndarray of float
        1 right, 0 wrong.
    on : ndarray of int
        Day.
    known : ndarray of shape (3, n_answers)
        1, ln(1 + A) and ln(1 + B): what mu, gamma and eta are multiplied with.
    n_left_out : int
        Answers to items outside the blueprint.
    """

    cell: Ints
    item: Ints
    score: Floats
    on: Ints
    known: Floats
    n_left_out: int


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
        return _summed(domain[own], left, self.n_domains)


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
    item_domain = _domains_of(practice, blueprint)
    domains = tuple(domain.id for domain in blueprint.domains)
    rows = _rows(practice, item_domain, n_domains=len(domains), psi=priors.psi)
    problem = _Problem.of(practice, rows, n_domains=len(domains), priors=priors)
    spread = _Spread.before(problem)
    point = problem.start
    for _ in range(ROUNDS if rows.item.size else 0):
        point = _climbed(problem, point, spread)
        spread = _Spread.at(problem, point, spread)
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


def _domains_of(practice: Practice, blueprint: Blueprint) -> Ints:
    """Return the place of each item's domain in the blueprint, -1 for none."""
    place = {domain.id: at for at, domain in enumerate(blueprint.domains)}
    for at, domain in enumerate(blueprint.domains):
        place |= {part.id: at for part in domain.parts}
    return np.array([place.get(item.domain, -1) for item in practice.items], dtype=np.int64)


def _rows(practice: Practice, item_domain: Ints, *, n_domains: int, psi: float) -> Rows:
    """Return the answers that count, each with what was left of practice before it."""
    domain = item_domain[practice.item]
    kept = domain >= 0
    person, item, on = practice.person[kept], practice.item[kept], practice.on[kept]
    cell = person * n_domains + domain[kept]
    same_domain = practice_left(cell, on, psi=psi)
    same_item = practice_left(person * max(item_domain.size, 1) + item, on, psi=psi)
    known = np.stack((np.ones(item.size), np.log1p(same_domain), np.log1p(same_item)))
    return Rows(cell, item, practice.score[kept], on, known, int((~kept).sum()))


@dataclass(frozen=True, slots=True, eq=False)
class _Problem:
    """Answers and priors; a point is mu, gamma, eta, theta, delta, b in units of their priors."""

    rows: Rows
    n_people: int
    n_domains: int
    center: Floats
    scale: Floats
    least: Floats

    @classmethod
    def of(cls, practice: Practice, rows: Rows, *, n_domains: int, priors: Priors) -> _Problem:
        n_people = len(practice.people)
        b_center, b_scale = _of_items(practice, priors)
        levels = (priors.mu, priors.gamma, priors.eta)
        still = np.zeros(n_people * (1 + n_domains))
        deviations = (
            [each for _, each in levels],
            np.full(n_people, priors.theta),
            np.full(n_people * n_domains, priors.delta),
            b_scale,
        )
        center = np.concatenate(([mean for mean, _ in levels], still, b_center))
        scale = np.concatenate(deviations)
        least = np.full(center.size, -np.inf)
        least[1:N_GLOBAL] = -center[1:N_GLOBAL] / scale[1:N_GLOBAL]
        return cls(rows, n_people, n_domains, center, scale, least)

    @property
    def start(self) -> Floats:
        return np.zeros(self.center.size)

    def parts(self, point: Floats) -> tuple[Floats, Floats, Floats]:
        """Return levels, abilities in domains, and difficulties."""
        value = self.center + self.scale * point
        ends = np.cumsum((N_GLOBAL, self.n_people, self.n_people * self.n_domains))
        level, theta, delta, b = np.split(value, ends)
        return level, theta[:, None] + delta.reshape(self.n_people, self.n_domains), b

    def logits(self, point: Floats) -> Floats:
        """Return the logit of each answer's chance."""
        level, ability, b = self.parts(point)
        rows = self.rows
        together: Floats = level @ rows.known + ability.ravel()[rows.cell] - b[rows.item]
        return together

    def gradient(self, residual: Floats, point: Floats) -> Floats:
        """Return the slope, given how far chances exceed answers."""
        rows = self.rows
        by_cell = _summed(rows.cell, residual, self.n_people * self.n_domains)
        by_person = by_cell.reshape(self.n_people, self.n_domains).sum(axis=1)
        n_items = self.center.size - N_GLOBAL - self.n_people * (1 + self.n_domains)
        by_item = -_summed(rows.item, residual, n_items)
        slope = np.concatenate((rows.known @ residual, by_person, by_cell, by_item))
        whole: Floats = slope * self.scale + point
        return whole


def _of_items(practice: Practice, priors: Priors) -> tuple[Floats, Floats]:
    """Return the prior mean and deviation of each difficulty."""
    believed, deviation = priors.judged
    judged = [item.judged_difficulty for item in practice.items]
    center = [0.0 if each is None else believed * each for each in judged]
    scale = [priors.b if each is None else deviation for each in judged]
    return np.array(center, dtype=np.float64), np.array(scale, dtype=np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class _Spread:
    """How unsure the estimates are, and how much that flattens the chance of each answer."""

    flattening: Floats
    weight: Floats
    pull: Floats
    level: Floats
    b: Floats

    @classmethod
    def before(cls, problem: _Problem) -> _Spread:
        """Return the spreads of the priors, without flattening."""
        shape = (problem.n_people, problem.n_domains)
        n_items = problem.center.size - N_GLOBAL - problem.n_people * (1 + problem.n_domains)
        return cls(
            np.ones(problem.rows.item.size),
            np.zeros(shape),
            np.zeros((*shape, N_GLOBAL)),
            np.diag(problem.scale[:N_GLOBAL] ** 2),
            problem.scale[problem.scale.size - n_items :] ** 2,
        )

    @classmethod
    def at(cls, problem: _Problem, point: Floats, before: _Spread) -> _Spread:
        """Return the spreads by the curvature at a point."""
        rows, n_items = problem.rows, before.b.size
        chance = special.expit(before.flattening * problem.logits(point))
        curvature = before.flattening * chance * (1 - chance)
        prior = 1 / problem.scale[problem.scale.size - n_items :] ** 2
        precision = prior + _summed(rows.item, curvature, n_items)
        others = precision[rows.item] - curvature
        # An answer tells less of a person the less is known, from others, of its item.
        telling = curvature / (1 + curvature / others)
        shape = (problem.n_people, problem.n_domains)
        size = problem.n_people * problem.n_domains
        weight = _summed(rows.cell, telling, size).reshape(shape)
        pull = np.stack(
            [_summed(rows.cell, telling * each, size).reshape(shape) for each in rows.known],
            axis=-1,
        )
        return cls._with(problem, weight, pull, telling=telling, b=1 / precision)

    @classmethod
    def _with(
        cls, problem: _Problem, weight: Floats, pull: Floats, *, telling: Floats, b: Floats
    ) -> _Spread:
        rows = problem.rows
        slope, shared, own = domain_spread(weight, *_deviations(problem))
        tied = (
            own[..., None] * pull
            + slope[..., None]
            * (shared[:, None] * np.einsum("sk,skg->sg", slope, pull))[:, None, :]
        )
        met = (rows.known * telling) @ rows.known.T + np.diag(1 / problem.scale[:N_GLOBAL] ** 2)
        level = np.linalg.inv(met - np.einsum("skg,skh->gh", pull, tied))
        variance = (own + slope**2 * shared[:, None]).ravel()[rows.cell]
        variance = variance + np.einsum("gn,gh,hn->n", rows.known, level, rows.known)
        flattening = 1 / np.sqrt(1 + np.pi / 8 * (variance + b[rows.item]))
        return cls(flattening, weight, pull, level, b)


def _summed(group: Ints, weights: Floats, n_groups: int) -> Floats:
    """Return the sum of the weights of each group."""
    return np.bincount(group, weights=weights, minlength=n_groups).astype(np.float64)


def _deviations(problem: _Problem) -> tuple[float, float]:
    """Return the prior deviations of theta and delta."""
    theta = float(problem.scale[N_GLOBAL]) if problem.n_people else 1.0
    delta = float(problem.scale[N_GLOBAL + problem.n_people]) if problem.n_people else 1.0
    return theta, delta


def domain_spread(weight: Floats, theta: float, delta: float) -> tuple[Floats, Floats, Floats]:
    """Return the covariance of abilities in domains, as what is shared and what is each one's own.

    Parameters
    ----------
    weight : ndarray of shape (..., n_domains)
        Information of the answers.
    theta, delta : float
        Prior deviations.

    Returns
    -------
    slope : ndarray of shape (..., n_domains)
    shared : ndarray of shape (...)
    own : ndarray of shape (..., n_domains)
        The covariance is diag(own) + shared * outer(slope, slope).
    """
    own = 1 / (weight + delta**-2)
    slope = own * delta**-2
    shared = 1 / (theta**-2 + (weight * slope).sum(axis=-1))
    return slope, shared, own


def _climbed(problem: _Problem, point: Floats, spread: _Spread) -> Floats:
    """Return the best point for a given flattening."""
    flattening, score = spread.flattening, problem.rows.score

    def loss(at: Floats) -> tuple[float, Floats]:
        flat = flattening * problem.logits(at)
        value = ((np.logaddexp(0, flat) - score * flat) / flattening).sum() + at @ at / 2
        return float(value), problem.gradient(special.expit(flat) - score, at)

    bounds = optimize.Bounds(problem.least, np.inf)
    found = optimize.minimize(
        loss,
        point,
        jac=True,
        method="L-BFGS-B",
        bounds=bounds,
        options={"maxiter": STEPS, "ftol": PRECISE, "gtol": 1e-4},
    )
    best: Floats = np.asarray(found.x, dtype=np.float64)
    return best
