"""The time of a sitting follows from the moment it began."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from comity.core.exam.sittings import Standing, Timing, most_extra

NINE = datetime(2026, 6, 1, 9, 0, tzinfo=UTC)


def after(minutes: float) -> datetime:
    return NINE + timedelta(minutes=minutes)


def test_a_sitting_goes_from_not_begun_to_its_end() -> None:
    fresh = Timing(150)
    assert fresh.standing(NINE) is Standing.NOT_BEGUN
    assert (fresh.seconds_left(NINE), fresh.minutes_taken(NINE), fresh.ends) == (9000, None, None)
    running = Timing(150, began=NINE)
    assert running.standing(after(149.99)) is Standing.RUNNING
    assert running.may_answer(after(149.99))
    assert running.standing(after(150)) is Standing.TIME_UP
    assert not running.may_answer(after(150))
    assert running.ended(after(400)) == after(150)
    assert running.minutes_taken(after(400)) == 150
    assert running.ended(after(10)) is None


def test_what_was_handed_in_ended_then() -> None:
    timing = Timing(150, began=NINE, handed_in=after(43.2))
    assert timing.standing(after(44)) is Standing.HANDED_IN
    assert timing.standing(after(500)) is Standing.HANDED_IN
    assert timing.ended(after(500)) == after(43.2)
    assert timing.minutes_taken(after(500)) == 44
    assert timing.seconds_left(after(44)) == 0


@pytest.mark.parametrize(("percent", "minutes"), [(0, 150), (25, 187.5), (50, 225), (100, 300)])
def test_extra_time_is_a_share_of_the_time(percent: int, minutes: float) -> None:
    assert Timing(150, percent).allowed == timedelta(minutes=minutes)


def test_practice_has_no_limit() -> None:
    timing = Timing(None, began=NINE)
    assert (timing.seconds_left(after(999)), timing.ends) == (None, None)
    assert timing.may_answer(after(10_000))
    assert Timing(None, began=NINE, handed_in=after(5)).is_over(after(6))


def test_a_clock_put_back_gives_nobody_more_than_the_whole_time() -> None:
    assert Timing(150, began=NINE).seconds_left(after(-60)) == 9000
    assert Timing(150, began=NINE).minutes_taken(after(-60)) == 0


@given(minutes=st.integers(1, 600), extra=st.integers(0, 300), passed=st.floats(0, 3000))
def test_there_is_time_left_exactly_while_answers_are_taken(
    minutes: int, extra: int, passed: float
) -> None:
    timing = Timing(minutes, extra, began=NINE)
    now = after(passed)
    left = timing.seconds_left(now)
    assert left is not None
    assert timing.ends is not None
    assert timing.may_answer(now) == (now < timing.ends)
    assert left > 0 or timing.ends - now < timedelta(seconds=1)


@pytest.mark.parametrize("percent", [-1, 301])
def test_extra_time_out_of_range_is_refused(percent: int) -> None:
    with pytest.raises(ValueError, match=f"0 to 300 percent of the time, got {percent}"):
        most_extra(percent)


def test_extra_time_in_range_is_granted() -> None:
    assert most_extra(300) == 300
