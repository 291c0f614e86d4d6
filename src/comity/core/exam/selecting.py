"""What to practise next: an item that tells or teaches most, of the domain that is behind.

Domains are kept near their share of the blueprint; among the items of the domain that is furthest
behind, one of the few that inform most at the person's ability is drawn, so that no item is worn
out (Kingsbury and Zara's randomesque rule, and Sympson and Hetter's odds where they were worked
out); now and then the turn goes to an item that is about to be forgotten.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from comity.core.exam.forgetting import best_gap_days
from comity.core.exam.irt import ItemParameters
from comity.core.exam.irt_likelihood import probabilities

if TYPE_CHECKING:
    import numpy.typing as npt

    from comity.core.days.calendar import Day
    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.practice_fit import PracticeFit
    from comity.core.exam.quadrature import Floats

Why = Literal["tells most", "about to be forgotten"]
FEW: Final = 5
"""From how many of the most informative items one is drawn."""
RECALLED: Final = 0.25
"""Share of turns for what is about to be forgotten, when anything is."""
AT_MOST: Final = 0.25
"""Share of people to whom an item is given, when odds are worked out."""
ROUNDS: Final = 14
_THETAS: Final = np.linspace(-4, 4, 161)


class SelectingError(ValueError):
    """No item can be chosen as asked."""


@dataclass(frozen=True, slots=True)
class Turn:
    """The item to practise next.

    Parameters
    ----------
    item, domain : str
        Ids.
    why : {"tells most", "about to be forgotten"}
    """

    item: str
    domain: str
    why: Why


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """Items sorted ahead, for quick choice. Made by `pool_of`.

    Parameters
    ----------
    items : tuple of str
    domains : tuple of str
        Of the blueprint, those that have items.
    shares : tuple of float
        Of these domains; they sum to 1.
    domain_of : mapping
        From ids of items to places in `domains`.
    ranked : tuple of tuple of tuple of int
        For each domain and each of 161 abilities from -4 to 4, items, the most informative first.
    odds : tuple of float
        For each item, the chance that it is given when it is drawn.
    """

    items: tuple[str, ...]
    domains: tuple[str, ...]
    shares: tuple[float, ...]
    domain_of: Mapping[str, int]
    ranked: tuple[npt.NDArray[np.int32], ...]
    odds: tuple[float, ...]

    @property
    def n_items(self) -> int:
        """The number of items."""
        return len(self.items)


def pool_of(items: ItemParameters, domains: Sequence[str], blueprint: Blueprint) -> Pool:
    """Return items made ready to choose from.

    Parameters
    ----------
    items : ItemParameters
        Their a and d; of a `PracticeFit`, `parameters_of`.
    domains : sequence of str
        The domain, or part of one, of each item; items of others are never chosen.
    blueprint : Blueprint
        Shares of domains; those without an item are left out, and the others share alike.

    Raises
    ------
    SelectingError
        When no item belongs to a domain of the blueprint.
    """
    home = [blueprint.domain_of(each) for each in domains]
    present = [
        domain
        for domain in blueprint.domains
        if domain.share > 0 and any(each is not None and each.id == domain.id for each in home)
    ]
    if not present:
        message = f"no item belongs to a domain of {blueprint.blueprint} that is examined"
        raise SelectingError(message)
    place = {domain.id: at for at, domain in enumerate(present)}
    at = np.array([-1 if each is None else place.get(each.id, -1) for each in home])
    p = probabilities(items.a, items.d, _THETAS)
    information = items.a[:, None] ** 2 * p * (1 - p)
    total = float(sum(domain.share for domain in present))
    return Pool(
        items.items,
        tuple(domain.id for domain in present),
        tuple(float(domain.share) / total for domain in present),
        {item: int(k) for item, k in zip(items.items, at, strict=True) if k >= 0},
        tuple(_ranked(np.flatnonzero(at == k), information) for k in range(len(present))),
        (1.0,) * len(items.items),
    )


def _ranked(own: npt.NDArray[np.intp], information: Floats) -> npt.NDArray[np.int32]:
    """Return, for each ability, the items of a domain, the most informative first."""
    order = np.argsort(-information[own], axis=0, kind="stable")
    return np.ascontiguousarray(own[order].T.astype(np.int32))


def parameters_of(fit: PracticeFit) -> ItemParameters:
    """Return items as practice shows them: of one discrimination, with their difficulties."""
    ids = tuple(item.id for item in fit.practice.items)
    return ItemParameters(ids, np.ones(len(ids)), -fit.b)


def ability_of(fit: PracticeFit, person: str) -> Mapping[str, float]:
    """Return a person's ability in each domain today; of someone unknown, that of people."""
    people = fit.practice.people
    own = fit.ability[people.index(person)] if person in people else np.zeros(fit.n_domains)
    level, gain = float(fit.level[0]), float(fit.level[1])
    today = level + own + gain * np.log1p(fit.left_on(person, fit.practice.today))
    return {domain: float(each) for domain, each in zip(fit.domains, today, strict=True)}


def next_item(
    pool: Pool,
    given: Mapping[str, object] | Collection[str],
    ability: Mapping[str, float] | float,
    *,
    rng: np.random.Generator,
    due: Sequence[str] = (),
) -> Turn:
    """Return the item to give next.

    Parameters
    ----------
    pool : Pool
    given : collection of str
        Items that the person has had; of these only those in `due` are given again.
    ability : mapping or float
        The person's ability, or that in each domain.
    rng : numpy.random.Generator
    due : sequence of str
        Items about to be forgotten, the most pressing first, as `about_to_be_forgotten` returns.

    Raises
    ------
    SelectingError
        When every item was given and none is due.
    """
    known_due = [item for item in due if item in pool.domain_of]
    if known_due and rng.random() < RECALLED:
        return _recalled(pool, known_due[0])
    counts = [0] * len(pool.domains)
    for item in given:
        at = pool.domain_of.get(item)
        if at is not None:
            counts[at] += 1
    for k in _furthest_behind(pool.shares, counts):
        theta = ability if isinstance(ability, float | int) else ability.get(pool.domains[k], 0.0)
        found = _drawn(pool, k, theta, given=given, rng=rng)
        if found is not None:
            return Turn(pool.items[found], pool.domains[k], "tells most")
    if known_due:
        return _recalled(pool, known_due[0])
    message = f"all {len(pool.domain_of)} items were given, and none is about to be forgotten"
    raise SelectingError(message)


def _recalled(pool: Pool, item: str) -> Turn:
    return Turn(item, pool.domains[pool.domain_of[item]], "about to be forgotten")


def _furthest_behind(shares: Sequence[float], counts: Sequence[int]) -> list[int]:
    """Return domains, first the one whose items lag most behind its share of one item more."""
    total = sum(counts) + 1
    behind = [share * total - count for share, count in zip(shares, counts, strict=True)]
    return sorted(range(len(shares)), key=lambda k: -behind[k])


def _drawn(
    pool: Pool, domain: int, theta: float, *, given: Collection[str], rng: np.random.Generator
) -> int | None:
    """Return one of the few most informative items not given, or None when all were."""
    step = (len(_THETAS) - 1) / (_THETAS[-1] - _THETAS[0])
    at = min(max(round((theta - _THETAS[0]) * step), 0), len(_THETAS) - 1)
    first: int | None = None
    ranked: list[int] = pool.ranked[domain][at].tolist()
    for few in _by_few(pool, ranked, given):
        order: list[int] = rng.permutation(len(few)).tolist()
        for place in order:
            item = few[place]
            if pool.odds[item] >= 1 or rng.random() < pool.odds[item]:
                return item
            first = item if first is None else first
    # When each was turned down, the first drawn is given all the same: practice goes on.
    return first


def _by_few(pool: Pool, ranked: Sequence[int], given: Collection[str]) -> Iterator[Sequence[int]]:
    """Yield items not given, the most informative first, a few at a time."""
    few: list[int] = []
    for item in ranked:
        if pool.items[item] in given:
            continue
        few.append(item)
        if len(few) == FEW:
            yield few
            few = []
    if few:
        yield few


def with_exposure_odds(
    pool: Pool,
    abilities: Sequence[float],
    *,
    n_items: int,
    rng: np.random.Generator,
    at_most: float = AT_MOST,
) -> Pool:
    """Return the pool with odds by which no item is given to more than a share of people.

    Parameters
    ----------
    pool : Pool
    abilities : sequence of float
        Of people who practise; the odds hold for a group like them.
    n_items : int
        Items each of them is given.
    rng : numpy.random.Generator
    at_most : float
        Share of people, above 0; it holds approximately, and not where the items are too few.

    References
    ----------
    Sympson, J. B. and Hetter, R. D. (1985). Controlling item-exposure rates in computerized
    adaptive testing. Proceedings of the 27th annual meeting of the Military Testing Association,
    973-977. From memory.
    """
    place = {item: at for at, item in enumerate(pool.items)}
    for _ in range(ROUNDS):
        counts = np.zeros(pool.n_items)
        for theta in abilities:
            given: set[str] = set()
            for _turn in range(min(n_items, len(pool.domain_of))):
                given.add(next_item(pool, given, float(theta), rng=rng).item)
            counts[[place[item] for item in given]] += 1
        share = counts / max(len(abilities), 1)
        # An item turned down may be drawn again in the same practice, so odds are approached by
        # half of the way, on a scale of proportions.
        toward = np.sqrt(at_most / np.maximum(share, at_most / 2))
        odds = np.minimum(np.array(pool.odds) * toward, 1.0)
        pool = replace(pool, odds=tuple(float(each) for each in odds))
    return pool


def about_to_be_forgotten(
    fit: PracticeFit, person: str, *, exam_on: Day | None = None
) -> tuple[str, ...]:
    """Return items to look at again today, the most pressing first.

    An item is due when more days have passed since it was last answered than the gap that is best
    for the time until the examination (a month where that is unknown), and at once from the next
    day on where the last answer was wrong. What was wrong comes first, then what waited longest.
    """
    practice = fit.practice
    own = np.flatnonzero(practice.answers_of(person))
    delay = 30 if exam_on is None else max(exam_on - practice.today, 0)
    gap = best_gap_days(delay)
    last = {int(practice.item[at]): int(at) for at in own}
    due = []
    for item, at in last.items():
        waited, right = practice.today - int(practice.on[at]), bool(practice.score[at])
        if fit.item_domain[item] >= 0 and waited >= (gap if right else 1):
            due.append((right, -waited, practice.items[item].id))
    return tuple(id_ for _, _, id_ in sorted(due))
