"""What a forecast rests on, and whether that is enough to say a chance."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from comity.core.days.calendar import Day, iso

if TYPE_CHECKING:
    from fractions import Fraction

    from comity.core.exam.blueprints import Blueprint
    from comity.core.exam.practice_fit import PracticeFit

ANSWERS_AT_LEAST: Final = 20
IN_DOMAIN_AT_LEAST: Final = 3
LONGEST_FORGETTING: Final = 365
"""Days from the last answer to the examination beyond which the model was never tried."""


@dataclass(frozen=True, slots=True)
class DomainAnswers:
    """How many items of a domain a person answered.

    Parameters
    ----------
    domain, name : str
        Id and what people call it.
    share : float
        Share of the examination.
    n_first : int
        Items answered, each counted once.
    is_major : bool
        Whether its share is at least half of what it were if all domains weighed the same.
    """

    domain: str
    name: str
    share: float
    n_first: int
    is_major: bool


@dataclass(frozen=True, slots=True)
class RestsOn:
    """What a forecast rests on.

    Parameters
    ----------
    n_answers : int
        The person's answers to items of the blueprint.
    n_first : int
        Those to an item not answered before; only they tell of ability.
    n_right : int
        Right ones of the first answers.
    domains : tuple of DomainAnswers
        In the order of the blueprint.
    last_on : Day or None
        Day of the last answer.
    n_people : int
        People whose answers tell how hard items are.
    n_left_out : int
        Answers, of anyone, to items outside the blueprint.
    n_results : int
        Real results that correct the forecast; 0 while there are too few.
    """

    n_answers: int
    n_first: int
    n_right: int
    domains: tuple[DomainAnswers, ...]
    last_on: Day | None
    n_people: int
    n_left_out: int
    n_results: int = 0


def rests_on(fit: PracticeFit, blueprint: Blueprint, person: str, *, n_results: int = 0) -> RestsOn:
    """Return what is known of a person; of one who is not known, nothing."""
    rows, people = fit.rows, fit.practice.people
    at = people.index(person) if person in people else -1
    owner, domain = np.divmod(rows.cell, fit.n_domains)
    own = np.flatnonzero(owner == at)
    _, first = np.unique(rows.item[own], return_index=True)
    counts = np.bincount(domain[own][first], minlength=fit.n_domains)
    domains = tuple(
        DomainAnswers(each.id, each.name, float(each.share), int(count), _is_major(each.share, fit))
        for each, count in zip(blueprint.domains, counts, strict=True)
    )
    return RestsOn(
        int(own.size),
        int(first.size),
        int(rows.score[own][first].sum()),
        domains,
        int(rows.on[own].max()) if own.size else None,
        len(people),
        rows.n_left_out,
        n_results,
    )


def _is_major(share: Fraction, fit: PracticeFit) -> bool:
    return 2 * fit.n_domains * share >= 1


def lacking(basis: RestsOn, *, on: Day) -> tuple[str, ...]:
    """Return why a chance cannot be said yet, a sentence each; nothing if it can."""
    reasons = []
    if basis.n_first < ANSWERS_AT_LEAST:
        reasons.append(
            f"{_answers(basis.n_first)} to different items; a chance needs {ANSWERS_AT_LEAST}"
        )
    reasons += [
        f"{_answers(each.n_first)} in {each.name}; a chance needs {IN_DOMAIN_AT_LEAST}"
        for each in basis.domains
        if each.is_major and each.n_first < IN_DOMAIN_AT_LEAST
    ]
    if basis.last_on is not None and on - basis.last_on > LONGEST_FORGETTING:
        reasons.append(
            f"the last answer, on {iso(basis.last_on)}, is more than a year before {iso(on)};"
            " nothing tells how much would be forgotten by then"
        )
    return tuple(reasons)


def remarks_on_basis(basis: RestsOn) -> tuple[str, ...]:
    """Return what is odd about the answers, and what is done about it."""
    remarks = []
    if basis.n_first and basis.n_right in {0, basis.n_first}:
        which = "right" if basis.n_right else "wrong"
        remarks.append(
            f"every answer is {which}: how far beyond the items this goes, only the priors tell"
        )
    if basis.n_left_out:
        answers = "answer" if basis.n_left_out == 1 else "answers"
        remarks.append(
            f"{basis.n_left_out} {answers} to items of domains outside the blueprint are left out"
        )
    if basis.n_people == 1:
        remarks.append("nobody else has answered: how hard items are, only judgement tells")
    return tuple(remarks)


def _answers(count: int) -> str:
    return f"{count or 'no'} {'answer' if count == 1 else 'answers'}"
