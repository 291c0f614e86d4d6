from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client

from comity.store import people
from comity.store.errors import StoreError
from comity.store.models import Account, AuditRecord, Office, Role

if TYPE_CHECKING:
    from collections.abc import Mapping

GIVEN = {
    "person": "Olive Brandt",
    "email": "Olive@Lantern.example",
    "password": "seven quiet lanterns",
    "name": "Lantern Advice",
    "contact": "desk@lantern.example",
    "time_zone": "Europe/Lisbon",
    "currency": "EUR",
}


@pytest.fixture(autouse=True)
def nobody_there(office: Office) -> None:
    office.delete()


@pytest.mark.parametrize("path", ["/sign-in", "/office"])
def test_before_anybody_has_an_account_one_is_led_to_the_start(path: str) -> None:
    assert Client().get(path, follow=True).redirect_chain[-1] == ("/start", 302)


def test_whoever_comes_first_owns_the_office_and_is_signed_in() -> None:
    client = Client()
    assert client.post("/start", GIVEN).status_code == 302
    owner = Account.objects.get()
    assert (owner.email, owner.role) == ("olive@lantern.example", Role.OWNER)
    assert (Office.objects.get().time_zone, Office.objects.get().contact) == (
        "Europe/Lisbon",
        "desk@lantern.example",
    )
    assert client.get("/me").status_code == 200


def test_the_start_stands_first_in_the_history() -> None:
    Client().post("/start", GIVEN)
    assert [each.action for each in AuditRecord.objects.all()] == ["office/started"]


@pytest.mark.parametrize("method", ["get", "post"])
def test_who_comes_second_is_sent_to_sign_in(method: str) -> None:
    Client().post("/start", GIVEN)
    answer = getattr(Client(), method)("/start", {**GIVEN, "email": "other@lantern.example"})
    assert answer.headers["Location"] == "/sign-in"
    assert Account.objects.count() == 1


def test_two_who_start_at_once_do_not_both_own_it(monkeypatch: pytest.MonkeyPatch) -> None:
    Client().post("/start", GIVEN)
    monkeypatch.setattr("comity.desk.accounts.starting.has_started", lambda: False)
    answer = Client().post("/start", {**GIVEN, "email": "other@lantern.example"}, follow=True)
    assert "this office has been set up already; sign in instead" in answer.content.decode()
    assert Account.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"password": "short"}, "at least 12 characters"),
        ({"password": "olive brandt"}, "too similar"),
        ({"contact": ""}, "This field is required."),
        ({"time_zone": "Atlantis"}, "Select a valid choice"),
        ({"currency": "DEM"}, "Select a valid choice"),
    ],
)
def test_what_will_not_do_is_said_beside_its_field(change: Mapping[str, str], said: str) -> None:
    answer = Client().post("/start", {**GIVEN, **change})
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Account.objects.exists()


def test_common_passwords_are_refused_from_a_list_of_leaked_ones() -> None:
    answer = Client().post("/start", {**GIVEN, "password": "1q2w3e4r5t6y"})
    assert "too common" in answer.content.decode()


@pytest.mark.parametrize("password", ["ä" * 63 + "!", "  spaces at both ends  ", "x" * 200])
def test_long_passwords_of_any_signs_are_taken_as_they_are(password: str) -> None:
    assert Client().post("/start", {**GIVEN, "password": password}).status_code == 302
    assert Account.objects.get().check_password(password)


def test_an_office_is_started_once_only() -> None:
    people.start_office({"name": "A"}, email="a@a.example", person="A", password="long enough")  # noqa: S106
    with pytest.raises(StoreError, match="this office has been set up already"):
        people.start_office({"name": "B"}, email="b@b.example", person="B", password="long enough")  # noqa: S106
