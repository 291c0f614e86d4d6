from __future__ import annotations

from typing import TYPE_CHECKING

from playwright.sync_api import expect

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from comity.store.models import Account


def test_where_nothing_is_one_finds_the_way_back(
    adviser: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/nothing-here", adviser)
    check_page(page, "error-missing")
    page.get_by_role("link", name="Go to the first page").click()
    expect(page.get_by_role("heading", name="Needs you")).to_be_visible()


def test_after_too_many_attempts_the_page_says_how_long_to_wait(
    owner: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/sign-in")
    for _attempt in range(6):
        page.get_by_label("E-mail address").fill(owner.email)
        page.get_by_label("Password").fill("not this one at all")
        page.get_by_role("button", name="Sign in").click()
    assert page.get_by_role("heading", name="Too many attempts").is_visible()
    assert "a quarter of an hour" in page.locator("main").inner_text()
    check_page(page, "error-throttled")
