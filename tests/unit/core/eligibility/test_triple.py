"""What requirements denote, put together."""

from __future__ import annotations

from comity.core.days.dayset import DaySet
from comity.core.eligibility.triple import Days, every, some

ALWAYS = Days.of(DaySet.full(2))
NEVER = Days.of(DaySet.empty(2))


def test_of_no_parts_all_hold() -> None:
    assert every([], 2).yes == DaySet.full(2)


def test_more_parts_than_there_are_never_hold() -> None:
    assert some(2, [ALWAYS], 2).yes == DaySet.empty(2)


def test_a_part_that_does_not_apply_counts_for_all_and_against_some() -> None:
    no_matter = Days(DaySet.empty(2), DaySet.empty(2), DaySet.full(2))
    assert every([ALWAYS, no_matter], 2).yes == DaySet.full(2)
    assert some(1, [NEVER, no_matter], 2).yes == DaySet.empty(2)
