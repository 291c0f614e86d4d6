"""What is said of updating done after time out of practice, and what is still to be done."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult

SUPERVISED = """
    allowed: [supervised practice],
    supervisor: {registered_for: P3Y, same_profession: yes, not_sanctioned: yes}
"""
SUPERVISOR = "same_profession: yes, sanctioned: no, registered_since"


def updating(requirement: str, *done: str, amount: str = "30 hours") -> RequirementResult:
    """Return what the updating done gives, asked on 1 June 2026."""
    entries = ", ".join(f"{{id: u{number}, {text}}}" for number, text in enumerate(done, start=1))
    text = f"{{kind: updating, amount: {amount}, {' '.join(requirement.split())}}}"
    return result_of(text, f"facts: {{updating: [{entries}]}}")


def supervised(supervisor: str) -> RequirementResult:
    """Return what forty hours under a supervisor give."""
    done = "how: supervised practice, start: 2026-01-01, end: 2026-03-01, hours: 40"
    return updating(SUPERVISED, f"{done}, supervisor: {{{supervisor}}}")


def test_updating_before_the_window_or_not_yet_over_is_told_with_its_reason() -> None:
    found = updating(
        "within: P1Y",
        "how: formal study, start: 2024-01-01, end: 2024-03-01, hours: 20",
        "how: private study, start: 2026-05-01, end: 2026-07-01, hours: 5",
    )
    assert found.reason == (
        "0 of 30 hours of updating counted; u1 does not count: it began on 2024-01-01, before the "
        "last year; u2 does not count: it ends on 2026-07-01"
    )


def test_a_kind_that_is_not_accepted_is_told_as_such() -> None:
    found = updating(
        "allowed: [formal study]",
        "how: private study, start: 2024-01-01, end: 2024-03-01, hours: 9",
    )
    assert found.reason.endswith("u1 does not count: private study is not accepted")


LACKS = {
    "same_profession: no": "the supervisor is of another profession",
    "same_profession: yes, sanctioned: yes": "the supervisor is under proceedings or a sanction",
    f"{SUPERVISOR}: 2025-01-01": "the supervisor had not been registered for 3 years",
}


@pytest.mark.parametrize("supervisor", LACKS)
def test_practice_under_a_supervisor_who_does_not_do_is_told_with_its_reason(
    supervisor: str,
) -> None:
    found = supervised(supervisor)
    assert found.verdict.value == "not met"
    assert found.reason.endswith(f"u1 does not count: {LACKS[supervisor]}")


def test_practice_under_a_supervisor_who_does_counts() -> None:
    found = supervised(f"{SUPERVISOR}: 2020-01-01")
    assert (found.verdict.value, found.reason) == ("met", "40 of 30 hours of updating counted")


def test_a_supervisor_nothing_is_known_of_leaves_the_answer_open() -> None:
    done = "how: supervised practice, start: 2026-01-01, end: 2026-03-01, hours: 40"
    assert updating(SUPERVISED, done).missing == ("updating/u1/supervisor",)


def test_conditions_that_ask_nothing_of_a_supervisor_hold_for_any() -> None:
    done = "how: supervised practice, start: 2026-01-01, end: 2026-03-01, hours: 40"
    found = updating("supervisor: {not_sanctioned: no}", f"{done}, supervisor: {{sanctioned: yes}}")
    assert found.verdict.value == "met"


def test_a_capped_kind_counts_up_to_its_share_and_can_fill_no_more() -> None:
    found = updating(
        "caps: [{how: private study, share: 1/2}]",
        "how: private study, start: 2024-01-01, end: 2024-03-01, hours: 20",
    )
    assert found.reason == "15 of 30 hours of updating counted"
    assert found.remedy is not None
    assert found.remedy.what == (
        "15 hours more of supervised practice or formal study; private study cannot fill it"
    )


def test_a_cap_on_a_kind_that_is_not_accepted_is_no_matter() -> None:
    caps = "caps: [{how: private study, share: 1/2}]"
    found = updating(f"allowed: [formal study], {caps}")
    assert found.remedy is not None
    assert found.remedy.what == "30 hours more of formal study"


def test_where_no_kind_can_fill_what_is_owed_nothing_is_proposed() -> None:
    found = updating("allowed: [formal study], caps: [{how: formal study, share: 1/2}]")
    assert (found.verdict.value, found.remedy) == ("not met", None)


def test_updating_owed_in_days_is_proposed_in_hours() -> None:
    found = updating("hours_a_day: 7, allowed: [supervised practice]", amount="10 days")
    assert (found.needed, found.unit) == (10.0, "days")
    assert found.remedy is not None
    assert found.remedy.what == "70 hours more of supervised practice"


def test_updating_that_falls_out_of_the_window_meanwhile_is_made_up_too() -> None:
    days = [f"2025-06-{number:02}" for number in range(2, 31)]
    done = [f"how: formal study, start: {day}, end: {day}, hours: 4" for day in days]
    remedy = updating("within: P1Y", *done, amount="120 hours").remedy
    assert remedy is not None
    # By 3 June 2026 those of 2 and 3 June 2025 are out: 8 hours beside the 4 that lack.
    assert remedy.what == "12 hours more of supervised practice, formal study or private study"
    assert remedy.detail == "done full time it takes from 2026-06-01 to 2026-06-03"


def test_what_falls_out_while_much_is_made_up_is_made_up_to_the_last_hour() -> None:
    days = [f"2025-{month:02}-{number:02}" for month in (6, 7) for number in range(2, 31)]
    done = [f"how: formal study, start: {day}, end: {day}, hours: 4" for day in days]
    remedy = updating("within: P1Y", *done, amount="300 hours").remedy
    assert remedy is not None
    # Nothing of the year before is left by then; 300 hours are 43 days of seven hours.
    assert remedy.what.startswith("300 hours more of")
    assert remedy.detail == "done full time it takes from 2026-06-01 to 2026-07-31"


def test_updating_that_is_done_in_time_by_itself_needs_no_more() -> None:
    done = "how: formal study, start: 2026-05-01, end: 2026-06-02, hours: 30"
    remedy = updating("", done).remedy
    assert remedy is not None
    assert remedy.what == "As the file has it, it holds from 2026-06-02 on"
