from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.store.models import Account, Case

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page


@pytest.mark.parametrize("path", ["/office", "/office/change", "/me"])
def test_a_page_read_from_right_to_left_keeps_its_layout(
    path: str,
    owner: Account,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    Account.objects.filter(pk=owner.pk).update(language="qps-plocm")
    page = open_page(path, owner)
    assert page.evaluate("document.documentElement.dir") == "rtl"
    assert page.evaluate("getComputedStyle(document.body).direction") == "rtl"
    name, menu = page.locator(".mast-name").bounding_box(), page.locator(".who").bounding_box()
    assert name is not None
    assert menu is not None
    assert name["x"] > menu["x"]
    check_page(page, f"mirrored{path.replace('/', '-')}")
    page.set_viewport_size({"width": 390, "height": 844})
    page.locator(".who summary").click()
    opened = page.locator(".who-menu").bounding_box()
    assert opened is not None
    assert opened["x"] >= 0
    assert opened["x"] + opened["width"] <= 390


@pytest.mark.usefixtures("demo_rulebooks")
@pytest.mark.parametrize("path", ["/", "/rulebooks", "/cases/{case}", "/cases/{case}/facts"])
def test_the_days_work_can_be_read_from_right_to_left(
    path: str,
    adviser: Account,
    case: Case,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    Account.objects.filter(pk=adviser.pk).update(language="qps-plocm")
    page = open_page(path.format(case=case.pk), adviser)
    assert page.evaluate("document.documentElement.dir") == "rtl"
    name = path.format(case="case").strip("/").replace("/", "-") or "needs"
    check_page(page, f"mirrored-{name}")


@pytest.mark.usefixtures("demo_rulebooks")
def test_an_applicant_reads_their_case_from_right_to_left(
    applicant: Account,
    case: Case,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    Account.objects.filter(pk=applicant.pk).update(language="qps-plocm")
    page = open_page(f"/cases/{case.pk}", applicant, phone=True)
    assert page.evaluate("document.documentElement.dir") == "rtl"
    check_page(page, "mirrored-case-own")


def test_every_sentence_of_a_page_is_marked_for_translation(
    owner: Account, open_page: Callable[..., Page]
) -> None:
    Account.objects.filter(pk=owner.pk).update(language="qps-plocm")
    page = open_page("/office", owner)
    unmarked = page.evaluate("""
      () => [...document.querySelectorAll("h1, h2, th[scope=col], dt, .button, .foot p, .ways a")]
        .map((each) => each.textContent.trim())
        .filter((text) => text && !text.includes("["))
    """)
    assert unmarked == ["Lantern Advice"]
