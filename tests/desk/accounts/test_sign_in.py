from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client

from comity.store.models import AuditRecord
from tests.desk.conftest import PASSWORD

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.store.models import Account

WRONG = "This address and password do not belong together."


def test_anonymous_people_are_led_to_the_sign_in_page_and_back() -> None:
    answer = Client().get("/me")
    assert answer.headers["Location"] == "/sign-in?next=/me"


def test_a_part_of_a_page_leads_the_whole_page_to_the_sign_in() -> None:
    answer = Client().get("/me", headers={"hx-request": "true"})
    assert answer.headers["HX-Redirect"] == "/sign-in"


def test_the_right_password_leads_where_the_person_was_going(owner: Account) -> None:
    given = {"username": owner.email, "password": PASSWORD, "next": "/me"}
    answer = Client().post("/sign-in", given)
    assert (answer.status_code, answer.headers["Location"]) == (302, "/me")


def test_an_address_is_known_however_it_is_written(owner: Account) -> None:
    given = {"username": owner.email.upper(), "password": PASSWORD, "next": "/me"}
    assert Client().post("/sign-in", given).status_code == 302


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example", "x:y"])
def test_signing_in_never_leads_to_another_site(owner: Account, elsewhere: str) -> None:
    given = {"username": owner.email, "password": PASSWORD, "next": elsewhere}
    assert Client().post("/sign-in", given).headers["Location"] == "/"


@pytest.mark.parametrize("email", ["olive@lantern.example", "nobody@lantern.example"])
def test_a_wrong_password_and_an_unknown_address_are_told_alike(owner: Account, email: str) -> None:
    answer = Client().post("/sign-in", {"username": email, "password": "not this one at all"})
    assert answer.status_code == 422
    assert WRONG in answer.content.decode()


def test_a_deactivated_account_is_told_no_more(owner: Account) -> None:
    owner.is_active = False
    owner.save()
    answer = Client().post("/sign-in", {"username": owner.email, "password": PASSWORD})
    assert WRONG in answer.content.decode()


def test_who_has_signed_in_is_led_on(
    owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    assert client_of(owner).get("/sign-in?next=/me").headers["Location"] == "/me"


def test_signing_out_ends_the_session(
    owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    client = client_of(owner)
    assert client.post("/sign-out").headers["Location"] == "/sign-in"
    assert client.get("/me").status_code == 302


def test_coming_and_going_stand_in_the_history(owner: Account) -> None:
    client = Client()
    client.post("/sign-in", {"username": owner.email, "password": PASSWORD})
    client.post("/sign-out")
    actions = AuditRecord.objects.order_by("sequence").values_list("action", flat=True)
    assert list(actions) == ["account/signed in", "account/signed out"]


def test_signing_out_needs_a_deliberate_click(
    owner: Account, client_of: Callable[[Account | None], Client]
) -> None:
    assert client_of(owner).get("/sign-out").status_code == 405
