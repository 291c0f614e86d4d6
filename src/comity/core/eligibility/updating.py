"""Days of the kind about updating owed."""

from __future__ import annotations

from math import ceil

import numpy as np

from comity.core.days.calendar import FOREVER, Bools, Ints
from comity.core.days.steps import Steps
from comity.core.eligibility.context import (
    Context,
    all_masks,
    leaf_days,
    remembered,
)
from comity.core.eligibility.events import trailing_end
from comity.core.eligibility.reading import by_identity
from comity.core.eligibility.triple import Days
from comity.core.facts.model import Supervisor
from comity.core.facts.table import Table
from comity.core.rulebook.kinds.practising import (
    SupervisorConditions,
    UpdatingOwed,
)


@leaf_days.register
def _updating(requirement: UpdatingOwed, context: Context) -> Days:
    done = sum(
        (profile for _how, profile in updating_done(requirement, context)),
        start=Steps.zero(context.n_rows),
    )
    return Days.of(context.known("updating", done.at_least(updating_needed(requirement))))


@by_identity
def updating_needed(requirement: UpdatingOwed) -> int:
    """Return the minutes of updating owed."""
    if requirement.amount.unit == "hours":
        return ceil(requirement.amount.number * 60)
    return ceil(requirement.amount.number * (requirement.hours_a_day or 0))


@remembered
def updating_done(requirement: UpdatingOwed, context: Context) -> list[tuple[str, Steps]]:
    """Return for each kind of updating the minutes that count on each day."""
    table = context.columns.table("updating")
    ends = np.full(table.rows.size, FOREVER, np.int64)
    if requirement.within is not None:
        ends = trailing_end(table.until("start"), requirement.within)
    minutes = table.numbers("hours", least=0, most=updating_needed(requirement))
    caps = {cap.how: cap.share for cap in requirement.caps}
    done: list[tuple[str, Steps]] = []
    for how in requirement.allowed or ("supervised practice", "formal study", "private study"):
        kept = table.where("how", how.__eq__)
        if how == "supervised practice" and requirement.supervisor is not None:
            kept = kept & _well_supervised(table, requirement.supervisor)
        profile = Steps.sum_of(
            context.n_rows,
            table.rows[kept],
            starts=table.since("end")[kept],
            ends=ends[kept],
            values=minutes[kept],
        )
        if how in caps:
            profile = profile.capped(int(caps[how] * updating_needed(requirement)))
        done.append((how, profile))
    return done


def _well_supervised(table: Table, wanted: SupervisorConditions) -> Bools:
    """Return the entries whose supervisor fulfils the conditions."""
    kept = all_masks(
        table,
        _supervisor_flag(table, "same_profession", wanted=wanted.same_profession),
        _supervisor_flag(table, "sanctioned", wanted=False if wanted.not_sanctioned else None),
    )
    if wanted.registered_for is None:
        return kept
    codes, supervisors = table.codes("supervisor")
    bounds = [_since_bounds(supervisor) for supervisor in supervisors]
    bounds.append((0, FOREVER))
    earliest, latest = np.array(bounds, np.int64)[codes].T
    since: Ints = np.where(table.is_possible, earliest, latest)
    long_enough: Bools = wanted.registered_for.after(since) <= table.until("start")
    return kept & long_enough


def _supervisor_flag(table: Table, name: str, *, wanted: bool | None) -> Bools | None:
    if wanted is None:
        return None
    codes, supervisors = table.codes("supervisor")
    answers = [getattr(supervisor, name) for supervisor in supervisors] + [None]
    certain = np.array([answer is wanted for answer in answers])
    possible = np.array([answer is None or answer is wanted for answer in answers])
    return np.where(table.is_possible, possible[codes], certain[codes])


def _since_bounds(supervisor: Supervisor) -> tuple[int, int]:
    since = supervisor.registered_since
    return (0, FOREVER) if since is None else (since.earliest, since.latest)
