"""A case read from right to left: the page mirrors, the drawing of time does not."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page
    from pytest_django.fixtures import Settings

    from comity.store.models import Account


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    """Let it be the demo's day."""
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)


@pytest.mark.usefixtures("demo_rulebooks")
def test_the_overview_mirrors_and_the_labels_of_its_strip_stay_whole(
    adviser: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    adviser.language = "qps-plocm"
    adviser.save()
    case = case_of("soren", adviser=adviser)
    page = open_page(f"/cases/{case.pk}?title=xc-board/dietitian", adviser)
    page.locator(".strip-wide svg text").first.wait_for()
    page.locator("#cards .answer-card-why:not([aria-hidden])").first.wait_for()
    assert page.evaluate("document.documentElement.dir") == "rtl"
    inside = page.evaluate(
        "[...document.querySelectorAll('.strip-wide svg text')].every(each => {"
        " const svg = document.querySelector('.strip-wide svg').getBoundingClientRect();"
        " const box = each.getBoundingClientRect();"
        " return box.left >= svg.left - 1 && box.right <= svg.right + 1; })"
    )
    assert inside
    check_page(page, "case-overview-mirrored")
