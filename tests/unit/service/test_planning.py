"""Plans of the invented applicants: spreads, order dates, cost, what is said of them."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from comity.core.days.calendar import iso
from comity.core.declaring import Money
from comity.core.plan.ordering import Search
from comity.core.plan.policies import Policy
from comity.core.plan.simulating import draw
from comity.files.applicants import load_applicant, read_applicant
from comity.files.exchange_rates import rates_of
from comity.files.rulebooks import load_rulebooks
from comity.service.planning import Plan, Wishes, plan
from comity.service.planning_after import after_failure, licence_said, reminders
from comity.service.planning_files import calendar_of, chart_of, schedule_of
from comity.service.planning_json import plan_data
from comity.service.planning_money import before_paying, before_paying_said, fee_said, paid_said
from comity.service.planning_next import next_actions, plan_cautions
from comity.service.planning_words import warnings
from tests.unit.core.rulebook.samples import day

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Rulebook

DEMO = Path(__file__).parents[3] / "src" / "comity" / "demo"
TODAY = day("2026-11-25")
BOOKS = {book.authority.id: book for book in load_rulebooks([DEMO / "rulebooks"]).rulebooks}
RATES = rates_of(b"Date,USD,KWD\n2026-11-20,1.25,0.5\n", "rates.csv")[0]


def person(name: str) -> Applicant:
    found = load_applicant(DEMO / "applicants" / f"{name}.yaml").applicant
    assert found is not None
    return found


def made(name: str, authority: str, title: str = "dietitian", **wishes: object) -> Plan:
    key = (name, authority, title, *sorted(wishes.items(), key=lambda pair: pair[0]))
    if str(key) not in KNOWN:
        given = Wishes(TODAY, **{"draws": 2_000, **wishes})  # type: ignore[arg-type]
        KNOWN[str(key)] = plan(person(name), BOOKS[authority], title, wishes=given)
    return KNOWN[str(key)]


KNOWN: dict[str, Plan] = {}
"""Plans made so far, by what was asked."""
ZDENKA = ("zdenka", "xa-council")


def test_the_same_seed_gives_the_same_plan_and_another_one_another() -> None:
    first, again = (
        plan(person("zdenka"), BOOKS["xa-council"], "dietitian", wishes=Wishes(TODAY, 500, seed=7))
        for _ in range(2)
    )
    assert plan_data(first) == plan_data(again)
    assert plan_data(first) != plan_data(made(*ZDENKA, draws=500, seed=8))


def test_milestones_come_in_order_and_their_spreads_do_not_cross() -> None:
    found = made(*ZDENKA)
    assert list(found.milestones) == ["submission", "decision", "registration"]
    for spread in found.milestones.values():
        days = [d for d in (spread.p10, spread.p50, spread.p80, spread.p95) if d is not None]
        assert days == sorted(days)
    middles = [spread.p50 or 0 for spread in found.milestones.values()]
    assert middles == sorted(middles)


def test_verification_goes_on_beside_the_examination_and_both_end_before_submission() -> None:
    """Common practice, no source: the two run side by side, and both come before applying."""
    found = made(*ZDENKA)
    verify, sit = found.times["verify"], found.times["sit"]
    submission = found.milestones["submission"]
    assert verify.start.p50 is not None
    assert sit.end.p50 is not None
    assert submission.p50 is not None
    assert verify.end.p50 is not None
    assert verify.start.p50 < sit.end.p50
    assert max(verify.end.p50, sit.end.p50) <= submission.p50


def test_passing_more_surely_brings_submission_no_later_and_costs_no_more() -> None:
    likely = made(*ZDENKA, p_pass=0.95)
    unlikely = made(*ZDENKA, p_pass=0.3)
    assert likely.milestones["submission"].never < unlikely.milestones["submission"].never
    assert likely.budget is not None
    assert unlikely.budget is not None
    assert likely.budget.mean < unlikely.budget.mean


def test_recommended_order_dates_beat_ordering_now_and_at_the_end_by_half() -> None:
    """On fresh futures of the demo. At the end is on the day on which the pass is known."""
    found = made(*ZDENKA)
    rng = np.random.default_rng(99)
    fresh = Search(found.route.network, found.route.first, draw(found.route.network, 4_000, rng))
    recommended = fresh.judge([each.policy for each in found.orders])
    now = fresh.judge([Policy(paper) for paper in fresh.papers])
    end = fresh.judge([Policy(paper, "end", "sit") for paper in fresh.papers])
    assert recommended.cost <= now.cost / 2
    assert recommended.cost <= end.cost / 2


def test_fees_are_counted_with_documents_attempts_and_ranges() -> None:
    found = made(*ZDENKA, p_pass=1.0)
    assert found.budget is not None
    by_id = {line.fee.id: line for line in found.budget.lines}
    assert by_id["verification"].p50 == 2 * 6_400
    assert by_id["examination"].p50 == by_id["examination"].p80 == 41_000
    assert 2_000 <= by_id["certificates"].p50 <= by_id["certificates"].p80 <= 7_500
    # Application 205, as the 2027 edition asks on the planned day, and entry 95.
    assert by_id["application"].p50 == 20_500
    lowest = 2 * 6_400 + 41_000 + 2_000 + 20_500 + 9_500
    assert lowest <= found.budget.p50 <= lowest + 5_500
    # Entry is the only fee that is paid back on refusal.
    assert found.budget.refundable_p50 == 9_500


def test_another_currency_is_counted_in_at_the_rate_of_the_users_file() -> None:
    euros = made("soren", "xb-register")
    dinars = made("soren", "xb-register", currency="KWD", rates=RATES)
    assert euros.budget is not None
    assert dinars.budget is not None
    assert dinars.budget.currency == "KWD"
    # 115.00 EUR at 0.5 are 57.500 KWD, which has three decimals.
    assert {line.fee.id: line.p50 for line in dinars.budget.lines}["register"] == 57_500
    assert plan_data(dinars)["cost"]["p50"].split(".")[1].isdigit()
    assert len(plan_data(dinars)["cost"]["p50"].split(".")[1]) == 3


def test_stale_rates_are_marked() -> None:
    old = rates_of(b"Date,USD\n2026-11-01,1.25\n", "rates.csv")[0]
    fresh = made("soren", "xc-board", currency="EUR", rates=RATES)
    stale = made("soren", "xc-board", currency="EUR", rates=old)
    assert not any("exchange rates" in each for each in warnings(fresh))
    assert any(
        each.startswith("The exchange rates for USD are older than 14 days")
        for each in warnings(stale)
    )


def test_little_money_a_month_holds_the_fees_back_until_it_is_there() -> None:
    free = made("soren", "xb-register")
    tight = made("soren", "xb-register", savings=Money(10_000, "EUR"))
    assert tight.limited is not None
    assert free.milestones["submission"].p10 is not None
    assert tight.milestones["submission"].p10 is not None
    # 340.00 at most falls due with the application: four months of 100.00.
    assert iso(tight.milestones["submission"].p10) >= "2027-03-25"
    assert tight.milestones["submission"].p10 > free.milestones["submission"].p10


def test_more_hours_a_week_make_studying_shorter() -> None:
    slow, fast = (made(*ZDENKA, study_minutes_a_week=hours * 60) for hours in (5, 40))
    assert fast.times["study"].end.p50 is not None
    assert slow.times["study"].end.p50 is not None
    # 110 hours: 22 weeks at 5 a week; 2.75 weeks, 20 days to the day, at 40.
    assert slow.times["study"].end.p50 - TODAY == 154
    assert fast.times["study"].end.p50 - TODAY == 20


def test_what_nobody_can_say_when_it_is_met_has_no_plan_and_says_why() -> None:
    found = made("thu", "xa-council")
    assert not found.is_possible
    assert not found.can_be_opened
    assert warnings(found) == (
        (
            "No plan leads to this licence as things stand: nobody can say when “Degree in"
            " dietetics” is met."
        ),
    )


def test_next_actions_come_by_day_and_name_what_can_be_done_now() -> None:
    actions = next_actions(made(*ZDENKA))
    assert [each.day for each in actions] == sorted(each.day for each in actions)
    assert {"verify", "study"} <= {each.step for each in actions if each.day == TODAY}
    assert all(each.day >= TODAY for each in actions)


def test_assumptions_are_said_beside_every_plan() -> None:
    said = plan_cautions(made(*ZDENKA))
    assert any("70 of 100 cases; this is an assumption" in each for each in said)
    assert any("beta-PERT" in each for each in said)
    assert any("The authority decides" in each for each in said)


def test_before_each_fee_that_is_lost_on_refusal_one_is_told_what_must_hold() -> None:
    gates = {each.fee: each for each in before_paying(made(*ZDENKA))}
    assert "entry" not in gates  # paid back on refusal
    # Nobody knows of the degree, so nothing is paid before; the rest only matters on handing in.
    assert gates["verification"].open == ("Degree in dietetics",)
    assert "Halvenian Dietetics Examination" in gates["application"].open
    assert not gates["application"].is_go
    said = before_paying_said(made(*ZDENKA))
    assert all("lost if you are refused" in each for each in said)
    assert [each.day for each in before_paying(made(*ZDENKA))] == sorted(
        each.day or 0 for each in gates.values()
    )


def test_the_json_has_the_keys_agreed_on() -> None:
    data = plan_data(made(*ZDENKA))
    assert list(data) == [
        "applicant", "authority", "title", "edition", "steps", "milestones", "order_dates",
        "cost", "next_actions", "warnings", "cautions",
    ]  # fmt: skip
    assert list(data["steps"][0]) == [
        "id", "label", "party", "start", "finish", "criticality", "fee", "source",
    ]  # fmt: skip
    assert list(data["milestones"][0]) == ["id", "p10", "p50", "p80", "p95"]
    assert list(data["order_dates"][0]) == [
        "paper", "policy", "earliest", "recommended", "latest", "lapse_risk", "delay_risk",
    ]  # fmt: skip
    assert list(data["cost"]) == ["currency", "p50", "p80", "by_month"]


def test_the_picture_and_the_calendar_tell_the_same_days() -> None:
    found = made(*ZDENKA)
    points = {point.label: point.on for point in schedule_of(found).points}
    text = calendar_of([found]).replace("\r\n ", "")
    for label, on in points.items():
        assert f"SUMMARY:{label}" in text
        assert f"DTSTART;VALUE=DATE:{iso(on).replace('-', '')}" in text
    assert "Decide on the application" in chart_of(found)


@pytest.mark.parametrize("book", BOOKS.values(), ids=BOOKS.keys())
def test_every_title_of_every_demo_authority_leads_to_a_plan_for_somebody(book: Rulebook) -> None:
    names = ("maria-fernanda", "soren", "eunbi", "rosalind")
    for title in book.titles():
        plans = (made(name, book.authority.id, title, draws=200) for name in names)
        assert any(each.is_possible for each in plans), title


FAILED = (
    "[{id: one, examination: halvenian-dietetics, taken: 2025-10-18, outcome: failed},"
    " {id: two, examination: halvenian-dietetics, taken: 2026-06-13, outcome: failed}]"
)


def failed_twice() -> Applicant:
    source = (DEMO / "applicants" / "zdenka.yaml").read_text("utf-8")
    found = read_applicant(source.replace("examinations: []", f"examinations: {FAILED}"), "z.yaml")
    assert found.applicant is not None
    return found.applicant


def test_after_a_failure_it_says_kindly_what_is_left_when_and_for_how_much() -> None:
    found = plan(failed_twice(), BOOKS["xa-council"], "dietitian", wishes=Wishes(TODAY, draws=300))
    assert after_failure(found) == (
        (
            "A failed attempt is not the end. 1 attempt is left. The next sitting you can be ready"
            " for is on 2027-07-03; enter by 2027-05-07. Another attempt costs 410.00 EUR."
        ),
    )
    assert plan_data(found)["warnings"][0] == after_failure(found)[0]


def test_who_has_not_failed_is_told_nothing_of_failing() -> None:
    assert after_failure(made(*ZDENKA)) == ()


def test_after_the_licence_come_its_days_and_what_renewal_asks() -> None:
    said = licence_said(made("nadir", "xa-council"))
    assert said[0].startswith("Take the registration up by ")
    assert said[-1].startswith("For renewal, “Continuing education”: 0 of 57 units count by then;")


def test_the_calendar_reminds_of_renewal_and_of_taking_the_licence_up() -> None:
    found = made("nadir", "xa-council")
    text = calendar_of([found]).replace("\r\n ", "")
    assert {each.key for each in reminders(found)} == {"claim", "renewal-opens", "ends", "grace"}
    for each in reminders(found):
        assert f"SUMMARY:{each.label}" in text


def test_what_runs_out_in_many_futures_is_named_with_its_last_day() -> None:
    """Under the rules from February 2027 on Kofi has too few hours."""
    said = [each for each in warnings(made("kofi", "xa-council")) if "is not reached in" in each]
    assert len(said) == 1
    assert said[0].endswith("“Hours of practice in recent years” holds until 2027-01-31 only.")


def test_sittings_that_end_are_named_where_submission_may_never_come() -> None:
    said = [each for each in warnings(made(*ZDENKA)) if "is not reached in" in each]
    assert len(said) == 1
    assert said[0].endswith("sittings are published until 2027-11-06 only and 3 attempts are left.")


def paying(*payments: str) -> Plan:
    """Return the plan of somebody who has paid."""
    text = (DEMO / "applicants" / "zdenka.yaml").read_text("utf-8")
    listed = "".join(f"  - {each}\n" for each in payments)
    found = read_applicant(f"{text}\npayments:\n{listed}", "zdenka.yaml")
    assert found.applicant is not None, found.problems
    wishes = Wishes(TODAY, 2_000)
    return plan(found.applicant, BOOKS["xa-council"], "dietitian", wishes=wishes)


def test_the_budget_counts_what_has_been_paid() -> None:
    paid = "{id: v, purpose: verification, amount: 128.00 EUR, on: 2026-11-02, payer: employer}"
    before, after = made(*ZDENKA), paying(paid)
    assert before.budget is not None
    assert after.budget is not None
    assert before.budget.mean - after.budget.mean == pytest.approx(12_800)
    assert paid_said(after) == (
        "Verification of the degree: 128.00 EUR on 2026-11-02 (paid by employer)",
    )


def test_an_entry_that_is_paid_for_takes_one_attempt_out_of_the_budget() -> None:
    paid = "{id: e, purpose: examination, amount: 410.00 EUR, on: 2026-11-02, attempt: 1}"
    before, after = made(*ZDENKA), paying(paid)
    assert before.budget is not None
    assert after.budget is not None
    assert before.budget.mean - after.budget.mean == pytest.approx(41_000, rel=0.05)


def test_refunds_that_run_out_and_payments_for_no_fee_are_told() -> None:
    found = paying(
        "{id: e, purpose: examination, amount: 410.00 EUR, on: 2026-11-02,"
        " refundable_until: 2026-12-11}",
        "{id: x, purpose: xa-council/dietitian/stamp, amount: 5.00 EUR, on: 2026-11-02}",
    )
    told = warnings(found)
    assert "If you give up this way, have 410.00 EUR back by 2026-12-11: examination." in told
    assert (
        "The payment of 5.00 EUR for “xa-council/dietitian/stamp” is for no fee of these rules, so"
        " nothing counts as paid by it."
    ) in told


def test_each_fee_has_its_day_its_source_and_what_was_asked_in_its_own_currency() -> None:
    found = made(*ZDENKA, currency="USD", rates=RATES)
    assert found.budget is not None
    said = [fee_said(found, line) for line in found.budget.lines]
    application = next(each for each in said if each.startswith("Application"))
    assert "256.25 USD (asked: 205.00 EUR); about 2027-" in application
    assert application.endswith("Halvenian Council Fee Order, item 1, read 2026-11-02")


def test_stale_rates_are_marked_beside_each_fee() -> None:
    old = rates_of(b"Date,USD\n2026-06-01,1.25\n", "rates.csv")[0]
    found = made(*ZDENKA, currency="USD", rates=old)
    assert found.budget is not None
    assert all("at a rate older than 14 days" in fee_said(found, x) for x in found.budget.lines)
    assert any("are older than 14 days" in each for each in warnings(found))
