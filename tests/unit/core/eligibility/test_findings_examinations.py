"""Attempts at examinations: which count, what is said of them, when one may sit again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult


def sat(*attempts: str) -> str:
    """Return the part of a file that holds attempts, as ``2026-01-01 failed``, and what else."""
    entries = []
    for number, attempt in enumerate(attempts):
        taken, outcome, *more = attempt.split(maxsplit=2)
        entries.append(
            f"{{id: e{number}, examination: final, taken: {taken}, outcome: {outcome}"
            f"{''.join(more)}}}"
        )
    return f"results: {{examinations: [{', '.join(entries)}]}}"


def result(requirement: str, *attempts: str) -> RequirementResult:
    """Return what the attempts give."""
    return result_of(f"{{kind: examination, examination: final, {requirement}}}", sat(*attempts))


def said(requirement: str, *attempts: str) -> tuple[str, str]:
    """Return verdict and reason."""
    found = result(requirement, *attempts)
    return found.verdict.value, found.reason


# ---------------------------------------------------------------------------------- which count


def test_an_attempt_beyond_those_allowed_does_not_count() -> None:
    attempts = "2023-12-01 failed", "2024-03-01 failed", "2026-03-01 passed"
    assert said("attempts: 2", *attempts) == ("not met", "3 of 2 attempts used")


def test_after_the_bar_attempts_start_anew() -> None:
    attempts = "2023-12-01 failed", "2024-03-01 failed", "2025-03-01 passed"
    assert said("attempts: 2, bar: P1Y", *attempts) == ("met", "passed")


def test_before_the_bar_is_over_an_attempt_does_not_count() -> None:
    attempts = "2023-12-01 failed", "2024-03-01 failed", "2025-02-28 passed"
    assert said("attempts: 2, bar: P1Y", *attempts)[0] == "not met"


BY_APPLICATION = "attempts: 1, attempts_count: application"


def test_each_application_has_attempts_of_its_own() -> None:
    attempts = "2025-12-01 failed , application: a", "2026-03-01 passed , application: b"
    assert said(BY_APPLICATION, *attempts) == ("met", "passed")


def test_within_the_bar_after_another_application_an_attempt_does_not_count() -> None:
    attempts = "2025-12-01 failed , application: a", "2026-03-01 passed , application: b"
    assert said(f"{BY_APPLICATION}, bar: P1Y", *attempts)[0] == "not met"


def test_after_the_bar_an_attempt_of_a_new_application_counts() -> None:
    attempts = "2024-12-01 failed , application: a", "2026-03-01 passed , application: b"
    assert said(f"{BY_APPLICATION}, bar: P1Y", *attempts) == ("met", "passed")


PLACES = {
    "attempts: 1": "not met",
    "attempts: 2": "met",
    "attempts: 1, bar: P1Y": "met",
    "attempts: 1, bar: P2Y": "not met",
    BY_APPLICATION: "met",
}


@pytest.mark.parametrize("requirement", PLACES)
def test_a_place_booked_counts_as_far_as_attempts_leave_room(requirement: str) -> None:
    attempts = "2024-12-01 failed , application: a", "2026-09-01 booked , application: b"
    assert said(f"{requirement}, outcomes: [booked]", *attempts)[0] == PLACES[requirement]


def test_a_result_awaited_is_enough_where_the_rule_says_so() -> None:
    assert said("outcomes: [awaiting]", "2026-05-01 awaiting") == (
        "met",
        "an attempt at the final examination is awaiting",
    )


def test_a_known_score_decides_before_the_outcome() -> None:
    assert said("least_score: 60", "2026-05-01 failed , score: 70") == ("met", "passed")


def test_a_failure_may_be_what_is_asked_for() -> None:
    found = result("outcomes: [failed]")
    assert (found.reason, found.remedy) == ("no attempt at the final examination is failed", None)


def test_a_score_below_is_a_failure() -> None:
    assert said("outcomes: [failed], least_score: 60", "2026-05-01 passed , score: 50")[0] == "met"


def test_a_stage_passed_before_the_one_it_follows_does_not_count() -> None:
    stages = "stages_in_order: yes, stages: [{id: written}, {id: oral}]"
    early = "2024-01-01 passed , stage: oral", "2025-01-01 passed , stage: written"
    late = "2025-01-01 passed , stage: written", "2026-01-01 passed , stage: oral"
    assert (said(stages, *early)[0], said(stages, *late)[0]) == ("not met", "met")


def test_stages_passed_too_far_apart_are_told_so() -> None:
    stages = "stages_within: P1Y, stages: [{id: written}, {id: oral}]"
    found = said(stages, "2020-01-01 passed , stage: written", "2025-01-01 passed , stage: oral")
    assert found == ("not met", "written: passed; oral: passed; but not all within 1 year")


# ---------------------------------------------------------------------------- when to sit again


def remedy(requirement: str, *attempts: str) -> tuple[str, str]:
    """Return what to do, for the adviser and for the applicant."""
    found = result(requirement, *attempts).remedy
    assert found is not None
    return found.what, found.plain


def test_attempts_used_up_for_good_cannot_be_mended() -> None:
    assert result("attempts: 1", "2026-03-01 failed").remedy is None


def test_attempts_used_up_wait_for_the_bar() -> None:
    assert remedy("attempts: 1, bar: P1Y", "2026-03-01 failed") == (
        "Pass the final examination, on 2027-03-01 at the earliest",
        "Pass the final examination. The earliest you can sit it is 1 March 2027.",
    )


def test_attempts_used_up_in_one_application_start_anew_in_another() -> None:
    assert remedy(BY_APPLICATION, "2026-03-01 failed , application: a") == (
        "Pass the final examination in a new application",
        "Pass the final examination in a new application.",
    )


def test_a_new_application_waits_for_the_bar_after_the_last() -> None:
    found = remedy(f"{BY_APPLICATION}, bar: P1Y", "2026-03-01 failed , application: a")
    assert found[0] == (
        "Pass the final examination in a new application, on 2027-03-01 at the earliest"
    )


def test_an_application_with_attempts_left_goes_on() -> None:
    requirement = "attempts: 2, attempts_count: application"
    found = result(requirement, "2026-03-01 failed , application: a").remedy
    assert found is not None
    assert (found.what, found.detail) == ("Pass the final examination", "1 of 2 attempts left")
