"""What is wrong with the facts of one entry taken together."""

from __future__ import annotations

import pytest

from comity.core.days.partial import parse_partial_date
from comity.core.declaring import Complaint
from comity.core.facts.model import PracticeSpell, Qualification, Registration, Stay, Updating


def test_a_level_that_isced_has_not_got_is_refused() -> None:
    # ISCED 2011 has nine levels, 0 to 8 (UNESCO Institute for Statistics, 2012).
    assert list(Qualification(id="bsc", level=9).complaints()) == [
        Complaint(
            "F301",
            ("level",),
            "ISCED 2011 levels go from 0 to 8",
            got="9",
            expected="e.g. 6 for a bachelor's degree",
        )
    ]


@pytest.mark.parametrize("level", [None, 0, 8])
def test_a_level_of_isced_is_taken(level: int | None) -> None:
    assert list(Qualification(id="bsc", level=level).complaints()) == []


@pytest.mark.parametrize("kind", [PracticeSpell, Registration, Stay, Updating])
def test_a_spell_that_ends_before_it_starts_is_refused(
    kind: type[PracticeSpell | Registration | Stay | Updating],
) -> None:
    start, end = parse_partial_date("2024-03"), parse_partial_date("2024-02-29")
    assert list(kind(id="x", start=start, end=end).complaints()) == [
        Complaint(
            "F302",
            ("end",),
            "the end lies before the start",
            got="2024-02-29",
            expected="a day on or after 2024-03",
            hint="compare both dates with the paper that shows them",
        )
    ]


def test_a_spell_that_may_end_after_its_start_is_taken() -> None:
    start, end = parse_partial_date("2024-03"), parse_partial_date("2024-03-01")
    assert list(Stay(id="x", start=start, end=end).complaints()) == []
