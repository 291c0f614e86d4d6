"""How dates of entries are read as columns."""

from __future__ import annotations

import pytest

from comity.core.days.calendar import iso
from comity.core.facts.columns import columns_of
from tests.unit.core.eligibility.samples import applicant
from tests.unit.core.rulebook.samples import day

TODAY = day("2026-06-01")
ENDS = {
    "end: ..": ("2026-06-01", "2026-06-01"),
    "end: unknown": (".", "2026-06-01"),
    "start: 2020-01-01": (".", "2026-06-01"),
    "end: 2024": ("2024-01-01", "2024-12-31"),
    "end: 2024-05-03": ("2024-05-03", "2024-05-03"),
}


@pytest.mark.parametrize("post", ENDS)
def test_if_practice_stops_today_no_post_ends_later(post: str) -> None:
    person = applicant(f"facts: {{practice: [{{id: p1, {post}}}]}}")
    table = columns_of([person], today=TODAY, assumptions=["stops"]).table("practice")
    certain, possible = (iso(int(end)) if end else "." for end in table.until("end"))
    assert (certain, possible) == ENDS[post]


def test_a_file_gone_through_earlier_lets_a_post_end_then_for_certain() -> None:
    person = applicant("as_of: 2026-01-15\nfacts: {practice: [{id: p1, end: ..}]}")
    table = columns_of([person], today=TODAY, assumptions=["stops"]).table("practice")
    assert [iso(int(end)) for end in table.until("end")] == ["2026-01-15", "2026-06-01"]
