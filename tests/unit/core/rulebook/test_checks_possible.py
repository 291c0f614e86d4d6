"""What no applicant can meet is told; what somebody can, is left alone."""

from __future__ import annotations

import pytest

from comity.core.rulebook.checks_possible import find_impossible
from tests.unit.core.rulebook.samples import edition, requirement, title


def messages(*texts: str) -> list[str]:
    """Return what is said of requirements that all applicants of a title must meet."""
    found = find_impossible(edition(title(requires=tuple(map(requirement, texts)))))
    return [each.message.removeprefix("no applicant can meet this: ") for each in found]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "{kind: practice, amount: 60 months, full_time: 40, look_back: 24 months}",
            "60 months do not fit into 24 months",
        ),
        (
            "{kind: practice, amount: 800 days, full_time: 40, look_back: 2 years}",
            "800 days do not fit into 2 years",
        ),
        (
            "{kind: registration, in_all: 5 years, look_back: 2 years}",
            "5 years do not fit into 2 years",
        ),
        (
            "{kind: qualification, within: 12 months, at_least_ago: 24 months}",
            "at least 24 months is longer than at most 12 months",
        ),
        (
            "{kind: qualification, completed_from: 2020-01-01, completed_until: 2019-12-31}",
            "it lies before completed_from",
        ),
        (
            "{kind: elapsed, since: registration, at_least: 8 weeks, within: 14 days}",
            "at least 8 weeks is longer than at most 14 days",
        ),
        (
            "{kind: age, at_least: 60 years, below: 21 years}",
            "nobody is at least 60 years and below 21 years old",
        ),
    ],
)
def test_values_that_exclude_each_other_are_told(text: str, message: str) -> None:
    assert messages(text) == [message]


@pytest.mark.parametrize(
    "text",
    [
        "{kind: practice, amount: 24 months, full_time: 40, look_back: 24 months}",
        (
            "{kind: practice, amount: 30 months, full_time: 40, look_back: 24 months, "
            "overlap_cap: 1.25}"
        ),
        "{kind: practice, amount: 60 months, full_time: 40}",
        "{kind: practice, amount: 9000 hours, look_back: 12 months}",
        (
            "{kind: practice, amount: 60 months, full_time: 40, hours_a_month: 20, "
            "look_back: 24 months}"
        ),
        "{kind: practice, amount: 300 days, hours_a_day: 1, full_time: 40, look_back: 2 months}",
        "{kind: registration, in_all: 24 months, look_back: 24 months}",
        "{kind: registration, in_all: 24 months}",
        "{kind: qualification, within: 24 months, at_least_ago: 24 months}",
        "{kind: qualification, completed_from: 2020-01-01}",
        "{kind: elapsed, since: registration, at_least: 14 days, within: 8 weeks}",
        "{kind: age, at_least: 18 years, below: 60 years}",
    ],
)
def test_what_somebody_can_meet_is_left_alone(text: str) -> None:
    assert messages(text) == []


OLD = "{kind: age, at_least: 60 years}"
YOUNG = "{kind: age, below: 21 years}"


def test_two_ages_asked_of_everybody_are_compared() -> None:
    assert messages(OLD, YOUNG) == ["nobody is at least 60 years and below 21 years old"]
    assert messages(YOUNG, OLD) == ["nobody is at least 60 years and below 21 years old"]


@pytest.mark.parametrize(
    "other",
    [
        "{kind: age, below: 21 years, at: registration}",
        "{kind: age, below: 21 years, when: {kind: nationality, countries: [XA]}}",
        "{kind: not, of: {kind: age, below: 21 years}}",
        "{kind: age, below: 70 years}",
    ],
)
def test_ages_asked_at_other_times_or_of_some_are_left_alone(other: str) -> None:
    assert messages(OLD, other) == []
