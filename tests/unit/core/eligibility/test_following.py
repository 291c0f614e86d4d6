"""A qualification completed within a time after another one."""

from __future__ import annotations

import pytest

from comity.core.days.partial import parse_partial_date
from comity.core.days.period import Period
from comity.core.eligibility.days_of import Context, days_of
from comity.core.facts.columns import columns_of
from comity.core.facts.model import Applicant, Facts, Qualification
from comity.core.rulebook.kinds.qualifying import QualificationHeld

INTERNSHIP = QualificationHeld(
    id="internship",
    titles=("internship",),
    following=("degree",),
    following_within=Period(months=24),
)


def held(degree: str, internship: str) -> tuple[bool, bool]:
    """Return whether it ever holds, for certain and possibly."""
    entries = (
        Qualification(id="d", title="Degree", completed=parse_partial_date(degree)),
        Qualification(id="i", title="internship", completed=parse_partial_date(internship)),
    )
    applicant = Applicant(applicant="case", facts=Facts(qualifications=entries))
    days = days_of(INTERNSHIP, Context(columns_of([applicant], today=0))).yes
    certain, possible = days.has_days()
    return bool(certain), bool(possible)


# By hand: the same day 24 months on is the last (clamp, Reg. 1182/71 art. 3(2)(c)).
@pytest.mark.parametrize(
    ("degree", "internship", "expected"),
    [
        ("2020-06-30", "2022-06-30", (True, True)),
        ("2020-06-30", "2022-07-01", (False, False)),
        ("2020-06-30", "2020-06-30", (True, True)),
        ("2020-06-30", "2020-06-29", (False, False)),
        ("2020-06", "2022-06-15", (False, True)),
        ("2020-06", "2022-05-31", (True, True)),
        ("2020-02-29", "2022-02-28", (True, True)),
    ],
)
def test_an_internship_counts_up_to_two_years_after_the_degree(
    degree: str, internship: str, expected: tuple[bool, bool]
) -> None:
    assert held(degree, internship) == expected
