"""The list of applicants in a browser: found on a phone, brought in as a table, taken along."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from comity.desk import clock
from comity.files.tables import read_table
from comity.store.cases import add_action, add_case
from comity.store.models import Case
from comity.store.spans import refresh_all
from tests.desk.conftest import case_of
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from playwright.sync_api import Page

    from comity.store.models import Account

    Check = Callable[[Page, str], None]

TABLE = """\
reference,name,born,degree title,post employer,post start,post end
a-101,Noor Example,May 1991,Bachelor of Dietetics,North Ward,2016-02,still
a-102,Pim Sundqvist,,,,,
hana,Hana Kwon-Lindqvist,,,,,30 June 2026
"""


def test_somebody_is_found_on_a_phone_and_opened_with_the_keyboard(
    adviser: Account, open_page: Callable[..., Page], check_page: Check
) -> None:
    all_kept()
    today = clock.now().date()
    for name in ("hana", "kofi", "leilani", "ingrid", "baraka", "soren"):
        case = case_of(name, adviser=adviser if name != "kofi" else None)
        if name in {"hana", "ingrid"}:
            due = today + timedelta(days=9 if name == "hana" else -3)
            add_action(case, "Ring about the letter of good standing", actor=adviser, due=due)
    refresh_all()
    page = open_page("/applicants", adviser, phone=True)
    check_page(page, "applicants")
    page.get_by_label("Name or reference").fill("kwon")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Hana Kwon-Lindqvist").wait_for()
    assert page.get_by_role("status").filter(has_text="1 applicant").is_visible()
    assert "kwon" not in page.url
    page.get_by_text("Narrow the list").click()
    page.get_by_label("State").select_option("Closed cases")
    page.get_by_role("button", name="Find").click()
    page.get_by_role("heading", name="Nobody is found this way").wait_for()
    check_page(page, "applicants-narrowed")
    page.get_by_role("link", name="Show all open cases").click()
    page.get_by_role("link", name="Hana Kwon-Lindqvist").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/cases/**")


def test_an_empty_list_leads_to_the_first_case(
    owner: Account, open_page: Callable[..., Page], check_page: Check
) -> None:
    page = open_page("/applicants", owner)
    check_page(page, "applicants-none")
    page.get_by_role("link", name="New applicant").click()
    check_page(page, "applicants-new")
    page.get_by_label("Name").fill("Noor Example")
    page.get_by_role("button", name="Open the case").click()
    page.get_by_role("heading", name="Noor Example").wait_for()


def test_a_table_is_mended_looked_at_and_kept(
    adviser: Account, open_page: Callable[..., Page], check_page: Check, tmp_path: Path
) -> None:
    hana = case_of("hana", adviser=adviser)
    page = open_page("/applicants/import", adviser)
    check_page(page, "applicants-import")
    file = tmp_path / "people.csv"
    file.write_text(TABLE.replace("May 1991", "05/06/1991"), encoding="utf-8")
    page.get_by_label("Table").set_input_files(file)
    page.get_by_role("button", name="Look at it first").click()
    page.get_by_text("1 thing to mend; nothing was kept").wait_for()
    assert page.get_by_text("row 2, born:").is_visible()
    check_page(page, "applicants-import-amiss")
    file.write_text(TABLE, encoding="utf-8")
    page.get_by_label("Table").set_input_files(file)
    page.get_by_role("button", name="Look at it first").click()
    page.get_by_role("heading", name="What the table says").wait_for()
    check_page(page, "applicants-preview")
    page.get_by_label("Hana Kwon-Lindqvist").check()
    page.get_by_role("button", name="Keep it").click()
    page.get_by_text("3 applicants are kept.").wait_for()
    assert page.get_by_role("link", name="Noor Example").is_visible()
    hana.refresh_from_db()
    assert "2026-06-30" in hana.document
    assert Case.objects.count() == 3


def test_a_list_is_taken_along(
    adviser: Account, open_page: Callable[..., Page], tmp_path: Path
) -> None:
    add_case("applicant: a-1\nname: Noor Example\n", actor=adviser, adviser=adviser)
    page = open_page("/applicants", adviser)
    for form in ("XLSX", "CSV"):
        with page.expect_download() as given:
            page.get_by_role("button", name=form).click()
        kept = tmp_path / given.value.suggested_filename
        given.value.save_as(kept)
        assert read_table(kept.read_bytes()).rows[0].cells[:2] == ("a-1", "Noor Example")
