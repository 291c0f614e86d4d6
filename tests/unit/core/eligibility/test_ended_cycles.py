"""Continuing education in cycles that have ended, and what is carried over into the next."""

from __future__ import annotations

import pytest

from comity.core.days.calendar import iso
from comity.core.eligibility.assessment import Verdict
from tests.unit.core.eligibility.samples import result_of

REGISTERED = "registrations: [{id: r, authority: b, start: 2020-01-01, end: ..}]"


def facts(**units_of_year: int) -> str:
    """Return a file with units earned on 30 June of some years."""
    entries = ", ".join(
        f"{{id: {year}, earned: {year[1:]}-06-30, units: {units}, category: any}}"
        for year, units in units_of_year.items()
    )
    return f"facts: {{{REGISTERED}, education: [{entries}]}}"


def rule(cycle: str) -> str:
    """Return 24 units of continuing education in calendar years."""
    return (
        "{kind: continuing education, units: 24, cycle: {length: 1 year, ends_on: 12-31"
        f"{cycle}}}}}"
    )


LAST = rule(", which: last ended")
LAST_TWO = rule(", which: last ended, how_many: 2")


def test_on_5_january_the_running_year_is_empty_and_the_last_one_counts() -> None:
    person = facts(y2026=24)
    assert result_of(rule(""), person, on="2027-01-05").verdict is Verdict.NOT_MET
    found = result_of(LAST, person, on="2027-01-05")
    assert found.verdict is Verdict.MET
    assert found.reason == "24 of 24 units counted, in the cycle that ended on 2026-12-31"
    assert found.until is not None
    assert iso(found.until) == "2027-12-31"


@pytest.mark.parametrize(
    ("years", "verdict", "reason"),
    [
        ({"y2025": 24, "y2026": 24}, Verdict.MET, "24 of 24 units counted, in the cycle that "),
        ({"y2025": 20, "y2026": 30}, Verdict.NOT_MET, "20 of 24 units counted, in the cycle that "),
    ],
)
def test_each_of_two_years_must_be_enough(
    years: dict[str, int], verdict: Verdict, reason: str
) -> None:
    found = result_of(LAST_TWO, facts(**years), on="2027-03-01")
    assert found.verdict is verdict
    ended = "2026-12-31" if verdict is Verdict.MET else "2025-12-31"
    assert found.reason == f"{reason}ended on {ended}"


def test_what_lacks_is_earned_in_the_running_year_and_counts_when_it_has_ended() -> None:
    found = result_of(LAST, facts(y2025=10, y2026=20), on="2026-09-01")
    assert found.verdict is Verdict.NOT_MET
    assert found.remedy is not None
    assert found.remedy.plain == "Earn 4 more units by 31 December 2026."
    assert found.remedy.detail == (
        "by 2026-12-31, the end of the cycle; it counts once the cycle has ended"
    )
    assert found.remedy.earliest is not None
    assert iso(found.remedy.earliest) == "2027-01-01"


def test_before_a_cycle_has_ended_nothing_is_enough() -> None:
    person = (
        "facts: {registrations: [{id: r, authority: b, start: 2026-03-01, end: ..}], "
        "education: [{id: e, earned: 2026-04-01, units: 99, category: any}]}"
    )
    found = result_of(LAST, person, on="2026-09-01")
    assert found.verdict is Verdict.NOT_MET
    assert found.reason.endswith("; as many cycles have not ended yet")


@pytest.mark.parametrize(
    ("earned", "carried", "verdict"),
    [
        ({"y2025": 34, "y2026": 14}, "", Verdict.NOT_MET),
        ({"y2025": 34, "y2026": 14}, ", carried_over: 12", Verdict.MET),
        ({"y2025": 34, "y2026": 13}, ", carried_over: 12", Verdict.NOT_MET),
        ({"y2025": 60, "y2026": 12}, ", carried_over: 12", Verdict.MET),
        ({"y2025": 60, "y2026": 11}, ", carried_over: 12", Verdict.NOT_MET),
        # What was carried into 2025 is not carried on into 2026.
        ({"y2024": 60, "y2025": 12, "y2026": 23}, ", carried_over: 12", Verdict.NOT_MET),
    ],
)
def test_a_surplus_counts_in_the_next_year_up_to_its_limit(
    earned: dict[str, int], carried: str, verdict: Verdict
) -> None:
    assert result_of(rule(carried), facts(**earned), on="2026-12-01").verdict is verdict
