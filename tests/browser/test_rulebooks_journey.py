"""A new edition: begun from the old one, mended in the editor, seen in its impact, put in force."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from comity.store.models import StoredEdition
from tests.desk.conftest import case_of
from tests.desk.editions import all_kept, demo_text, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from comity.store.models import Account


@pytest.fixture
def council(adviser: Account) -> StoredEdition:
    """Keep the Council's edition in force, and somebody whom the next one touches."""
    case_of("kofi", adviser=adviser)
    return kept("XA", "2025")


@pytest.mark.usefixtures("council")
def test_a_new_edition_and_whom_it_touches(
    adviser: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/rulebooks/xa-council/2025", adviser)
    page.set_default_timeout(30_000)
    page.get_by_role("link", name="New edition from this one").click()
    page.get_by_label("What the new edition is called").fill("2027")
    page.get_by_label("First day on which it applies").fill("2027-02-01")
    check_page(page, "rulebook-new-from")
    page.get_by_role("button", name="Begin the new edition").click()
    text = page.get_by_label("Text of the edition")
    assert text.input_value().count("rulebook: 2027") == 1
    text.fill(demo_text("XA", "2027").replace("wholly_read: yes", "wholly_read: perhaps", 1))
    page.locator("#problems").get_by_text("must be yes or no").wait_for()
    problem = page.locator("#problems").get_by_role("link", name=re.compile("Go to line")).first
    number = int(problem.get_attribute("data-line") or 0)
    problem.click()
    at = page.evaluate("() => document.querySelector('#text').selectionStart")
    before = text.input_value()[:at]
    assert before.count("\n") + 1 == number
    assert page.evaluate("() => document.activeElement.id") == "text"
    assert page.locator(".editor-lines .is-amiss").inner_text().strip() == str(number)
    check_page(page, "rulebook-editor")
    text.fill(demo_text("XA", "2027"))
    page.locator("#problems").get_by_text("Nothing to mend").wait_for()
    page.get_by_role("button", name="Save").click()
    page.locator("main").get_by_text("7 worked cases were run").wait_for()
    page.get_by_role("link", name="Back to the readable page").click()
    page.get_by_role("link", name="Whom it touches").click()
    page.locator("main").get_by_text("The answer of 1 applicant changes.").wait_for()
    assert page.get_by_role("link", name="Kofi Ampadu-Brandt").is_visible()
    check_page(page, "rulebook-impact")
    page.get_by_role("link", name="Back to edition 2027").click()
    page.get_by_role("link", name="Put in force").click()
    check_page(page, "rulebook-force")
    page.get_by_role("button", name="Put this edition in force").click()
    page.locator("main").get_by_text("Every list rests on the editions in force.").wait_for()
    check_page(page, "rulebook-refresh")
    assert StoredEdition.objects.get(edition="2027").state == "in force"


def test_rulebooks_are_sound_to_look_at(
    owner: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/rulebooks", owner)
    check_page(page, "rulebooks-none")
    all_kept()
    stale = demo_text("XB", "2026").replace("read: 2026-", "read: 2024-", 1)
    StoredEdition.objects.filter(authority="xb-register").update(text=stale, digest="5" * 64)
    page.reload()
    assert page.get_by_role("heading", name="Cindral Board of Dietetics").is_visible()
    check_page(page, "rulebooks")
    page.goto("/rulebooks/xb-register/2026")
    check_page(page, "rulebook")
    page.goto("/rulebooks/xa-council/2027/diff/2025")
    check_page(page, "rulebook-diff")
    page.goto("/rulebooks/new")
    check_page(page, "rulebook-new")


@pytest.mark.usefixtures("council")
def test_an_edition_is_written_and_checked_without_a_script(
    owner: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page("/rulebooks/xa-council/2025/new-from", owner, script=False)
    page.get_by_label("What the new edition is called").fill("2028")
    page.get_by_role("button", name="Begin the new edition").click()
    text = page.get_by_label("Text of the edition")
    text.fill(text.input_value().replace("wholly_read: yes", "wholly_read: perhaps", 1))
    page.get_by_role("button", name="Check, and run the worked cases").click()
    assert page.get_by_text("thing to mend", exact=False).first.is_visible()
    assert page.get_by_text("wholly_read: perhaps").first.is_visible()


@pytest.mark.usefixtures("council")
def test_the_editor_is_left_and_used_with_the_keyboard_alone(
    owner: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page("/rulebooks/xa-council/2025/edit", owner)
    page.get_by_label("Text of the edition").focus()
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Save"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.locator("main").get_by_text("worked cases were run").wait_for()
