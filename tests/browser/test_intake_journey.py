"""On a phone: an applicant answers, takes back, stops, goes on, and reads where they stand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.store.cases import add_case
from comity.store.models import Case
from tests.desk.editions import all_kept, kept

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page

    from comity.store.models import Account

NIA = "applicant: nia\nname: Nia Adeyinka\n"


@pytest.fixture
def nia(applicant: Account, adviser: Account) -> Case:
    """Return the case of an applicant of whom nothing is known yet."""
    kept("XA", "2025")
    case = add_case(NIA, actor=adviser, adviser=adviser)
    Case.objects.filter(pk=case.pk).update(account=applicant)
    return case


def asked(page: Page) -> str:
    """Return the question on the page."""
    return page.locator("h1").inner_text()


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_intake_to_verdict_to_brief_on_a_phone(
    script: bool,  # noqa: FBT001 - a parameter of the test
    nia: Case,
    applicant: Account,
    open_page: Callable[..., Page],
) -> None:
    page = open_page(f"/cases/{nia.pk}/intake", applicant, phone=True, script=script)
    assert asked(page) == "Which degrees, diplomas and internships have you completed?"
    page.get_by_label("One on each line").fill("BSc Dietetics\nDietetic internship")
    page.get_by_role("button", name="Go on").click()
    second = asked(page)
    page.get_by_role("button", name="There are none").click()
    assert asked(page) != second
    page.get_by_role("button", name="Take my last answer back").click()
    assert asked(page) == second
    for _step in range(60):
        if page.url.endswith("/answers"):
            break
        page.get_by_role("button", name="I don't know").click()
    assert asked(page) == "How it stands"
    assert page.get_by_text("Nothing more that you could tell would change it.").is_visible()
    assert page.get_by_text("Talk it over with a person").first.is_visible()
    page.set_default_timeout(60_000)  # a PDF is set meanwhile
    with page.expect_download() as download:
        page.get_by_role("button", name="The whole answer as PDF").click()
    assert download.value.suggested_filename.endswith(".pdf")


def test_the_question_pages_are_sound_to_look_at(
    nia: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    kept("XB", "2026")
    page = open_page(f"/cases/{nia.pk}/intake", adviser)
    seen: set[str] = set()
    for _step in range(24):
        if page.url.endswith("/answers"):
            break
        sorts = page.evaluate(
            "() => [...document.querySelectorAll('.intake-question :is(input, textarea, button)')]"
            ".map((each) => each.type).filter((each, at, all) => all.indexOf(each) === at).join()"
        )
        if sorts not in seen:
            seen.add(sorts)
            name = sorts.replace(",", "-") or "plain"
            check_page(page, f"intake-{name}")
        lines = page.locator(".intake-question textarea")
        if lines.count() and "countries" not in asked(page) and "nationalities" not in asked(page):
            lines.first.fill("One of them")
            page.get_by_role("button", name="Go on").click()
        else:
            page.get_by_role("button", name="I don't know").click()
    assert {"textarea", "text", "checkbox,textarea", "radio,text"} <= seen


def test_what_is_amiss_is_said_and_gets_the_focus(
    nia: Case,
    applicant: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    page = open_page(f"/cases/{nia.pk}/intake", applicant, phone=True)
    page.get_by_label("One on each line").fill("2019-05-03")
    page.get_by_role("button", name="Go on").click()
    error = page.get_by_role("alert").filter(has_text="That looks like a day")
    assert error.is_visible()
    assert page.evaluate("() => document.activeElement.id") == "answer-error"
    check_page(page, "intake-amiss")


def test_the_answers_are_sound_to_look_at(
    case: Case,
    applicant: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    all_kept()
    page = open_page(f"/cases/{case.pk}/intake/answers", applicant, phone=True)
    assert page.get_by_role("heading", name="The other licences").is_visible()
    check_page(page, "intake-answers")


def test_an_intake_is_taken_with_the_keyboard_alone(
    nia: Case, applicant: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(f"/cases/{nia.pk}/intake", applicant)
    first = asked(page)
    page.get_by_label("One on each line").focus()
    page.keyboard.type("BSc Dietetics")
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent.trim()") == "Go on"
    page.keyboard.press("Enter")
    page.wait_for_function("(first) => document.querySelector('h1').innerText !== first", arg=first)
    assert "BSc Dietetics" in Case.objects.get(pk=nia.pk).document
