"""What comes after the licence: last days, renewal, and what renewal asks."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from comity.core.days.calendar import iso
from comity.core.days.partial import parse_partial_date
from comity.core.days.period import Period
from comity.core.eligibility.assessment import Verdict
from comity.core.facts.model import Applicant, EducationUnits, Facts
from comity.core.plan.after_licence import AfterLicence, after_licence
from comity.core.rulebook.kinds.educating import CategoryMinimum, ContinuingEducation
from comity.core.rulebook.model import Grant, Milestone, Renewal, Rulebook, Title
from tests.unit.core.rulebook.samples import AUTHORITY, RULES, day, edition, title

TODAY = day("2026-11-25")
GRANTED = day("2027-02-28")
MILESTONES = tuple(Milestone(id=name, label=name) for name in ("submission", "renewal"))
EDUCATION = ContinuingEducation(
    id="education",
    label="Continuing education",
    source=RULES,
    units=Fraction(30),
    look_back=Period(months=36),
    minima=(CategoryMinimum(categories=("ethics",), least=Fraction(6)),),
)
YEARS = Period(months=36)


def units(name: str, on: str, n: int, category: str) -> EducationUnits:
    when = parse_partial_date(on, margin=None)
    return EducationUnits(id=name, earned=when, units=Fraction(n), category=category)


def found(place: Title, *education: EducationUnits) -> AfterLicence:
    person = Applicant(applicant="a", facts=Facts(education=education))
    book = Rulebook(AUTHORITY, (edition(place),))
    return after_licence(
        person, book, place, decided=day("2027-01-31"), granted=GRANTED, today=TODAY
    )


def test_a_licence_lasts_to_the_same_day_of_its_last_month() -> None:
    """From the end of February three years on: 28 February 2030 (months clamp to their end)."""
    place = title(milestones=MILESTONES, grants=Grant(instrument="registration", lasts=YEARS))
    after = found(place)
    assert after.ends is not None
    assert iso(after.ends) == "2030-02-28"
    assert (after.opens, after.grace_until, after.claim_by) == (None, None, None)


@pytest.mark.parametrize(
    ("end", "last"), [("02-28", "2027-02-28"), ("02-27", "2028-02-27"), ("12-31", "2027-12-31")]
)
def test_a_licence_that_ends_every_year_ends_on_the_next_such_day(end: str, last: str) -> None:
    grant = Grant(instrument="certificate", until_every_year=end)
    after = found(title(milestones=MILESTONES, grants=grant))
    assert after.ends is not None
    assert iso(after.ends) == last


def test_it_is_taken_up_within_its_time_after_the_decision() -> None:
    """One month after 31 January is 28 February 2027."""
    grant = Grant(instrument="registration", claim_within=Period(months=1))
    after = found(title(milestones=MILESTONES, grants=grant))
    assert after.claim_by is not None
    assert iso(after.claim_by) == "2027-02-28"
    assert after.ends is None
    assert after.asked == ()


def test_renewal_opens_before_the_end_and_is_taken_for_a_while_after_it() -> None:
    renewal = Renewal(every=YEARS, opens=Period(months=3), grace=Period(days=30))
    after = found(title(milestones=MILESTONES, renewal=renewal))
    days = [after.ends, after.opens, after.grace_until]
    assert [iso(each) for each in days if each is not None] == [
        "2030-02-28", "2029-11-28", "2030-03-30",
    ]  # fmt: skip


def test_units_are_counted_on_the_last_day_with_the_minima_of_their_categories() -> None:
    renewal = Renewal(every=YEARS, requires=(EDUCATION,))
    place = title(milestones=MILESTONES, renewal=renewal)
    enough = found(
        place, units("a", "2027-06-01", 24, "clinical"), units("b", "2028-06-01", 6, "ethics")
    )
    assert [each.verdict for each in enough.asked] == [Verdict.MET]
    short = found(place, units("a", "2027-06-01", 40, "clinical"))
    assert [each.verdict for each in short.asked] == [Verdict.NOT_MET]


def test_units_that_are_too_old_by_then_do_not_count() -> None:
    """36 months before 28 February 2030 the window opens after 28 February 2027."""
    least = replace(EDUCATION, minima=())
    place = title(milestones=MILESTONES, renewal=Renewal(every=YEARS, requires=(least,)))
    last = found(place, units("a", "2027-02-28", 30, "clinical"))
    first = found(place, units("a", "2027-03-01", 30, "clinical"))
    assert [each.verdict for each in last.asked] == [Verdict.NOT_MET]
    assert [each.verdict for each in first.asked] == [Verdict.MET]
