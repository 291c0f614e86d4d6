from __future__ import annotations

from dataclasses import replace

from comity.charts.span import LEAST_DAYS, MOST_DAYS, Span, sensible_span
from comity.core.eligibility.assessment import Verdict
from tests.assets.brief import samples
from tests.assets.brief.samples import ON, day, window


def test_it_begins_a_little_before_the_assessed_day() -> None:
    span = sensible_span(samples.mixed())
    assert 30 < ON - span.start < 120


def test_it_ends_some_months_after_the_last_boundary() -> None:
    span = sensible_span(samples.mixed())
    assert day("2029-10-31") < span.end < day("2030-12-31")


def test_without_boundaries_it_shows_a_year_and_a_half() -> None:
    span = sensible_span(samples.assessment(Verdict.MET))
    assert span.end == ON + LEAST_DAYS


def test_a_boundary_beyond_ten_years_does_not_stretch_it() -> None:
    far = samples.assessment(Verdict.MET, windows=(window("2026-11-25", "2060-01-01"),))
    assert sensible_span(far).end == ON + LEAST_DAYS


def test_a_boundary_just_within_ten_years_gives_ten_years() -> None:
    far = samples.assessment(Verdict.MET, windows=(window("2026-11-25", "2036-10-01"),))
    assert sensible_span(far).end == ON + MOST_DAYS


def test_a_coming_edition_is_shown() -> None:
    span = sensible_span(replace(samples.mixed(), requirements=(), windows=(), earliest=None))
    assert span.end > day("2028-01-01")


def test_it_never_begins_before_the_first_day_there_is() -> None:
    early = samples.assessment(Verdict.MET, on=3)
    assert sensible_span(early) == Span(0, 3 + LEAST_DAYS)
