from __future__ import annotations

from typing import get_args

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from comity.core.days.calendar import FOREVER
from comity.core.days.gaps import Anchor, days_since_last, longest_gap_within
from comity.core.days.period import Period
from tests.properties.day_oracle import (
    ALL_DAYS,
    Span,
    days_in,
    has_long_gap,
    last_counted,
    lasted,
)
from tests.properties.effort import examples
from tests.properties.strategies import bounds, days, dayset_of, months, rows_of_spans

anchors = st.sampled_from(get_args(Anchor))
starts = st.lists(days | st.just(FOREVER), min_size=2, max_size=2)
wide_windows = st.none() | st.builds(Period, months) | st.builds(Period, days=st.integers(1, 400))


def lies_within(last: int, day: int, *, anchor: Anchor, limits: tuple[Period | None, ...]) -> bool:
    at_least, above, below, at_most = limits
    idle = day > last
    return (
        (at_least is None or (idle and day >= lasted(last, at_least, anchor)))
        and (above is None or (idle and day > lasted(last, above, anchor)))
        and (below is None or not idle or day < lasted(last, below, anchor))
        and (at_most is None or not idle or day <= lasted(last, at_most, anchor))
    )


@examples(150)
@given(rows_of_spans, starts, anchors, st.tuples(bounds, bounds, bounds, bounds))
def test_days_since_the_last_practice_are_those_counted_day_by_day(
    rows: list[list[Span]],
    origins: list[int],
    anchor: Anchor,
    limits: tuple[Period | None, ...],
) -> None:
    at_least, above, below, at_most = limits
    found = days_since_last(
        dayset_of(rows),
        at_least=at_least,
        above=above,
        below=below,
        at_most=at_most,
        anchor=anchor,
        origin=np.array(origins),
    )
    for row, spans in enumerate(rows):
        practised = days_in(spans)
        expected = set()
        last = None
        for day in ALL_DAYS:
            if day in practised or last is None:
                last = last_counted(practised & {day}, day, origins[row])
            if last is not None and lies_within(last, day, anchor=anchor, limits=limits):
                expected.add(day)
        assert days_in(found.runs_of(row)) == expected


@examples(60)
@given(rows_of_spans, starts, anchors, bounds.filter(bool), wide_windows)
def test_days_without_too_long_a_gap_are_those_counted_day_by_day(
    rows: list[list[Span]],
    since: list[int],
    anchor: Anchor,
    greatest: Period,
    window: Period | None,
) -> None:
    found = longest_gap_within(
        dayset_of(rows), greatest=greatest, anchor=anchor, since=np.array(since), window=window
    )
    for row, spans in enumerate(rows):
        practised = days_in(spans)
        edges = {edge + off for run in found.runs_of(row) for edge in run for off in (-1, 0)}
        for day in edges.intersection(ALL_DAYS).union(ALL_DAYS[::31]):
            expected = since[row] <= day and not has_long_gap(
                practised,
                day,
                since=since[row],
                greatest=greatest,
                anchor=anchor,
                window=window,
            )
            assert found.contains(day)[row] == expected
