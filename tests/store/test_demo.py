from __future__ import annotations

from datetime import date

import pytest

from comity.core.days.calendar import day_from_date
from comity.store import audit, spans
from comity.store.demo import ADVISER, APPLICANT, OWNER, PASSWORD, fill_demo_office
from comity.store.demo import refuse_outside_demo as refuse
from comity.store.errors import StoreError
from comity.store.models import Account, Action, Case, Note, Office, StoredEdition

pytestmark = pytest.mark.django_db

DAY = date(2026, 11, 25)
TODAY = day_from_date(DAY)


@pytest.fixture
def demo_mode(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COMITY_DEMO", "1")


@pytest.mark.usefixtures("demo_mode")
def test_the_demo_office_is_filled_once() -> None:
    for _ in range(2):
        assert fill_demo_office(TODAY).is_demo
    assert Case.objects.count() == 19
    assert StoredEdition.objects.filter(state="in force").count() == 4
    assert Note.objects.exists()
    assert Action.objects.filter(due__lt=DAY).exists()
    assert not Case.objects.exclude(created_at__date=DAY).exists()
    assert not spans.out_of_date().exists()
    assert audit.verify().is_sound


@pytest.mark.usefixtures("demo_mode")
def test_its_three_people_can_sign_in() -> None:
    fill_demo_office(TODAY)
    for email in (OWNER, ADVISER, APPLICANT):
        assert Account.objects.get(email=email).check_password(PASSWORD)
    assert Account.objects.get(email=APPLICANT).own_case.reference == "hana"


def test_outside_demo_mode_nothing_is_filled() -> None:
    with pytest.raises(StoreError, match="in demo mode only; start with --demo"):
        fill_demo_office(TODAY)
    assert not Account.objects.exists()


@pytest.mark.usefixtures("demo_mode")
def test_an_office_of_real_people_is_never_filled(owner: Account) -> None:
    assert owner.is_owner
    with pytest.raises(StoreError, match="this is an office of real people"):
        fill_demo_office(TODAY)
    assert not Case.objects.exists()


def test_the_demo_office_cannot_be_served_as_a_real_one(monkeypatch: pytest.MonkeyPatch) -> None:
    refuse()
    Office.objects.create(pk=1, name="Demo", is_demo=True)
    with pytest.raises(StoreError, match="whose passwords everybody knows"):
        refuse()
    monkeypatch.setenv("COMITY_DEMO", "1")
    refuse()
