"""What is said of language tests, and how to mend what lacks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import Remedy, RequirementResult

TEST = """
    kind: language
    greatest_age: P2Y
    tests:
      - test: Halvenian
        overall: "80"
        parts: {reading: 70, writing: 70}
        combining: {within: P1Y, floor: {reading: 60}, least_overall: "75"}
        excluded_places: [at home]
"""
GOOD = "overall: '90', parts: {reading: 80, writing: 80}, place: hall"
GRADED = """
    kind: language
    tests: [{test: Halvenian, scale: [C, B, A], parts: {reading: B}}]
"""


def sat(*sittings: str) -> str:
    """Return the part of a file that holds sittings of one test."""
    entries = [f"{{id: s{n}, test: Halvenian, {text}}}" for n, text in enumerate(sittings)]
    return f"results: {{language: [{', '.join(entries)}]}}"


def result(*sittings: str, requirement: str = TEST, on: str = "2026-06-01") -> RequirementResult:
    """Return what the sittings give."""
    return result_of(requirement, sat(*sittings), on=on)


def remedy(*sittings: str, requirement: str = TEST) -> Remedy:
    """Return how to mend what the sittings lack."""
    found = result(*sittings, requirement=requirement).remedy
    assert found is not None
    return found


# --------------------------------------------------------------------------------- what is lacking


LACKING = {
    "no result of Halvenian on file": (),
    "Halvenian of 2026-01-01 was sat where it does not count, or is not enough": (
        f"taken: 2026-01-01, {GOOD}".replace("hall", "at home"),
    ),
    "Halvenian of 2026-01-01: 70 overall, 80 asked": (
        f"taken: 2026-01-01, {GOOD}".replace("90", "70"),
    ),
    "Halvenian of 2026-07-01 lies ahead": (f"taken: 2026-07-01, {GOOD}",),
    "Halvenian of 2023-07-01 is older than 2 years since 2025-07-02": (
        f"taken: 2023-07-01, {GOOD}",
    ),
    "Halvenian of 2026-01-01: 60 in reading, 70 asked and nothing in writing, 70 asked": (
        "taken: 2026-01-01, overall: '90', parts: {reading: 60}, place: hall",
    ),
    "Halvenian of an unknown day: 50 in reading, 70 asked and 50 in writing, 70 asked": (
        "overall: '90', parts: {reading: 50, writing: 50}, place: hall",
    ),
}


@pytest.mark.parametrize("reason", LACKING)
def test_a_language_not_proved_tells_what_the_nearest_sitting_lacks(reason: str) -> None:
    found = result(*LACKING[reason])
    assert (found.verdict.value, found.reason, found.shortfall) == ("not met", reason, None)


def test_the_nearest_sitting_is_the_one_with_the_fewest_parts_below() -> None:
    far = "taken: 2026-01-01, overall: '90', parts: {reading: 20, writing: 20}, place: hall"
    near = "taken: 2026-02-01, overall: '90', parts: {reading: 80, writing: 65}, place: hall"
    farther = far.replace("2026-01-01", "2026-03-01")
    assert result(far, near, farther).reason.startswith("Halvenian of 2026-02-01: 65 in writing")


def test_one_part_below_is_measured_in_points() -> None:
    found = result("taken: 2026-01-01, overall: '90', parts: {reading: 65, writing: 80}, place: x")
    assert (found.amount, found.needed, found.unit, found.shortfall) == (
        65.0,
        70.0,
        "points in reading",
        5.0,
    )


def test_a_grade_below_is_told_but_not_measured() -> None:
    found = result("taken: 2026-01-01, parts: {reading: C}", requirement=GRADED)
    assert found.reason == "Halvenian of 2026-01-01: C in reading, B asked"
    assert found.amount is None


def test_a_result_that_is_no_number_proves_nothing_where_numbers_are_asked() -> None:
    found = result("taken: 2026-01-01, overall: '90', parts: {reading: A, writing: 80}, place: x")
    assert found.reason == "Halvenian of 2026-01-01: A in reading, 70 asked"


# ---------------------------------------------------------------------------------- what proves it


def test_the_latest_sitting_that_proves_everything_is_named() -> None:
    found = result(f"taken: 2025-01-01, {GOOD}", f"taken: 2026-01-01, {GOOD}")
    assert (found.verdict.value, found.reason) == ("met", "Halvenian of 2026-01-01")


def test_two_sittings_that_prove_it_together_are_both_named() -> None:
    found = result(
        "taken: 2026-01-01, overall: '90', parts: {reading: 65, writing: 80}, place: hall",
        "taken: 2026-03-01, overall: '90', parts: {reading: 75, writing: 60}, place: hall",
    )
    assert found.reason == "Halvenian of 2026-01-01 and 2026-03-01, taken together"


def test_a_sitting_good_in_its_parts_alone_does_not_prove_it_alone() -> None:
    found = result(
        "taken: 2026-01-01, overall: '76', parts: {reading: 80, writing: 80}, place: hall",
        "taken: 2026-03-01, overall: '90', parts: {reading: 60, writing: 60}, place: hall",
    )
    assert found.reason == "Halvenian of 2026-01-01 and 2026-03-01, taken together"


def test_a_sitting_at_a_place_refused_is_not_named_as_what_proves_it() -> None:
    refused = f"taken: 2026-03-01, {GOOD}".replace("hall", "At Home")
    assert result(f"taken: 2026-01-01, {GOOD}", refused).reason == "Halvenian of 2026-01-01"


def test_of_several_tests_the_one_that_proves_it_is_named() -> None:
    either = "{kind: language, tests: [{test: Other, overall: 5}, {test: Halvenian, overall: 5}]}"
    found = result("taken: 2026-01-01, overall: 6", requirement=either)
    assert found.reason == "Halvenian of 2026-01-01"


# ----------------------------------------------------------------------------------- how to mend it


def test_a_sitting_near_enough_is_combined_with_a_new_one() -> None:
    found = remedy("taken: 2026-01-01, overall: '90', parts: {reading: 60, writing: 50}, place: x")
    assert found.what == (
        "Sit the test Halvenian again by 2027-01-01 and reach 70 in reading and 70 in writing"
    )
    assert found.detail == "combined with 2026-01-01; at least 60 in reading"
    assert found.plain == (
        "Sit the test Halvenian once more by 1 January 2027. "
        "What you need to improve: reading and writing."
    )


def test_sittings_too_far_apart_are_not_combined() -> None:
    found = remedy("taken: 2025-01-01, overall: '90', parts: {reading: 60, writing: 50}, place: x")
    assert found.what == (
        "Sit the test Halvenian and reach 70 in reading, 70 in writing and 80 overall"
    )


def test_without_a_floor_combining_asks_for_no_more_than_what_lacks() -> None:
    requirement = """
        kind: language
        tests: [{test: Halvenian, parts: {reading: 70}, combining: {within: P1Y}}]
    """
    found = remedy("taken: 2026-01-01, parts: {reading: 60}", requirement=requirement)
    assert found.detail == "combined with 2026-01-01"


def test_a_test_that_asks_for_no_result_is_just_to_be_sat() -> None:
    assert remedy(requirement="{kind: language, tests: [{test: Other}]}").what == (
        "Sit the test Other"
    )


def test_a_result_that_no_test_asks_for_is_not_missing() -> None:
    requirement = "{kind: language, tests: [{test: Halvenian, parts: {reading: 70}}]}"
    found = result("parts: {reading: 80}", requirement=requirement)
    assert found.missing == ("language/s0/taken",)
