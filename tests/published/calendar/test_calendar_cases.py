"""Our calendar against judgments, statutes, manuals and other libraries; sources in case.json."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import holidays
import numpy as np
import pandas as pd
import pytest
from dateutil.relativedelta import relativedelta

from comity.core.days.accumulate import amount_on, days_with_amount
from comity.core.days.calendar import (
    FOREVER,
    add_months_clamp,
    add_months_roll,
    date_from_day,
    day_from_date,
    iso,
    last_day_with_clamp_at_most,
)
from comity.core.days.dayset import DaySet
from comity.core.days.partial import parse_partial_date
from comity.core.days.period import Period
from comity.core.days.steps import Steps
from comity.core.days.workdays import (
    WorkCalendar,
    nth_working_day_after,
    working_day_on_or_after,
    working_days_between,
)

Case = dict[str, Any]
CASES: Case = json.loads((Path(__file__).parent / "case.json").read_text(encoding="utf-8"))


def day(text: str) -> int:
    return day_from_date(date.fromisoformat(text))


def period_of(case: Case) -> Period:
    return Period(case.get("months", 0), case.get("days", 0))


def mask_of(weekend: list[int]) -> str:
    return "".join("0" if each in weekend else "1" for each in range(7))


def name(case: Case) -> str:
    facts = [str(value) for key, value in case.items() if key not in {"n", "source", "basis"}]
    return f"value {case['n']} ({case['source']}): {' '.join(facts)}"


def every_entry(value: object) -> list[Case]:
    if isinstance(value, dict):
        below = [each for item in value.values() for each in every_entry(item)]
        return [value, *below] if "n" in value else below
    return [each for item in value for each in every_entry(item)] if isinstance(value, list) else []


def test_every_value_from_1_to_36_is_checked_and_names_its_source() -> None:
    entries = every_entry(CASES)
    assert {entry["n"] for entry in entries} == set(range(1, 37))
    assert {entry["source"] for entry in entries} <= set(CASES["sources"])


@pytest.mark.parametrize("case", CASES["after"], ids=name)
def test_the_last_day_of_a_period_after_an_event(case: Case) -> None:
    assert iso(period_of(case).after(day(case["event"]))) == case["last_day"]


@pytest.mark.parametrize("case", CASES["after"], ids=name)
def test_the_last_day_after_an_event_agrees_with_dateutil(case: Case) -> None:
    step = relativedelta(months=case.get("months", 0), days=case.get("days", 0))
    assert (date.fromisoformat(case["event"]) + step).isoformat() == case["last_day"]


@pytest.mark.parametrize("case", CASES["after"], ids=name)
def test_the_last_day_after_an_event_agrees_with_pandas(case: Case) -> None:
    step = pd.DateOffset(months=case.get("months", 0), days=case.get("days", 0))
    assert (pd.Timestamp(case["event"]) + step).date().isoformat() == case["last_day"]


@pytest.mark.parametrize("case", CASES["beginning_with"], ids=name)
def test_the_last_day_of_a_period_that_begins_with_a_day(case: Case) -> None:
    assert iso(period_of(case).beginning(day(case["first_day"])) - 1) == case["last_day"]


@pytest.mark.parametrize("case", CASES["beginning_with"], ids=name)
def test_the_last_day_of_such_a_period_by_counting_month_by_month(case: Case) -> None:
    first = date.fromisoformat(case["first_day"])
    following = date(first.year, first.month, 1) + relativedelta(months=case["months"])
    days_in_month = (following + relativedelta(months=1) - following).days
    end = following + timedelta(days=min(first.day - 1, days_in_month))
    assert (end - timedelta(days=1)).isoformat() == case["last_day"]


def test_months_are_counted_from_the_anchor_never_chained() -> None:
    case = CASES["chained"]
    chained = day(case["event"])
    for _ in range(case["steps"]):
        chained = add_months_clamp(chained, 1)
    assert iso(chained) == case["chained"]
    assert iso(add_months_clamp(day(case["event"]), case["steps"])) == case["anchored"]


def test_months_added_and_taken_away_again_need_not_return() -> None:
    case = CASES["back_and_forth"]
    there = add_months_clamp(day(case["event"]), case["months"])
    assert iso(add_months_clamp(there, -case["months"])) == case["back"]


@pytest.mark.parametrize("case", CASES["remaining_validity"], ids=name)
def test_the_last_day_with_enough_validity_left(case: Case) -> None:
    expiry = day(case["expiry"])
    assert iso(last_day_with_clamp_at_most(expiry, case["months"])) == case["last_good_day"]
    assert iso(add_months_clamp(expiry, -case["months"])) == case["backwards"]


@pytest.mark.parametrize("case", CASES["remaining_validity"], ids=name)
def test_the_last_day_with_enough_validity_left_by_search_with_dateutil(case: Case) -> None:
    expiry, step = date.fromisoformat(case["expiry"]), relativedelta(months=case["months"])
    days = [expiry - timedelta(days=back) for back in range(400)]
    assert max(each for each in days if each + step <= expiry).isoformat() == case["last_good_day"]


@pytest.mark.parametrize("case", CASES["days_in_months_from"], ids=name)
def test_the_days_in_a_number_of_months(case: Case) -> None:
    first = day(case["first_day"])
    assert add_months_roll(first, case["months"]) - first == case["days"]


@pytest.mark.parametrize("case", CASES["days_in_trailing_window"], ids=name)
def test_the_days_in_a_trailing_window(case: Case) -> None:
    always = Steps.of_days(DaySet.full(1), 1)
    amount = amount_on(always, day=day(case["on"]), window=Period(months=case["months"]))
    assert amount.tolist() == [case["days"]]


def test_months_come_before_days() -> None:
    case = CASES["order_of_months_and_days"]
    event = day(case["event"])
    assert iso(add_months_clamp(event + 1, 1)) == case["day_first"]
    assert iso(Period(months=1, days=1).after(event)) == case["month_first"]


def test_two_years_of_full_time_practice_are_24_months_only_by_the_lenient_measure() -> None:
    case = CASES["full_time_months"]
    first, last = day(case["first_day"]), day(case["last_day"])
    practice = Steps.of_days(DaySet.between(first, last + 1, n_rows=1), 100)
    assert amount_on(practice, day=last, window=Period(months=60)).tolist() == [100 * case["days"]]
    for days_times_100, reached in [
        (24 * 36_500 // 12, case["reaches_365_twelfths"]),
        (24 * 304_375 // 100, case["reaches_30_4375"]),
    ]:
        enough = days_with_amount(practice, threshold=days_times_100, window=Period(months=60))
        assert enough.contains(last).tolist() == [reached]


def test_a_deadline_on_a_saturday_runs_to_monday_where_the_rule_says_so() -> None:
    case = CASES["weekend_extension"]
    assert iso(working_day_on_or_after(day(case["last_day"]), WorkCalendar())) == case["extended"]


@pytest.mark.parametrize("case", CASES["working_days_after"], ids=name)
def test_the_nth_working_day_after_an_event(case: Case) -> None:
    calendar = WorkCalendar(frozenset(case["weekend"]))
    assert iso(nth_working_day_after(day(case["event"]), case["count"], calendar)) == case["day"]


@pytest.mark.parametrize("case", CASES["working_days_after"], ids=name)
def test_the_nth_working_day_agrees_with_numpy(case: Case) -> None:
    # With roll="backward" an event on a weekend counts from the working day before it.
    found = np.busday_offset(
        case["event"], case["count"], roll="backward", weekmask=mask_of(case["weekend"])
    )
    assert str(found) == case["day"]


@pytest.mark.parametrize("case", CASES["working_days_between"], ids=name)
def test_the_working_days_in_a_span_agree_with_numpy(case: Case) -> None:
    calendar = WorkCalendar(frozenset(case["weekend"]))
    start, end = day(case["start"]), day(case["end"])
    assert working_days_between(start, end, calendar) == case["days"]
    counted = np.busday_count(case["start"], case["end"], weekmask=mask_of(case["weekend"]))
    assert int(counted) == case["days"]


def test_working_days_past_public_holidays() -> None:
    case = CASES["holidays"]
    days = holidays.country_holidays(case["country"], years=case["years"], expand=False)
    event = day(case["event"])
    kept = WorkCalendar(holidays=tuple(map(day_from_date, days)))
    assert iso(nth_working_day_after(event, case["count"], kept)) == case["with"]
    assert iso(nth_working_day_after(event, case["count"], WorkCalendar())) == case["without"]
    by_numpy = np.busday_offset(case["event"], case["count"], holidays=list(days))
    by_pandas = pd.Timestamp(case["event"]) + pd.offsets.CustomBusinessDay(
        case["count"], holidays=list(days)
    )
    assert str(by_numpy) == by_pandas.date().isoformat() == case["with"]


def test_a_holiday_and_its_observed_day_are_a_set_and_count_once_each() -> None:
    case = CASES["observed_holidays"]
    days = holidays.country_holidays(
        case["country"], subdiv=case["subdivision"], years=2027, expand=False
    )
    december = sorted(each for each in days if each.month == 12)
    assert [each.isoformat() for each in december] == case["december_2027"]
    calendar = WorkCalendar(holidays=tuple(map(day_from_date, december)))
    # Of the four, the 25th and 26th lie on a weekend: two working days fewer, not four.
    found = working_days_between(day("2027-12-01"), day("2028-01-01"), calendar)
    assert found == int(np.busday_count("2027-12-01", "2028-01-01")) - 2


@pytest.mark.parametrize("event", ["2026-01-01", "2026-03-06", "2026-03-07", "2026-12-31"])
@pytest.mark.parametrize("weekend", [[5, 6], [4, 5], [4], [6]])
def test_working_days_agree_with_numpy_and_pandas_through_a_year(
    event: str, weekend: list[int]
) -> None:
    closed = [date(2026, 3, 17), date(2026, 5, 1), date(2027, 1, 1), date(2026, 5, 2)]
    ours = WorkCalendar(frozenset(weekend), tuple(map(day_from_date, closed)))
    mask = mask_of(weekend)
    for count in range(1, 260, 7):
        found = iso(nth_working_day_after(day(event), count, ours))
        by_numpy = np.busday_offset(event, count, roll="backward", weekmask=mask, holidays=closed)
        step = pd.offsets.CustomBusinessDay(
            count,
            weekmask=" ".join(_DAY_NAMES[i] for i in range(7) if i not in weekend),
            holidays=closed,
        )
        assert found == str(by_numpy) == (pd.Timestamp(event) + step).date().isoformat()


_DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@pytest.mark.parametrize("case", CASES["partial"], ids=name)
def test_a_certificate_issued_on_an_unknown_day_of_a_month(case: Case) -> None:
    issued, age = parse_partial_date(case["issued"]), Period(months=case["months"])
    certain = DaySet.between(issued.latest, age.after(issued.earliest) + 1, n_rows=1)
    possible = DaySet.between(issued.earliest, age.after(issued.latest) + 1, n_rows=1)
    for found, expected in [(certain, case["certain"]), (possible, case["possible"])]:
        assert [(iso(start), iso(end - 1)) for start, end in found.runs_of(0)] == [tuple(expected)]


@pytest.mark.parametrize("case", CASES["partial"], ids=name)
def test_such_a_certificate_world_by_world(case: Case) -> None:
    issued = parse_partial_date(case["issued"])
    worlds = []
    for each in range(issued.earliest, issued.latest + 1):
        end = date_from_day(each) + relativedelta(months=case["months"])
        worlds.append(set(range(each, day_from_date(end) + 1)))
    certain, possible = set.intersection(*worlds), set.union(*worlds)
    assert [iso(min(certain)), iso(max(certain))] == case["certain"]
    assert [iso(min(possible)), iso(max(possible))] == case["possible"]
    assert max(possible) < FOREVER
