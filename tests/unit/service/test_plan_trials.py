from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.declaring.amounts import Money
from comity.demo.caseload import demo_files
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts
from comity.service.plan_days import days_of
from comity.service.plan_drawing import page_schedule_of
from comity.service.plan_payments import paid_before, payments_shown, purposes_of
from comity.service.plan_titles import followed, open_titles
from comity.service.plan_trials import Difference, Moved, Trial, difference, wished
from comity.service.planning import Plan, Wishes, plan

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant

TODAY = day_from_date(date(2026, 11, 25))
RULEBOOKS = load_rulebook_texts(
    {name: text for name, text in demo_files().items() if name.startswith("rulebooks/")}
).rulebooks
REGISTER = next(each for each in RULEBOOKS if each.authority.id == "xb-register")
XB = "xb-register/dietitian"


def person(name: str = "hana", more: str = "") -> Applicant:
    text = demo_files()[f"applicants/{name}.yaml"]
    found = read_applicant(f"{text.rstrip()}\n{more}", f"{name}.yaml").applicant
    assert found is not None
    return found


def planned(applicant: Applicant, trial: Trial | None = None) -> Plan:
    wishes = replace(wished(Wishes(TODAY), trial or Trial()), draws=200)
    return plan(applicant, REGISTER, "dietitian", wishes=wishes)


def test_what_is_left_out_of_a_trial_stays_as_it_is() -> None:
    wishes = Wishes(TODAY, study_minutes_a_week=300, savings=Money(100, "EUR"))
    assert wished(wishes, Trial()) == wishes


def test_no_trial_begins_before_the_plan() -> None:
    assert wished(Wishes(TODAY), Trial(start=TODAY - 5)).start == TODAY


def test_a_trial_is_added_to_what_is_wished() -> None:
    wishes = Wishes(TODAY, skipped_sittings=(1,), blocked=((1, 2),))
    tried = wished(wishes, Trial(skipped=(9,), blocked=((5, 7),), study_minutes_a_week=60))
    assert tried.skipped_sittings == (1, 9)
    assert tried.blocked == ((1, 2), (5, 7))
    assert tried.study_minutes_a_week == 60


def test_a_later_start_moves_what_it_moves() -> None:
    hana = person()
    found = difference(planned(hana), planned(hana, Trial(start=TODAY + 30)))
    assert found.moved[0].label == "Sending the application"
    assert all(each.days >= 0 for each in found.moved)
    assert found.moved[-1].days > 0
    assert found.dearer_by == 0


@pytest.mark.parametrize(
    ("before", "after", "is_worth"),
    [(10, 11, False), (10, 12, True), (10, 8, True), (None, 8, True), (None, None, False)],
)
def test_days_that_chance_may_move_are_not_worth_a_word(
    before: int | None, after: int | None, *, is_worth: bool
) -> None:
    assert Moved("x", before, after).is_worth_a_word is is_worth


@pytest.mark.parametrize(("after", "is_worth"), [(100_400, False), (101_000, True), (90_000, True)])
def test_money_that_chance_may_move_is_not_worth_a_word(after: int, *, is_worth: bool) -> None:
    assert Difference((), "EUR", 100_000, after).cost_is_worth_a_word is is_worth


# -------------------------------------------------------------------------- titles, days, drawing


def test_titles_begun_stand_first_then_those_reached_first() -> None:
    titles = open_titles(person(), RULEBOOKS, today_at=lambda _zone: TODAY)
    assert [each.last_day for each in titles] == sorted(each.last_day for each in titles)
    assert "xc-board/practising" not in [each.key for each in titles]
    assert followed(titles) == titles[:1]
    more = f"progress: [{{id: p, milestone: {XB}/submission, on: 2026-11-20}}]\n"
    begun = open_titles(person(more=more), RULEBOOKS, today_at=lambda _zone: TODAY)
    assert begun[0].key == XB
    assert [each.key for each in followed(begun)] == [XB]


def test_days_for_calendars_are_ahead_and_named_once() -> None:
    days = days_of(planned(person()))
    assert days
    assert min(each.day for each in days) >= TODAY
    assert len({each.key for each in days}) == len(days)
    assert all(each.key.startswith(f"{XB}/") for each in days)


def test_a_drawing_for_applicants_says_nothing_of_chances() -> None:
    made = planned(person())
    office, plain = page_schedule_of(made), page_schedule_of(made, is_plain=True)
    assert office is not None
    assert plain is not None
    assert "of 100 cases" in str(office.wide)
    for spec in (plain.wide, plain.narrow):
        assert "of 100 cases" not in str(spec)
        assert spec["background"] is None
    assert plain.narrow["width"] < 300 < plain.wide["width"]


# --------------------------------------------------------------------------------------- payments

PAID = """
payments:
  - {id: a, purpose: xb-register/dietitian/application, amount: 90.00 EUR, on: 2026-11-01}
  - {id: b, purpose: xa-council/dietitian/application, amount: 90.00 EUR, on: 2026-11-02}
  - {id: c, purpose: translation, amount: 30.00 EUR, on: 2026-11-03, refundable_until: 2026-12-01}
  - {id: d, purpose: translation, amount: 30.00 EUR, on: 2026-11-04, refunded: 2026-11-05}
"""


def test_payments_of_other_titles_are_not_shown() -> None:
    shown = payments_shown(planned(person(more=PAID)), today=TODAY)
    assert [each.entry for each in shown] == ["d", "c", "a"]
    assert [each.can_be_had_back for each in shown] == [False, True, False]


def test_what_was_paid_back_is_not_paid_twice() -> None:
    hana = person(more=PAID)
    assert [each.id for each in paid_before(hana, "translation", None)] == ["c"]
    assert [each.id for each in paid_before(hana, f"{XB}/application", None)] == ["a"]
    assert paid_before(hana, f"{XB}/application", 2) == ()


def test_what_can_be_paid_for_are_the_fees_of_the_title() -> None:
    made = planned(person())
    assert [label for _name, label in purposes_of(made)] == [f.label for f in made.route.title.fees]
    assert all(name.startswith(f"{XB}/") for name, _label in purposes_of(made))
