"""What an evaluation needs beside the requirement itself, and the dispatch on kinds."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache, singledispatch, wraps
from typing import Any, TypeVar

from comity.core.days.calendar import Bools
from comity.core.days.dayset import DaySet
from comity.core.eligibility.triple import Days, applying
from comity.core.facts.columns import Columns
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.base import Requirement


@lru_cache(maxsize=65_536)
def folded(text: str) -> str:
    """Return a text as it is compared: case and surrounding spaces do not matter."""
    return " ".join(text.split()).casefold()


@dataclass(frozen=True, slots=True)
class Each:
    """The country or authority which a `for each` has come to."""

    field: str
    value: str


Memo = dict[tuple[int, Each | None], Days]
"""Days already found, by the identity of the requirement and what a `for each` has come to."""


@dataclass(frozen=True, slots=True)
class Context:
    """The facts, and what surrounds the requirement in its rulebook.

    Parameters
    ----------
    columns : Columns
        The facts.
    prefix : str
        ``authority/title``, which with the requirement's id makes the id reviews use.
    same_as : callable
        From the id of another requirement to its days.
    each : Each or None
        What an enclosing `for each` has come to.
    deems : mapping
        By requirement id, the circumstances which satisfy it otherwise.
    memo : dict
        Days already found, by requirement and `each`.
    scratch : dict
        What days and findings both need, by its name, what it is of and `each`.
    """

    columns: Columns
    prefix: str = ""
    same_as: Callable[[str], Days] | None = None
    each: Each | None = None
    deems: Mapping[str, tuple[Callable[[], Days], ...]] = field(default_factory=dict)
    memo: Memo = field(default_factory=dict)
    scratch: dict[tuple[str, Hashable, Each | None], Any] = field(default_factory=dict)

    @property
    def n_rows(self) -> int:
        """Number of rows of every day-set."""
        return self.columns.n_rows

    def bound_to(self, field_name: str, value: str) -> Context:
        """Return the context inside a `for each`."""
        return replace(self, each=Each(field_name, value))

    def known(self, section: str, days: DaySet) -> DaySet:
        """Return the days, and every day in possible rows where the section is not known."""
        absent = self.columns.absent_days(section)
        return days if absent is None else days | absent


Worked = TypeVar("Worked")
Subject = TypeVar("Subject", bound=Requirement)


def remembered(
    work: Callable[[Subject, Context], Worked],
) -> Callable[[Subject, Context], Worked]:
    """Return a function of a requirement and its context that works once for each of them."""
    name = work.__qualname__

    @wraps(work)
    def once(requirement: Subject, context: Context) -> Worked:
        key = (name, id(requirement), context.each)
        if key not in context.scratch:
            context.scratch[key] = work(requirement, context)
        found: Worked = context.scratch[key]
        return found

    return once


@singledispatch
def leaf_days(requirement: Requirement, _context: Context) -> Days:
    """Return the days on which one kind of requirement holds, its conditions left aside."""
    msg = f"no evaluation for the kind {type(requirement).__name__}"
    raise TypeError(msg)


def days_of(requirement: Requirement, context: Context) -> Days:
    """Return the days on which a requirement holds, is for the authority, or does not apply.

    Parameters
    ----------
    requirement : Requirement
        Of any kind, with its parts.
    context : Context
        The facts of all applicants and what surrounds the requirement.

    Returns
    -------
    Days
        Over ``context.columns.n_rows`` rows; certain rows first.
    """
    key = (id(requirement), context.each)
    known = context.memo.get(key)
    if known is None:
        known = context.memo[key] = _deemed(requirement, context)
    return known


def _deemed(requirement: Requirement, context: Context) -> Days:
    """Return the days, those included on which something else satisfies the requirement."""
    days = undeemed_days(requirement, context)
    for circumstance in context.deems.get(requirement.id or "", ()):
        other = circumstance()
        yes = days.yes | other.yes
        ok = yes if days.ok is days.yes and other.ok is other.yes else days.ok | other.ok
        days = Days(yes, ok, days.na)
    return days


def undeemed_days(requirement: Requirement, context: Context) -> Days:
    """Return the days of a requirement on its own facts, with its conditions."""
    days = leaf_days(requirement, context)
    if requirement.when is None and requirement.unless is None:
        return days
    return applying(
        days,
        when=None if requirement.when is None else days_of(requirement.when, context),
        unless=None if requirement.unless is None else days_of(requirement.unless, context),
    )


def is_one_of(table: Table, name: str, wanted: tuple[str, ...] | None) -> Bools | None:
    """Return which entries have one of the wanted texts; None where any will do."""
    if wanted is None:
        return None
    texts = {folded(text) for text in wanted}
    return table.where(name, lambda value: folded(value) in texts)


def is_none_of(table: Table, name: str, refused: tuple[str, ...] | None) -> Bools | None:
    """Return which entries have none of the refused texts; None where any will do."""
    if refused is None:
        return None
    texts = {folded(text) for text in refused}
    return table.where(name, lambda value: folded(value) not in texts)


def all_masks(table: Table, *masks: Bools | None) -> Bools:
    """Return the entries which pass every filter."""
    kept = table.rows >= 0
    for mask in masks:
        if mask is not None:
            kept = kept & mask
    return kept


def bound(table: Table, context: Context, *names: str) -> Bools | None:
    """Return the entries of the country or authority in turn; None outside a `for each`."""
    each = context.each
    if each is None or each.field not in names:
        return None
    return is_one_of(table, each.field, (each.value,))
