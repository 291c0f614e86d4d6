"""What is said of practice, interruptions and recency."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult


def practice(requirement: str, *posts: str, more: str = "") -> RequirementResult:
    """Return what posts give, asked on 1 June 2026."""
    entries = ", ".join(f"{{id: p{number}, {post}}}" for number, post in enumerate(posts))
    return result_of(f"{{{requirement}}}", f"facts: {{practice: [{entries}]{more}}}")


# -------------------------------------------------------------------------------------- amounts


RUNS = {
    ("3 weeks", "2026-05-20", ".."): (1.85, "1.85 weeks; 3 weeks asked"),
    ("10 days", "2026-05-28", "2026-05-30"): (3.0, "3 days; 10 days asked"),
    ("4 years", "2023-05-20", ".."): (3.03, "3.03 years; 4 years asked"),
    ("4 months", "2026-07-01", ".."): (0.0, "0 months; 4 months asked"),
}


@pytest.mark.parametrize("case", RUNS)
def test_the_longest_run_is_measured_in_the_unit_asked(case: tuple[str, str, str]) -> None:
    amount, start, end = case
    text = f"kind: practice, run: consecutive, amount: {amount}"
    found = practice(text, f"start: {start}, end: {end}")
    measured, words = RUNS[case]
    assert found.amount == measured
    assert found.reason == f"the longest run without a break lasts {words}"


def test_a_run_is_cut_where_the_time_looked_back_at_begins() -> None:
    text = "kind: practice, run: consecutive, amount: 3 years, look_back: P2Y"
    assert practice(text, "start: 2015-01-01, end: ..").amount == 2.0


def test_a_day_of_less_than_full_time_breaks_a_run_of_full_time() -> None:
    text = "kind: practice, run: consecutive, amount: 6 months, full_time: 40"
    posts = [
        "start: 2025-01-01, end: 2025-12-31, hours_a_week: 40",
        "start: 2026-01-01, end: .., hours_a_week: 30",
    ]
    assert practice(f"{text}, look_back: P6M", *posts).amount == 0.96  # 30 days of 31
    assert practice(f"{text}, look_back: P24M", *posts).amount == 12.0


def test_short_pauses_are_bridged_where_the_rule_lets_them() -> None:
    text = "kind: practice, run: consecutive, amount: 12 months"
    posts = ["start: 2025-01-01, end: 2025-06-30", "start: 2025-07-15, end: 2026-05-31"]
    assert practice(text, *posts).verdict.value == "not met"
    assert practice(f"{text}, greatest_pause: P14D", *posts).verdict.value == "met"


AFTER = {
    "registration": ", registrations: [{id: r, start: 2026-01-01, end: ..}]",
    "qualification": ", qualifications: [{id: q, completed: 2026-01-01}]",
}


@pytest.mark.parametrize("event", AFTER)
def test_practice_before_the_event_does_not_count(event: str) -> None:
    post = "start: 2025-05-28, end: .., hours_a_week: 35"
    hours = f"kind: practice, amount: 1200 hours, after: {event}"
    run = f"kind: practice, run: consecutive, amount: 12 months, after: {event}"
    # 1 January to 1 June 2026 are 152 days of five hours.
    assert practice(hours, post, more=AFTER[event]).amount == 760.0
    assert practice(run, post, more=AFTER[event]).amount == 5.03


WORTH = {
    "10 months, hours_a_month: 150": 1500.0,
    "100 days, hours_a_day: 8": 800.0,
    "50 weeks": 2000.0,
    "70 days": 400.0,
    "12 months, measure: '30.4375'": 365.25 * 40 / 7,
}


@pytest.mark.parametrize("amount", WORTH)
def test_an_amount_is_worth_its_hours(amount: str) -> None:
    text = f"kind: practice, full_time: 40, amount: {amount}"
    post = "start: 2026-05-29, end: .., hours_a_week: 40"  # four days by 1 June
    share = practice(text, post).amount
    needed = float(amount.split(maxsplit=1)[0])
    assert share == pytest.approx(needed * (4 * 40 / 7) / WORTH[amount], abs=0.01)


def test_a_post_of_too_few_hours_does_not_count() -> None:
    text = "kind: practice, full_time: 40, amount: 12 months, scope: {least_hours_a_week: 16}"
    assert practice(text, "start: 2020-01-01, end: .., hours_a_week: 15").amount == 0.0
    assert practice(text, "start: 2020-01-01, end: .., hours_a_week: 16").verdict.value == "met"


def test_work_that_lacks_is_proposed_in_a_post_that_would_count() -> None:
    text = """
        kind: practice, full_time: 40, amount: 12 months,
        scope: {supervised: yes, countries: [XA], settings: [clinical]}
    """
    found = practice(" ".join(text.split()))
    assert found.remedy is not None
    assert found.remedy.plain == (
        "Work under supervision in XA (setting: clinical) full time until 31 May 2027."
    )


# ------------------------------------------------------------------------- interruptions, recency


GAP = "kind: interruption, greatest: P2Y, anchor: after last practice day, since: first practice"


def test_without_any_practice_there_is_nothing_to_count_from() -> None:
    assert practice(GAP).reason == "there is no first practice yet to count from"


def test_practice_without_a_break_has_no_interruption() -> None:
    found = practice(GAP, "start: 2025-07-28, end: ..")
    assert (found.reason, found.amount) == ("no interruption", 0.0)


def test_the_longest_interruption_is_told_with_its_days_and_how_much_too_long_it_was() -> None:
    found = practice(GAP, "start: 2015-07-28, end: 2022-01-01", "start: 2024-05-01, end: ..")
    assert found.reason == (
        "the longest interruption lasted 27 months and 29 days, from 2022-01-02 to 2024-04-30; "
        "2 years allowed, 3 months and 29 days too long"
    )


def test_an_interruption_allowed_in_days_is_told_in_days() -> None:
    text = "kind: interruption, greatest: P100D, anchor: beginning first idle day"
    found = practice(
        text,
        "start: 2020-02-28, end: 2022-01-01",
        "start: 2022-02-01, end: ..",
        more=", qualifications: [{id: q, completed: 2020-02-01}]",
    )
    assert found.reason == (
        "the longest interruption lasted 30 days, from 2022-01-02 to 2022-01-31; 100 days allowed"
    )


def test_recency_goes_by_the_latest_of_what_counts() -> None:
    text = "kind: recency, within: P100D, counts: [practice, qualification]"
    found = practice(text, more=", qualifications: [{id: q, completed: 2020-01-01}]")
    assert found.reason == "the last day of qualification was 2020-01-01; 100 days allowed"
    assert (found.amount, found.unit) == (2343.0, "days")


def test_what_lies_ahead_does_not_count_as_recent() -> None:
    text = "kind: recency, within: P2Y, counts: [qualification]"
    found = practice(text, more=", qualifications: [{id: q, completed: 2027-01-01}]")
    assert found.reason == "nothing on file counts as qualification"


def test_where_practice_does_not_count_returning_to_it_is_no_remedy() -> None:
    text = "kind: recency, within: P2Y, counts: [registration]"
    assert practice(text, more=", registrations: []").remedy is None


def test_returning_to_practice_takes_the_hours_that_make_a_post_count() -> None:
    text = "kind: recency, within: P2Y, scope: {least_hours_a_week: 50}"
    found = practice(text, "start: 2025-07-28, end: .., hours_a_week: 20")
    assert found.remedy is not None
    assert found.remedy.what == "Return to practice; it counts from the first day"
