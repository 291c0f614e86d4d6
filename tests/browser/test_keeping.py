"""What the office keeps of a person: the page of the adviser, of the applicant, and erasing."""

from __future__ import annotations

import io
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from comity.desk.keeping.forms import PURPOSES
from comity.store import audit
from comity.store.cases import set_legal_hold
from comity.store.consents import consent, withdraw_consent
from comity.store.given import give
from comity.store.models import Case, Tombstone

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import Page
    from pytest_django.fixtures import Settings

    from comity.store.models import Account

    Look = Callable[[Page, str], None]

NOW = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    """Let it be the demo's day."""
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)


@pytest.fixture
def kept(case: Case, adviser: Account, applicant: Account) -> Case:
    """Return the case with consents, one of them taken back, and with things given out."""
    consent(case, str(PURPOSES[0]), actor=applicant, now=NOW)
    noted = consent(case, "A photo of me on the office's website", actor=adviser, now=NOW)
    withdraw_consent(noted, actor=adviser, now=NOW)
    for sort, recipient in (("brief", case.name), ("letter", "Board of Dietetics of Cindral")):
        give(
            case, sort=sort, content=b"%PDF", media_type="application/pdf", recipient=recipient,
            assessments=(), actor=adviser,
        )  # fmt: skip
    return case


@pytest.mark.parametrize("who", ["owner", "adviser", "applicant"])
def test_the_page_on_data(
    who: str,
    kept: Case,
    open_page: Callable[..., Page],
    check_page: Look,
    request: pytest.FixtureRequest,
) -> None:
    page = open_page(f"/cases/{kept.pk}", request.getfixturevalue(who))
    page.get_by_role("link", name="Data", exact=True).click()
    assert page.get_by_role("heading", name="Who got what").is_visible()
    check_page(page, f"keeping-{who}")


def test_the_page_on_data_mirrors(
    kept: Case, adviser: Account, open_page: Callable[..., Page], check_page: Look
) -> None:
    adviser.language = "qps-plocm"
    adviser.save()
    page = open_page(f"/cases/{kept.pk}/data", adviser)
    assert page.evaluate("document.documentElement.dir") == "rtl"
    check_page(page, "keeping-mirrored")


def test_an_applicant_agrees_and_takes_everything_along_on_a_phone(
    kept: Case, applicant: Account, open_page: Callable[..., Page]
) -> None:
    page = open_page(f"/cases/{kept.pk}/data", applicant, phone=True)
    page.get_by_label(str(PURPOSES[1])).check()
    page.get_by_role("button", name="I agree").click()
    assert page.get_by_text("The consent is noted.").is_visible()
    with page.expect_download() as got:
        page.get_by_role("button", name="Get everything").click()
    content = Path(got.value.path()).read_bytes()
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        assert str(PURPOSES[1]) in file.read("consents.json").decode()
    page.reload()
    assert page.get_by_role("cell", name="The whole file").is_visible()


def test_an_owner_erases_a_case(
    kept: Case, owner: Account, open_page: Callable[..., Page], check_page: Look
) -> None:
    page = open_page(f"/cases/{kept.pk}/data", owner)
    page.get_by_role("link", name="What would go, and what stays").click()
    check_page(page, "keeping-erase")
    page.get_by_label("Why it is erased").fill("asked for by the applicant")
    page.get_by_label("Type the reference of the case").fill("hanna")
    page.get_by_role("button", name="Erase it").click()
    assert page.get_by_text("This is not the reference of this case").is_visible()
    check_page(page, "keeping-erase-amiss")
    page.get_by_label("Type the reference of the case").fill("hana")
    page.get_by_role("button", name="Erase it").click()
    assert page.get_by_role("heading", name="Erased cases").is_visible()
    check_page(page, "keeping-erased")
    assert Tombstone.objects.get().case_id == kept.pk
    assert audit.verify().problems == ()


def test_a_held_case_offers_no_erasing(
    kept: Case, owner: Account, open_page: Callable[..., Page], check_page: Look
) -> None:
    set_legal_hold(kept, "a claim of the employer", actor=owner)
    page = open_page(f"/cases/{kept.pk}/data/erase", owner)
    assert page.get_by_role("button", name="Erase it").count() == 0
    check_page(page, "keeping-held")
    page.get_by_role("link", name="To the legal hold").click()
    page.get_by_role("button", name="Lift the legal hold").click()
    assert page.get_by_text("The legal hold is lifted.").is_visible()
    assert Case.objects.get(pk=kept.pk).legal_hold == ""
