from __future__ import annotations

from itertools import pairwise

import pytest

from comity.charts.axis import ticks
from comity.charts.labels import estimated_width
from comity.charts.span import Span
from comity.charts.strip_bars import Scale
from comity.charts.strip_layout import SMALL_SIZE
from comity.charts.wording import ENGLISH
from comity.core.days.calendar import date_from_day
from tests.assets.brief.samples import day


@pytest.mark.parametrize("months", [3, 9, 18, 40, 75, 120])
def test_there_are_a_few_ticks_on_firsts_of_months(months: int) -> None:
    span = Span(day("2026-11-25"), day("2026-11-25") + 30 * months)
    found = ticks(span, wording=ENGLISH)
    assert 2 <= len(found) <= 10
    assert {date_from_day(tick.day).day for tick in found} == {1}
    assert all(span.start <= tick.day < span.end for tick in found)


@pytest.mark.parametrize("days", [90, 200, 400, 548, 800, 1100, 1600, 2200, 3000, 3653])
def test_no_label_reaches_the_next(days: int) -> None:
    span = Span(day("2026-10-20"), day("2026-10-20") + days)
    found = ticks(span, wording=ENGLISH)
    widest = max(estimated_width(tick.label, size=SMALL_SIZE) for tick in found)
    places = [Scale(span).pixels(tick.day) for tick in found]
    assert all(after - before > widest for before, after in pairwise(places))


def test_ten_years_are_labelled_by_the_year() -> None:
    labels = [
        tick.label for tick in ticks(Span(day("2026-10-01"), day("2036-10-01")), wording=ENGLISH)
    ]
    assert labels == [str(year) for year in range(2027, 2037)]


def test_a_short_span_is_labelled_by_month() -> None:
    labels = [
        tick.label for tick in ticks(Span(day("2026-11-15"), day("2027-02-15")), wording=ENGLISH)
    ]
    assert labels == ["Dec 2026", "Jan 2027", "Feb 2027"]
