"""The first page in a browser: entries lead to where one acts."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from comity.desk import clock
from comity.store.cases import add_action, add_case
from comity.store.spans import refresh_all
from tests.desk.conftest import case_of
from tests.desk.editions import kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from comity.store.models import Account


def test_what_needs_a_person_is_found_and_opened_with_the_keyboard(
    adviser: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    kept("XA", "2025")
    today = clock.now().date()
    nia = add_case("applicant: nia\nname: Nia Adeyinka\n", actor=adviser, adviser=adviser)
    for name in ("leilani", "kofi"):
        case_of(name, adviser=adviser)
    lapsing = (today + timedelta(days=9)).isoformat()
    add_case(
        "applicant: mara\nname: Mara Quist\npapers:\n"
        f"  - {{id: pass, kind: passport, expires: {lapsing}}}\n",
        actor=adviser,
        adviser=adviser,
    )
    add_action(nia, "Call her about the diploma", actor=adviser, due=today - timedelta(days=2))
    refresh_all()
    page = open_page("/", adviser)
    assert page.get_by_text("Was due 2 days ago").is_visible()
    check_page(page, "needs")
    page.get_by_role("link", name="Mara Quist").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/facts**")


def test_an_empty_office_is_kind(
    owner: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/", owner)
    assert page.get_by_role("heading", name="A fresh office").is_visible()
    check_page(page, "needs-none")
