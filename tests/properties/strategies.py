"""What properties of day-sets are tried on: few rows, aimed at ends of months and leap days."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import strategies as st

from comity.core.days.calendar import FOREVER, Ints, day_from_date
from comity.core.days.dayset import DaySet
from comity.core.days.period import Period
from comity.core.days.steps import Steps

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.properties.day_oracle import Span, Spell

_EARLY = day_from_date(date(2023, 12, 25))
_LATE = day_from_date(date(2025, 4, 5))
_EDGES = [
    day_from_date(date(year, month, 1)) + offset
    for year in (2024, 2025)
    for month in range(1, 13)
    for offset in (-2, -1, 0, 1)
]

edge_days = st.sampled_from(_EDGES)
days = edge_days | st.integers(_EARLY, _LATE)
lengths = st.sampled_from([0, 1, 28, 29, 30, 31, 59, 60, 365, 366]) | st.integers(0, 400)


@st.composite
def spans(draw: st.DrawFn) -> Span:
    """Half-open: empty, short, long, or without end."""
    start = draw(days)
    if draw(st.integers(0, 9)) == 0:
        return start, FOREVER
    return start, start + draw(lengths)


@st.composite
def spells(draw: st.DrawFn) -> Spell:
    """A span with what it adds to each day: a share of full time, often the whole."""
    start, end = draw(spans())
    return start, end, draw(st.sampled_from([100, 100, 50, 60, 20, 99]))


rows_of_spans = st.lists(st.lists(spans(), max_size=4), min_size=2, max_size=2)
rows_of_spells = st.lists(st.lists(spells(), max_size=4), min_size=2, max_size=2)

months = st.sampled_from([1, 2, 3, 6, 11, 12])
periods = st.builds(Period, months) | st.builds(Period, st.sampled_from([0, 1, 2, 6]), days=lengths)
windows = st.none() | periods
bounds = st.none() | st.builds(Period, months) | st.builds(Period, days=st.integers(1, 200))


def columns(rows: Sequence[Sequence[tuple[int, ...]]], n_fields: int) -> list[Ints]:
    """Return row numbers and fields of ragged rows as arrays, in reverse: order must not matter."""
    flat = [(row, *entry) for row, entries in enumerate(rows) for entry in entries]
    table = np.array(flat[::-1], np.int64).reshape(-1, n_fields + 1)
    return list(table.T)


def dayset_of(rows: Sequence[Sequence[Span]]) -> DaySet:
    """Return the day-set of rows of spans."""
    row, starts, ends = columns(rows, 2)
    return DaySet.from_runs(len(rows), row, starts=starts, ends=ends)


def steps_of(rows: Sequence[Sequence[Spell]], cap: int = 100) -> Steps:
    """Return the capped daily sum of rows of spells."""
    row, starts, ends, values = columns(rows, 3)
    return Steps.sum_of(len(rows), row, starts=starts, ends=ends, values=values).capped(cap)


daysets = rows_of_spans.map(dayset_of)
