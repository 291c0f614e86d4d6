"""The pages of the plan in the brief: days and amounts, nothing in hundredths."""

from __future__ import annotations

import re
from dataclasses import astuple
from typing import TYPE_CHECKING

from comity.brief.wording import ENGLISH
from comity.core.declaring import Money
from comity.service.brief_plans import plan_page
from tests.unit.service.test_planning import ZDENKA, made, paying

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.brief.planned import PlanPage
    from comity.brief.wording import Wording
    from comity.service.planning import Plan


def texts(plan: Plan) -> Iterator[str]:
    """Yield every text of the pages but those of the picture."""
    page = page_of(plan, wording=ENGLISH)
    yield from (page.lead, page.total, *page.before)
    for rows in (page.milestones, page.next_steps, page.orders, page.fees, page.months):
        for row in rows:
            yield from astuple(row)


def page_of(plan: Plan, *, wording: Wording) -> PlanPage:
    page = plan_page(plan, wording=wording)
    assert page is not None
    return page


def test_milestones_stand_with_the_earliest_day_and_the_day_to_plan_for() -> None:
    plan = made(*ZDENKA)
    rows = page_of(plan, wording=ENGLISH).milestones
    assert [row.what for row in rows] == [
        "Handing in the application",
        "The Council's decision",
        "Entry in the register",
    ]
    spread = plan.milestones["submission"]
    assert spread.p10 is not None
    assert spread.p80 is not None
    assert (rows[0].first, rows[0].second) == (ENGLISH.day(spread.p10), ENGLISH.day(spread.p80))


def test_an_applicant_reads_no_hundredths_no_ids_and_no_iso_dates() -> None:
    said = "\n".join(texts(made(*ZDENKA)))
    assert not re.search(r"%|of 100|\d{4}-\d\d|xa-council", said)


def test_the_recommended_day_lies_within_the_days_named_beside_it() -> None:
    plan = made(*ZDENKA)
    page = page_of(plan, wording=ENGLISH)
    assert len(page.orders) == 2
    for row, order in zip(page.orders, sorted(plan.orders, key=_recommended), strict=True):
        assert row.first == f"on {ENGLISH.day(order.recommended.order_on)}"
        if order.earliest is not None and order.earliest > order.recommended.order_on:
            assert f"not before {row.first[3:]}" in row.second


def _recommended(order: object) -> int:
    day: int = order.recommended.order_on  # type: ignore[attr-defined]
    return day


def test_the_money_is_told_in_all_by_fee_and_by_month_with_what_was_paid() -> None:
    plan = paying("{id: v, purpose: verification, amount: 128.00 EUR, on: 2026-11-02}")
    page = page_of(plan, wording=ENGLISH)
    assert plan.budget is not None
    assert str(Money(plan.budget.p50, "EUR")) in page.total
    assert "Paid so far: 128.00 EUR." in page.total
    assert {row.what for row in page.fees} >= {"Application", "Examination"}
    assert "Verification of the degree" not in {row.what for row in page.fees}
    assert page.months[0].what.endswith("2027")


def test_the_picture_comes_with_its_text() -> None:
    page = page_of(made(*ZDENKA), wording=ENGLISH)
    assert page.svg.startswith("<svg")
    assert "Have the degree verified" in page.alt


def test_where_no_plan_can_be_made_there_is_no_page() -> None:
    """The answer before it says what stands in its way."""
    assert plan_page(made(*ZDENKA, savings=Money(1, "EUR")), wording=ENGLISH) is None


def test_where_all_is_done_the_days_stand_without_a_picture() -> None:
    page = page_of(made("zsofia", "xa-council"), wording=ENGLISH)
    assert [row.first for row in page.milestones][-1].startswith("done on")
    assert (page.svg, page.alt, page.next_steps) == ("", "", ())
