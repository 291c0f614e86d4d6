"""What is said of continuing education, and what is still to be earned."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult


def education(requirement: str, *earned: str, more: str = "") -> RequirementResult:
    """Return what units earned in May 2026 give, asked on 1 June 2026."""
    entries = ", ".join(
        f"{{id: e{number}, earned: 2026-05-01, {text}}}" for number, text in enumerate(earned)
    )
    return result_of(
        f"{{kind: continuing education, units: 20, {requirement}}}",
        f"facts: {{education: [{entries}]}}\n{more}",
    )


def test_enough_units_without_those_of_a_category_are_measured_in_that_category() -> None:
    minimum = "look_back: P1Y, minima: [{categories: [ethics, law], least: 5}]"
    found = education(minimum, "units: 30, category: practice")
    assert found.reason == "30 of 20 units counted; 0 of 5 in ethics or law"
    assert (found.amount, found.needed, found.unit) == (0.0, 5.0, "units in ethics or law")


def test_what_lacks_is_asked_for_by_category_and_in_all() -> None:
    limits = "minima: [{categories: [ethics], least: 1}], caps: [{categories: [own], most: 10}]"
    found = education(f"look_back: P1Y, {limits}", "units: 30, category: own")
    assert found.reason == "10 of 20 units counted; 0 of 1 in ethics"
    assert found.remedy is not None
    assert found.remedy.what == "Earn 1 more unit in ethics and 9 more units; own cannot fill it"


def test_without_a_pass_no_cycle_runs_that_begins_with_it() -> None:
    cycle = "cycle: {length: P2Y, ends_on: 05-31, first_starts: examination}"
    found = education(cycle, "units: 30", more="results: {examinations: []}")
    assert (found.verdict.value, found.reason) == ("not met", "0 of 20 units counted")


def test_a_cycle_that_begins_with_a_pass_counts_from_its_day() -> None:
    cycle = "cycle: {length: P2Y, ends_on: 05-31, first_starts: examination}, examination: final"
    passed = "{id: x1, examination: final, taken: 2025-09-01, outcome: passed}"
    found = education(cycle, "units: 30", more=f"results: {{examinations: [{passed}]}}")
    assert found.reason == "30 of 20 units counted, in the cycle that ends on 2028-05-31"
