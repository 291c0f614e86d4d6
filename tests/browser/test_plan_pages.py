"""A case's plan in a real browser: on a desk and on a phone, by day and by night."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.test import Client
from playwright.sync_api import expect

from comity.desk.accounts.starting import BACKEND
from comity.desk.plans import made
from comity.service import planning
from comity.store.cases import change_document
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page
    from pytest_django.fixtures import Settings

    from comity.store.models import Account, Case

XA = "xa-council/dietitian"
DONE = """
progress:
  - {id: p1, milestone: xa-council/dietitian/verify, on: 2026-11-02}
payments:
  - id: pay-1
    purpose: xa-council/dietitian/verification
    amount: 128.00 EUR
    on: 2026-11-03
    receipt: R-2041
    payer: applicant
"""
REGISTERED = """
progress:
  - {id: p1, milestone: xa-council/dietitian/decision, on: 2025-01-20}
  - {id: p2, milestone: xa-council/dietitian/registration, on: 2025-02-01}
"""


@pytest.fixture(autouse=True)
def the_day(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it be the demo's day, and go through few futures."""
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)
    monkeypatch.setattr(made, "DRAWS", 300)
    monkeypatch.setattr(planning, "_N_TRIED", 50)
    monkeypatch.setattr(planning, "_N_JUDGED", 50)


def with_more(case: Case, more: str) -> Case:
    all_kept()
    text = case.document.rstrip() + "\n" + more
    case = change_document(case, text, base_version=case.version, actor=None)
    warm_up(case)
    return case


def warm_up(case: Case) -> None:
    """Work the plan out before: the live server answers one request at a time."""
    client = Client()
    assert case.adviser is not None
    client.force_login(case.adviser, backend=BACKEND)
    assert client.get(f"/cases/{case.pk}/plan?title={XA}&whole=1").status_code == 200


def opened(page: Page) -> Page:
    """Wait until the plan is there and drawn."""
    page.wait_for_selector("#plan.plan")
    page.wait_for_selector(".strip-wide svg", state="attached")
    return page


def test_the_plan_of_the_adviser(
    case: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    case = with_more(case, DONE)
    page = opened(open_page(f"/cases/{case.pk}/plan?title={XA}", adviser))
    page.get_by_text("The same as a table").click()
    check_page(page, "plan")


def test_the_plan_of_the_applicant(
    case: Case,
    applicant: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    case = with_more(case, DONE)
    check_page(opened(open_page(f"/cases/{case.pk}/plan?title={XA}", applicant)), "plan-own")


def test_after_the_licence(
    case: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    case = with_more(case, REGISTERED)
    page = open_page(f"/cases/{case.pk}/plan?title={XA}", adviser)
    page.wait_for_selector("#plan.plan")
    check_page(page, "plan-licence")


def test_the_forms_of_a_plan(
    case: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    case = with_more(case, DONE)
    page = open_page(f"/cases/{case.pk}/plan/result?title={XA}", adviser)
    check_page(page, "plan-result")
    page.goto(f"/cases/{case.pk}/plan/payment?title={XA}")
    check_page(page, "plan-payment")
    page.goto(f"/cases/{case.pk}/plan/calendars")
    page.get_by_label("What reads it").fill("Telephone")
    page.get_by_role("button", name="Make an address").click()
    address = page.get_by_role("textbox", name="Address").input_value()
    assert page.request.get(address).headers["content-type"] == "text/calendar; charset=utf-8"
    check_page(page, "plan-calendars")


def test_a_day_is_tried_a_step_is_done_and_the_bars_are_read_by_keyboard(
    case: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    case = with_more(case, DONE)
    page = opened(open_page(f"/cases/{case.pk}/plan?title={XA}", adviser))
    page.locator(".strip-wide").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator(".chart-word")).to_be_visible()
    page.get_by_label("Begin on").fill("2027-03-01")
    page.get_by_role("button", name="Try it").click()
    expect(page.locator("#tried .notice")).to_contain_text("later")
    page.locator("#next .plan-done summary").first.click()
    page.locator("#next .plan-done[open] button").click()
    opened(page)
    expect(page.locator("#next")).to_contain_text("Done so far")
    assert page.url.endswith("#next")


def test_without_scripts_the_plan_is_a_link_away(
    case: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    case = with_more(case, DONE)
    page = open_page(f"/cases/{case.pk}/plan?title={XA}", adviser, script=False)
    page.get_by_role("link", name="Show the plan").click()
    expect(page.get_by_role("heading", name="Budget")).to_be_visible()
