from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from comity.core.days.accumulate import days_with_amount
from comity.core.days.calendar import FOREVER, day_from_date
from comity.core.days.dayset import DaySet
from comity.core.days.partial import parse_partial_date
from comity.core.days.period import Period
from tests.properties.day_oracle import Spell, after, before
from tests.properties.effort import examples
from tests.properties.strategies import days, lengths, rows_of_spells, steps_of

years = st.integers(1900, 2249)
known_dates = st.dates(date(1900, 1, 1), date(2249, 12, 31))
marks = st.sampled_from(["", "~", "?", "%"])


@given(known_dates, st.sampled_from(["%Y", "%Y-%m", "%Y-%m-%d", "%Y-%m-XX", "%Y-XX"]), marks)
def test_every_completion_of_a_partial_date_lies_within_its_bounds(
    known: date, form: str, mark: str
) -> None:
    partial = parse_partial_date(known.strftime(form) + mark)
    day = day_from_date(known)
    assert partial.earliest <= day <= partial.latest
    n_days = {"%Y-%m-%d": 1}.get(form, monthrange(known.year, known.month)[1])
    if form in {"%Y", "%Y-XX"}:
        n_days = 366 if monthrange(known.year, 2)[1] == 29 else 365
    assert partial.latest - partial.earliest + 1 == n_days


@given(st.integers(190, 224), known_dates)
def test_every_day_of_a_decade_lies_within_its_bounds(decade: int, known: date) -> None:
    partial = parse_partial_date(f"{decade}X")
    day = day_from_date(known)
    assert (partial.earliest <= day <= partial.latest) == (known.year // 10 == decade)


@given(known_dates)
def test_an_exact_date_has_one_completion(known: date) -> None:
    partial = parse_partial_date(known.isoformat())
    assert partial.is_exact
    assert date(1900, 1, 1) + timedelta(days=partial.earliest) == known


@given(days, st.sampled_from(["~", "?", "%"]), st.integers(0, 3), st.integers(0, 40))
def test_a_margin_widens_by_itself_on_either_side(
    day: int, mark: str, months: int, n_days: int
) -> None:
    text = (date(1900, 1, 1) + timedelta(days=day)).isoformat()
    margin = Period(months, n_days)
    partial = parse_partial_date(text + mark, margin=margin)
    assert (partial.earliest, partial.latest) == (before(day, margin), after(day, margin))


@examples(40)
@given(rows_of_spells, st.integers(0, 11), st.integers(1, 20_000), lengths)
def test_inner_and_outer_facts_bound_every_completion_of_a_start(
    rows: list[list[Spell]], month: int, threshold: int, length: int
) -> None:
    start = parse_partial_date(f"2024-{month + 1:02}")
    end = start.latest + length

    def days_if(first: int) -> DaySet:
        with_start = [[*entries, (first, end, 100)] for entries in rows]
        return days_with_amount(steps_of(with_start), threshold=threshold, window=Period(6))

    certain, possible = days_if(start.latest), days_if(start.earliest)
    worlds = [days_if(first) for first in range(start.earliest, start.latest + 1)]
    for world in worlds:
        assert certain - world == DaySet.empty(2)
        assert world - possible == DaySet.empty(2)
    assert end < FOREVER
