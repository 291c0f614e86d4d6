from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING

import pytest

from comity.store.models import AuditRecord, Case
from tests.desk.plans.conftest import XA, XB

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from django.test import Client

    from comity.store.models import Account

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("rules")]


def tried(client: Client, case: Case, *, title: str = XA, **typed: str) -> tuple[int, str]:
    asked = {"title": title, **typed}
    answer = client.get(f"/cases/{case.pk}/plan/what-if", asked, headers={"HX-Request": "true"})
    return answer.status_code, html.unescape(re.sub(r"\s+", " ", answer.content.decode()))


def test_beginning_later_moves_the_milestones_and_saves_nothing(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    status, page = tried(client_of(owner), case, title=XB, start="2027-01-15")
    assert status == 200
    assert "Begin on 15 January 2027" in page
    assert "Sending the application: 7 weeks later, 15 January 2027 in place of" in page
    assert Case.objects.get(pk=case.pk).version == case.version
    assert not AuditRecord.objects.filter(case_id=case.pk).exists()


def test_a_sitting_passed_over_comes_later(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    shown = client.get(f"/cases/{case.pk}/plan/shown?title={XA}").content.decode()
    sittings = re.findall(r'name="skip" value="([0-9-]+)"', shown)
    assert sittings == sorted(sittings)
    # Entry for the first closes before one can be ready, so it is the second that is missed.
    status, page = tried(client, case, skip=sittings[1])
    assert status == 200
    assert "pass over the sitting on" in page.casefold()
    assert "later" in page


def test_days_away_and_more_hours_are_said_back(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    status, page = tried(
        client_of(owner), case, hours="30", away_from="2026-12-01", away_until="2026-12-31"
    )
    assert status == 200
    assert "Study 30 hours a week" in page
    assert "away from 1 December 2026 to 31 December 2026" in page.casefold().replace(
        "december", "December"
    )


def test_what_changes_nothing_is_said_to(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    status, page = tried(client_of(owner), case, title=XB)
    assert status == 200
    assert "Nothing changes that is worth a word." in page


def test_savings_that_come_too_slowly_move_the_dates(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    status, page = tried(client_of(owner), case, savings="40")
    assert status == 200
    assert "Put aside €40.00 a month" in page
    assert "later" in page or "no plan" in page


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"start": "2020-01-01"}, "from today on"),
        ({"start": "2090-01-01"}, "within ten years"),
        ({"hours": "0"}, "greater than or equal to 1"),
        ({"away_from": "2027-01-01"}, "Say until when."),
        ({"away_until": "2027-01-01"}, "Say from when."),
        ({"away_from": "2027-01-05", "away_until": "2027-01-01"}, "before the first day away"),
        ({"skip": "2027-01-02"}, "not one of the available choices"),
    ],
)
def test_what_cannot_be_tried_is_said_beside_its_field(
    typed: dict[str, str],
    says: str,
    case: Case,
    owner: Account,
    client_of: Callable[[Account | None], Client],
) -> None:
    status, page = tried(client_of(owner), case, **typed)
    assert status == 422
    assert says in page


def test_applicants_may_try_too(
    case: Case, applicant: Account, client_of: Callable[[Account | None], Client]
) -> None:
    status, page = tried(client_of(applicant), case, title=XB, start="2027-01-15")
    assert status == 200
    assert "later" in page
    assert "of 100" not in page


def test_without_scripts_a_trial_is_a_page(
    case: Case, owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    address = f"/cases/{case.pk}/plan/what-if?title={XB}&start=2027-01-15"
    page = client_of(owner).get(address).content.decode()
    assert "<h1>" in page
    assert "Back to the plan" in page


def test_the_offices_rates_turn_the_budget_into_the_applicants_currency(
    case: Case,
    owner: Account,
    client_of: Callable[[Account | None], Client],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.setattr("comity.desk.plans.rates.home", lambda: tmp_path)
    case.document = re.sub(r"(?ms)^preferences:.*?(?=^\S|\Z)", "", case.document)
    case.document = case.document.rstrip() + "\npreferences: {currency: USD}\n"
    case.save()
    address = f"/cases/{case.pk}/plan/shown?title={XB}"
    before = client_of(owner).get(address).content.decode()
    assert "US$" not in before
    # The layout of the European Central Bank's eurofxref-hist.csv.
    (tmp_path / "rates.csv").write_text("Date,USD,GBP,\n2026-11-24,1.25,0.80,\n")
    page = client_of(owner).get(address).content.decode()
    assert "US$" in page
    (tmp_path / "rates.csv").write_text("no rates at all\n")
    page = client_of(owner).get(address).content.decode()
    assert "rates.csv: " in page
