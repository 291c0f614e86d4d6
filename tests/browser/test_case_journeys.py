"""What people do on a case, in a real browser."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.test import Client

from comity.desk.accounts.starting import BACKEND
from comity.store.converters import applicant_of
from comity.store.models import Case, Given
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page
    from pytest_django.fixtures import Settings

    from comity.store.models import Account

pytestmark = pytest.mark.usefixtures("demo_rulebooks")


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    """Let it be the demo's day."""
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)


@pytest.fixture
def thu(adviser: Account, demo_rulebooks: tuple[object, ...]) -> Case:
    """Return a case whose answer hangs on one post; it has been looked at once.

    So the seconds that a browser waits are not spent on reading rules and compiling a drawing.
    """
    del demo_rulebooks
    case = case_of("thu", adviser=adviser)
    client = Client()
    client.force_login(adviser, backend=BACKEND)
    assert client.get(facts_of(case)).status_code == 200
    return case


def facts_of(thu: Case) -> str:
    return f"/cases/{thu.pk}/facts?title=xc-board/dietitian"


def worked_out(page: Page) -> None:
    """Wait until all answers are there, so that nothing is asked of the desk any more."""
    page.locator("#cards .answer-card-why:not([aria-hidden])").first.wait_for()


def strip_bars(page: Page) -> str:
    """Return how the certain days of the wide strip are drawn."""
    page.locator(".strip-wide svg").wait_for()
    drawn: str = page.evaluate(
        "[...document.querySelectorAll('.strip-wide svg .layer_certain_marks path,"
        " .strip-wide svg [class*=certain] path')].map(p => p.getAttribute('d')"
        " + p.getAttribute('transform')).join('|')"
    )
    return drawn


def test_an_adviser_edits_a_fact_and_verdict_and_strip_change(
    thu: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(facts_of(thu), adviser)
    before = strip_bars(page)
    assert page.locator("#answer .verdict").first.inner_text() == "Not met"
    page.locator("#fact-practice").get_by_role("link", name="Change").click()
    page.get_by_label("First day").fill("January 2024")
    page.get_by_role("button", name="Save").click()
    page.locator("#answer .answer-head .verdict-met").wait_for()
    assert page.locator("#answer .answer-head .verdict").inner_text() == "Met"
    assert strip_bars(page) != before
    assert "January 2024" in page.locator("#fact-practice").inner_text()
    worked_out(page)
    practice = applicant_of(Case.objects.get(pk=thu.pk)).facts.practice or ()
    assert str(practice[0].start) == "2024-01"


def test_a_fact_that_cannot_be_read_gets_the_focus_and_says_why(
    thu: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    page = open_page(facts_of(thu), adviser)
    page.locator("#fact-practice").get_by_role("link", name="Change").click()
    page.get_by_label("First day").fill("last spring")
    page.get_by_role("button", name="Save").click()
    page.locator(".error").first.wait_for()
    assert page.evaluate("document.activeElement.name") == "start"
    assert "“last spring” cannot be taken" in page.locator("#f-start-error").inner_text()
    check_page(page, "case-fact-refused")
    worked_out(page)


def test_two_advisers_who_edit_one_fact_are_shown_each_others_words(
    thu: Case,
    adviser: Account,
    owner: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    mine, theirs = (open_page(facts_of(thu), who) for who in (adviser, owner))
    for page, hours in ((mine, "21"), (theirs, "33")):
        page.locator("#fact-practice").get_by_role("link", name="Change").click()
        page.get_by_label("Hours a week").fill(hours)
    theirs.get_by_role("button", name="Save").click()
    theirs.locator("#fact-practice").get_by_text("33", exact=True).wait_for()
    mine.get_by_role("button", name="Save").click()
    mine.get_by_text("Somebody else has changed this in the meantime.").wait_for()
    assert mine.get_by_role("cell", name="33").is_visible()
    assert mine.get_by_role("cell", name="21").is_visible()
    check_page(mine, "case-conflict")
    mine.get_by_role("button", name="Save mine in its place").click()
    mine.locator("#fact-practice").get_by_text("21", exact=True).wait_for()
    worked_out(mine)
    worked_out(theirs)


def test_a_brief_downloads_and_is_kept(
    thu: Case, adviser: Account, open_page: Callable[..., Page], tmp_path: Path
) -> None:
    page = open_page(f"/cases/{thu.pk}", adviser)
    worked_out(page)
    with page.expect_download() as found:
        page.get_by_role("button", name="Brief on this title (PDF)").click()
    path = tmp_path / "brief.pdf"
    found.value.save_as(path)
    assert path.read_bytes().startswith(b"%PDF")
    assert Given.objects.get(case=thu).sort == "brief"


def test_the_answer_is_copied_as_a_message_on_a_phone(
    thu: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(f"/cases/{thu.pk}/message?title=xc-board/dietitian", adviser, phone=True)
    page.get_by_role("button", name="Copy, and keep as given").click()
    page.get_by_text("It is kept as given").wait_for()
    copied = page.evaluate("navigator.clipboard.readText()")
    assert copied.startswith("Hello Nguyễn Lê Khánh Thư,")
    assert "The authority decides" in copied


def test_what_if_answers_on_the_same_page(
    thu: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(f"/cases/{thu.pk}/what-if", adviser)
    page.get_by_label("Handed in on").fill("2027-01-20")
    page.get_by_role("button", name="Try it").click()
    page.get_by_text("the application is handed in on 20 January 2027").wait_for()
    assert page.locator(".tried .verdict-met").count() >= 1


def test_a_fact_is_tried_before_it_is_saved(
    thu: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(facts_of(thu), adviser)
    page.locator("#fact-practice").get_by_role("link", name="Change").click()
    page.get_by_label("First day").fill("January 2024")
    page.get_by_role("button", name="Try it without saving").click()
    page.get_by_text("this fact were as typed").wait_for()
    assert page.locator("#tried-practice .verdict-met").count() >= 1
    assert Case.objects.get(pk=thu.pk).version == 1
    worked_out(page)


def test_a_fact_is_changed_with_the_keyboard_alone(
    thu: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(facts_of(thu), adviser)
    page.locator("#fact-practice").get_by_role("link", name="Change").focus()
    page.keyboard.press("Enter")
    page.get_by_label("Employer").wait_for()
    page.get_by_label("Employer").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("River Clinic")
    page.keyboard.press("Enter")
    page.locator("#fact-practice").get_by_role("heading", name="River Clinic").wait_for()
    worked_out(page)


def test_facts_are_changed_without_scripts_too(
    thu: Case, adviser: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(facts_of(thu), adviser, script=False)
    page.locator("#fact-practice").get_by_role("link", name="Change").click()
    page.get_by_label("Hours a week").fill("30")
    page.get_by_role("button", name="Save").click()
    assert page.url.endswith("#fact-practice")
    assert "30" in page.locator("#fact-practice").inner_text()


def test_the_applicant_sees_what_comes_next_on_a_phone(
    case: Case, applicant: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(f"/cases/{case.pk}", applicant, phone=True)
    assert page.locator(".things-list > li").count() in {1, 2, 3}
    assert "%" not in page.locator("main").inner_text()
    with page.expect_download() as found:
        page.get_by_role("button", name="Get my brief (PDF)").click()
    assert found.value.suggested_filename == "brief-hana.pdf"
