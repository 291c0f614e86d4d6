"""How long one was registered: in one run, in a run that ended, or in all with breaks."""

from __future__ import annotations

import pytest

from comity.core.eligibility.assessment import Verdict
from tests.unit.core.eligibility.samples import result_of

TWO = """
facts:
  registrations:
    - {id: r1, authority: b, start: 2014-09-01, end: 2021-12-31, category: full}
    - {id: r2, authority: b, start: 2026-05-01, end: .., category: provisional}
"""


def test_the_reason_names_the_registration_that_fulfils() -> None:
    rule = "{kind: registration, held: ever, within: 5 years, for_at_least: 24 months}"
    result = result_of(rule, TWO)
    assert result.verdict is Verdict.MET
    assert result.reason == "registered since 2014-09-01, held until 2021-12-31"
    # By hand: from 1 September 2014 to 31 December 2021 there are 87 months and 30 days of 31.
    assert result.amount == 87.96


def test_a_break_is_not_inside_a_run_without_a_break() -> None:
    facts = """
    facts:
      registrations:
        - {id: r1, authority: b, start: 2024-01-01, end: 2024-12-31}
        - {id: r2, authority: b, start: 2025-07-01, end: 2026-05-31}
    """
    rule = "{kind: registration, held: ever, within: 5 years, for_at_least: 24 months}"
    result = result_of(rule, facts)
    assert result.verdict is Verdict.NOT_MET
    assert result.reason == "registered since 2024-01-01, held until 2024-12-31"


def test_once_registered_for_a_day_is_not_registered_for_long_since() -> None:
    facts = "facts: {registrations: [{id: r, authority: b, start: 2010-01-01, end: 2010-01-01}]}"
    rule = "{kind: registration, held: ever, for_at_least: 12 months}"
    assert result_of(rule, facts).verdict is Verdict.NOT_MET


@pytest.mark.parametrize(
    ("on", "verdict"), [("2029-01-01", Verdict.MET), ("2029-01-02", Verdict.NOT_MET)]
)
def test_two_years_inside_the_last_five_are_counted_across_a_break(
    on: str, verdict: Verdict
) -> None:
    # By hand: 365 days of 2024 and 365 of 2026 are 730; on 2 January 2029 the first is lost.
    facts = """
    facts:
      registrations:
        - {id: r1, authority: b, start: 2024-01-02, end: 2024-12-31}
        - {id: r2, authority: b, start: 2026-01-01, end: 2026-12-31}
    """
    rule = "{kind: registration, held: ever, in_all: 24 months, look_back: 5 years}"
    assert result_of(rule, facts, on=on).verdict is verdict


def test_the_reason_tells_how_long_in_all_inside_the_time_looked_back_at() -> None:
    rule = "{kind: registration, in_all: 24 months, look_back: 5 years}"
    result = result_of(rule, TWO)
    assert result.verdict is Verdict.NOT_MET
    # By hand: 2 June to 31 December 2021 are 213 days, 1 May to 1 June 2026 are 32.
    assert result.reason == "registered for 8.05 of 24 months in all in the last 5 years"
    assert (result.amount, result.shortfall, result.unit) == (8.05, 15.95, "months")


def test_enough_in_all_but_not_today_says_so() -> None:
    facts = "facts: {registrations: [{id: r, authority: b, start: 2022-01-01, end: 2025-12-31}]}"
    rule = "{kind: registration, in_all: 700 days}"
    result = result_of(rule, facts)
    assert result.verdict is Verdict.NOT_MET
    assert result.reason == "registered for 1461 of 700 days in all, but not on that day"


def test_the_category_is_told_where_the_rule_speaks_of_it() -> None:
    rule = "{kind: registration, held: ever, categories: [struck off]}"
    facts = (
        "facts: {registrations: [{id: r, authority: b, start: 2019-01-15, end: 2021-12-01, "
        "category: struck off}]}"
    )
    assert result_of(rule, facts).reason == (
        "registered since 2019-01-15, held until 2021-12-01 (category: struck off)"
    )


def test_a_category_that_does_not_count_is_told() -> None:
    rule = "{kind: registration, categories: [full]}"
    facts = (
        "facts: {registrations: [{id: r, authority: b, start: 2019-01-15, end: .., "
        "category: student}]}"
    )
    assert result_of(rule, facts).reason == (
        "no registration on file counts; the category on file is student"
    )


def test_no_registration_that_counts_is_told_without_a_category() -> None:
    facts = "facts: {registrations: [{id: r, authority: b, start: 2019-01-15, end: ..}]}"
    assert result_of("{kind: registration, authorities: [c]}", facts).reason == (
        "no registration on file counts"
    )


STAYS = """
facts:
  stays:
    - {id: s1, country: XD, start: 2018-01-01, end: 2018-08-31}
    - {id: s2, country: XD, start: 2020-01-01, end: 2020-08-31}
  certificates: []
"""


@pytest.mark.parametrize(
    ("least", "verdict"),
    [
        ("least_stay: 12 months", Verdict.MET),
        ("least_in_all: 12 months", Verdict.NOT_MET),
        # By hand: 243 days and 244 are 487; sixteen months are 486.67.
        ("least_in_all: 16 months", Verdict.NOT_MET),
        ("least_in_all: 17 months", Verdict.MET),
        ("{least_stay: 9 months, least_in_all: 12 months}", Verdict.MET),
        ("{least_stay: 8 months, least_in_all: 12 months}", Verdict.NOT_MET),
    ],
)
def test_stays_of_one_country_matter_when_they_come_to_enough_in_all(
    least: str, verdict: Verdict
) -> None:
    keys = least.strip("{}")
    rule = (
        f"{{kind: for each, over: country of stay, look_back: 10 years, {keys}, "
        "of: {kind: certificate, of: criminal record}}"
    )
    assert result_of(rule, STAYS).verdict is verdict


def test_a_registration_that_ended_too_long_ago_is_told_with_its_days() -> None:
    rule = "{kind: registration, held: ever, within: 12 months}"
    facts = "facts: {registrations: [{id: r, authority: b, start: 2019-01-15, end: 2021-12-01}]}"
    found = result_of(rule, facts)
    assert found.verdict is Verdict.NOT_MET
    assert found.reason == "registered since 2019-01-15, held until 2021-12-01"
