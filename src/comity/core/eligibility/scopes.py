"""Which practice and which registrations count, by the scope that a requirement states."""

from __future__ import annotations

from typing import Final

from comity.core.days.calendar import Bools
from comity.core.days.dayset import DaySet
from comity.core.eligibility.context import (
    Context,
    all_masks,
    bound,
    is_none_of,
    is_one_of,
)
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.practising import (
    RegistrationScope,
    Scope,
)

NO_SCOPE: Final = Scope()


def in_scope(table: Table, scope: Scope | None, context: Context) -> Bools:
    """Return which spells of practice count."""
    wanted = scope or NO_SCOPE
    hours = None
    if wanted.least_hours_a_week is not None:
        least = wanted.least_hours_a_week
        hours = table.where("hours_a_week", lambda minutes: minutes >= least)
    return all_masks(
        table,
        is_one_of(table, "setting", wanted.settings),
        is_none_of(table, "setting", wanted.excluded_settings),
        is_one_of(table, "title", wanted.titles),
        is_one_of(table, "country", wanted.countries),
        is_none_of(table, "country", wanted.excluded_countries),
        _flag(table, "registered", wanted=wanted.registered),
        _flag(table, "supervised", wanted=wanted.supervised),
        hours,
        bound(table, context, "country"),
    )


def _flag(table: Table, name: str, *, wanted: bool | None) -> Bools | None:
    return None if wanted is None else table.where(name, lambda value: value is wanted)


def practice_days(context: Context, scope: Scope | None) -> DaySet:
    """Return the days of practice that count."""
    table = context.columns.table("practice")
    kept = in_scope(table, scope, context)
    return DaySet.from_runs(
        context.n_rows,
        table.rows[kept],
        starts=table.since("start")[kept],
        ends=table.until("end")[kept] + 1,
    )


def registrations_in_scope(table: Table, scope: RegistrationScope | None) -> Bools:
    """Return which registrations held count."""
    wanted = scope or RegistrationScope()
    return all_masks(
        table,
        table.where("state", lambda state: state == "held"),
        is_one_of(table, "authority", wanted.authorities),
        is_one_of(table, "country", wanted.countries),
        is_one_of(table, "title", wanted.titles),
        is_one_of(table, "category", wanted.categories),
        is_none_of(table, "category", wanted.excluded_categories),
    )
