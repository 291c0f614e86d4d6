"""Partly known dates taken to be each of their days, so that one unknown read twice stays exact."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from itertools import product
from math import prod
from typing import Final

import numpy as np

from comity.core.days.dayset import DaySet
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.eligibility.triple import Days
from comity.core.facts.columns import Columns
from comity.core.facts.model import Applicant
from comity.core.facts.sections import SECTIONS, Spot, World, entries_of

MOST_WORLDS: Final = 750
"""A year and two months each have their days enumerated; beyond that the pair stands, which is
never too narrow."""


def possible_worlds(applicant: Applicant, margin: Period | None) -> tuple[World, ...]:
    """Return the worlds in which the partly known dates are known, at most `MOST_WORLDS`.

    The dates with the fewest possible days are enumerated first; what is left over keeps its
    bounds. One empty world stands for an applicant with nothing to enumerate.
    """
    spots = sorted(_partial_spots(applicant, margin), key=lambda found: len(found[1]))
    chosen: list[tuple[Spot, range]] = []
    for found in spots:
        if prod(len(days) for _spot, days in (*chosen, found)) > MOST_WORLDS:
            break
        chosen.append(found)
    return tuple(
        dict(zip((spot for spot, _days in chosen), world, strict=True))
        for world in product(*(days for _spot, days in chosen))
    )


def _partial_spots(applicant: Applicant, margin: Period | None) -> Iterator[tuple[Spot, range]]:
    for section in SECTIONS:
        for index, entry in enumerate(entries_of(applicant, section) or ()):
            for field in fields(entry):
                value = getattr(entry, field.name)
                if not isinstance(value, PartialDate) or value.is_open or value.is_unknown:
                    continue
                known = value if margin is None else value.widened(margin)
                if known.earliest < known.latest:
                    yield (section, index, field.name), range(known.earliest, known.latest + 1)


def folded_over_worlds(days: Days, columns: Columns, n_assumptions: int) -> Days:
    """Return what holds for certain in every world and what may hold in one.

    Parameters
    ----------
    days : Days
        Over the rows of `columns`, whose cases are assumptions × worlds of one applicant.
    n_assumptions : int
        Number of assumptions.

    Returns
    -------
    Days
        Over ``2 * n_assumptions`` rows, certain ones first.
    """
    n_worlds = columns.n_cases // n_assumptions
    groups = np.arange(columns.n_rows, dtype=np.int64) // n_worlds
    is_certain = DaySet.where(np.arange(2 * n_assumptions) < n_assumptions)

    def fold(sets: DaySet) -> DaySet:
        surely = sets.fold(groups, 2 * n_assumptions, every=True) & is_certain
        return surely | (sets.fold(groups, 2 * n_assumptions, every=False) - is_certain)

    yes = fold(days.yes)
    ok = yes if days.ok is days.yes else fold(days.ok)
    return Days(yes, ok, None if days.na is None else fold(days.na))
