"""Every page of a case: on a desk and on a phone, by day and by night, and looked at by axe."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.store.cases import add_action, add_note
from comity.store.models import Holder
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page
    from pytest_django.fixtures import Settings

    from comity.store.models import Account, Case

DAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    """Let it be the demo's day."""
    settings.DEMO = True
    settings.DEMO_DAY = DAY


@pytest.fixture
def thu(adviser: Account) -> Case:
    """Return a case with something to do, a note, and a date ahead."""
    thu = case_of("thu", adviser=adviser)
    add_action(
        thu, "Send the photo", actor=adviser, holder=Holder.APPLICANT, due=date(2026, 12, 1),
        is_for_applicant=True,
    )  # fmt: skip
    add_action(thu, "Ask the Board for its form", actor=adviser)
    add_note(thu, "Would rather stay in Cindral.", actor=adviser)
    return thu


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize(
    ("name", "path"),
    [
        ("overview", "?title=xc-board/dietitian"),
        ("facts", "/facts?title=xc-board/dietitian"),
        ("fact-form", "/facts/practice/hospital?edit"),
        ("compare", "/compare"),
        ("what-if", "/what-if?months=6&amount=50&unit=share&full_week=40"),
        ("papers", "/papers"),
        ("message", "/message?title=xc-board/dietitian"),
        ("letter", "/letter?title=xc-board/dietitian"),
        ("history", "/history"),
    ],
)
def test_a_page_of_the_adviser(
    name: str,
    path: str,
    thu: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    page = open_page(f"/cases/{thu.pk}{path}", adviser)
    page.wait_for_load_state("networkidle")
    check_page(page, f"case-{name}")


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize(("name", "path"), [("own", ""), ("own-papers", "/papers")])
def test_a_page_of_the_applicant(
    name: str,
    path: str,
    case: Case,
    adviser: Account,
    applicant: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    add_action(case, "Send us your photo", actor=adviser, is_for_applicant=True)
    page = open_page(f"/cases/{case.pk}{path}", applicant)
    check_page(page, f"case-{name}")


def test_a_case_before_any_rulebook(
    thu: Case,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    page = open_page(f"/cases/{thu.pk}", adviser)
    assert page.get_by_role("heading", name="No rules read yet").is_visible()
    assert page.locator(".verdict").count() == 0
    check_page(page, "case-no-rules")
