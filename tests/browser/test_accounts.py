from __future__ import annotations

from typing import TYPE_CHECKING

from comity.store.models import Account, Case, Office, Role
from tests.desk.conftest import PASSWORD

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page


def test_the_first_start_opens_an_office(
    open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    Office.objects.all().delete()
    page = open_page("/")
    assert page.url.endswith("/start")
    check_page(page, "start")
    page.get_by_label("Your name").fill("Olive Brandt")
    page.get_by_label("Your e-mail address").fill("olive@lantern.example")
    page.get_by_label("New password").fill(PASSWORD)
    page.get_by_label("Name of the office").fill("Lantern Advice")
    page.get_by_label("How applicants reach you").fill("desk@lantern.example")
    page.get_by_label("Time zone").select_option("Europe/Lisbon")
    page.get_by_role("button", name="Open the office").click()
    assert page.get_by_text("Your office is open. Nothing is in it yet.").is_visible()
    page.get_by_role("link", name="Office", exact=True).click()
    assert page.get_by_role("heading", name="Lantern Advice").is_visible()
    assert Account.objects.get().role == Role.OWNER


def test_a_start_left_half_empty_says_what_is_missing_where_it_is_missing(
    open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    Office.objects.all().delete()
    page = open_page("/start", phone=True)
    page.get_by_label("New password").fill("short")
    page.get_by_role("button", name="Open the office").click()
    assert page.evaluate("document.activeElement.id") == "id_person"
    check_page(page, "start-errors")


def test_signing_in_needs_no_mouse(
    owner: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/me")
    check_page(page, "sign-in")
    page.keyboard.type(owner.email)
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="Your account").wait_for()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the content"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "id_current"


def test_a_wrong_password_is_said_aloud(
    owner: Account, open_page: Callable[..., Page], check_page: Callable[[Page, str], None]
) -> None:
    page = open_page("/sign-in")
    page.get_by_label("E-mail address").fill(owner.email)
    page.get_by_label("Password").fill("not this one at all")
    page.get_by_role("button", name="Sign in").click()
    assert "do not belong together" in page.get_by_role("alert").first.inner_text()
    check_page(page, "sign-in-refused")


def test_an_invitation_is_followed_on_a_phone(
    adviser: Account,
    case: Case,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    Case.objects.filter(pk=case.pk).update(account=None)
    desk = open_page(f"/office/applicants/{case.pk}/invite", adviser)
    check_page(desk, "invite-applicant")
    desk.get_by_label("E-mail address").fill("hana.kl@people.example")
    desk.get_by_role("button", name="Make the link").click()
    check_page(desk, "invitation-link")
    link = desk.get_by_label("Link of the invitation").input_value()
    desk.get_by_role("button", name="Copy").click()
    assert desk.evaluate("navigator.clipboard.readText()") == link

    phone = open_page(link, phone=True)
    check_page(phone, "invitation")
    phone.get_by_label("New password").fill("nine slow rivers home")
    phone.get_by_role("button", name="Come in").click()
    phone.wait_for_url(lambda url: "invitation" not in url, wait_until="load")
    phone.goto("/me")
    assert "hana.kl@people.example" in phone.locator("main").inner_text()
    check_page(phone, "me-applicant")

    again = open_page(link, phone=True)
    assert again.get_by_role("heading", name="This link no longer works").is_visible()
    check_page(again, "link-no-longer")


def test_an_outsider_learns_nothing_of_the_office(
    outsider: Account, case: Case, open_page: Callable[..., Page]
) -> None:
    for path in ("/office", f"/office/applicants/{case.pk}/invite", f"/cases/{case.pk}"):
        page = open_page(path, outsider)
        assert page.get_by_role("heading", name="There is nothing here").is_visible()
        assert "Hana" not in page.content()


def test_the_pages_of_an_owner_are_fit_to_be_seen(
    owner: Account,
    adviser: Account,
    open_page: Callable[..., Page],
    check_page: Callable[[Page, str], None],
) -> None:
    page = open_page("/office/people/invite", owner)
    check_page(page, "invite-colleague")
    page.get_by_label("Name", exact=True).fill("Ngozi Ferreira")
    page.get_by_label("E-mail address").fill("ngozi@lantern.example")
    page.get_by_role("button", name="Make the link").click()
    page.goto("/office")
    check_page(page, "office")
    page.goto("/office/change")
    check_page(page, "office-change")
    page.goto("/office/keeping")
    check_page(page, "office-keeping")
    page.goto("/me")
    page.get_by_text("Make a token").click()
    page.get_by_label("What is it for?").fill("Nightly export")
    page.get_by_role("button", name="Make the token").click()
    assert page.get_by_label("Token", exact=True).input_value().startswith("comity_")
    check_page(page, "me")


def test_the_menu_of_the_account_opens_and_closes_by_keyboard(
    owner: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page("/me", owner, phone=True)
    page.locator(".who summary").focus()
    page.keyboard.press("Enter")
    assert page.get_by_role("button", name="Sign out", exact=True).is_visible()
    page.keyboard.press("Escape")
    assert page.get_by_role("button", name="Sign out", exact=True).is_hidden()
    assert page.evaluate("document.activeElement.tagName") == "SUMMARY"


def test_signing_in_works_without_any_script(
    owner: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page("/me", script=False)
    page.get_by_label("E-mail address").fill(owner.email)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    assert page.url.endswith("/me")
