from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from comity.desk import clock
from comity.store import tokens
from comity.store.models import Account, ApiToken
from tests.desk.conftest import PASSWORD

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    ClientOf = Callable[[Account | None], Client]

NEW = "nine slow rivers home"


@pytest.mark.parametrize("who", ["owner", "adviser", "applicant", "outsider"])
def test_everybody_has_a_page_of_their_own(
    who: str, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    shown = client_of(person).get("/me").content.decode()
    assert person.email in shown
    assert ("Tokens for programs" in shown) == person.is_member


def test_a_new_password_keeps_this_session_and_ends_the_others(
    adviser: Account, client_of: ClientOf
) -> None:
    here, elsewhere = client_of(adviser), client_of(adviser)
    answer = here.post("/me/password", {"current": PASSWORD, "new": NEW})
    assert answer.headers["Location"] == "/me"
    assert here.get("/me").status_code == 200
    assert elsewhere.get("/me").status_code == 302


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"current": "not this one at all", "new": NEW}, "This is not your present password."),
        ({"current": PASSWORD, "new": "short"}, "at least 12 characters"),
        ({"current": PASSWORD, "new": "ade@lantern.example"}, "too similar"),
    ],
)
def test_a_password_is_not_changed_without_the_old_one_and_a_good_new_one(
    adviser: Account, client_of: ClientOf, given: dict[str, str], said: str
) -> None:
    answer = client_of(adviser).post("/me/password", given)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    adviser.refresh_from_db()
    assert adviser.check_password(PASSWORD)


def test_one_signs_out_everywhere_else(
    adviser: Account, owner: Account, client_of: ClientOf
) -> None:
    here, elsewhere, other = client_of(adviser), client_of(adviser), client_of(owner)
    assert "in one other place" in here.get("/me").content.decode()
    here.post("/me/elsewhere")
    assert (here.get("/me").status_code, elsewhere.get("/me").status_code) == (200, 302)
    assert other.get("/me").status_code == 200


def test_the_language_of_ones_pages_is_ones_own(adviser: Account, client_of: ClientOf) -> None:
    client = client_of(adviser)
    client.post("/me/language", {"language": "qps-plocm"})
    assert 'dir="rtl"' in client.get("/me").content.decode()
    assert client.post("/me/language", {"language": "xx"}).status_code == 422


def test_a_token_is_shown_once_and_kept_as_a_digest(adviser: Account, client_of: ClientOf) -> None:
    client = client_of(adviser)
    given = {"label": "Nightly export", "days": "30", "may_write": "on"}
    shown = client.post("/me/tokens", given)
    token = shown.context["new_token"]
    row = ApiToken.objects.get()
    assert token in shown.content.decode()
    assert token not in client.get("/me").content.decode()
    assert token not in str(ApiToken.objects.values().get())
    assert row.scopes == ["read", "write"]
    assert row.expires_at - clock.now() <= timedelta(days=30)


def test_a_token_without_a_purpose_is_not_made(adviser: Account, client_of: ClientOf) -> None:
    assert client_of(adviser).post("/me/tokens", {"days": "30"}).status_code == 422
    assert not ApiToken.objects.exists()


def test_applicants_make_no_tokens(applicant: Account, client_of: ClientOf) -> None:
    assert client_of(applicant).post("/me/tokens", {"label": "x", "days": "30"}).status_code == 404


def issued(account: Account, *scopes: str) -> tuple[ApiToken, str]:
    return tokens.issue(account, label="x", scopes=scopes, days=30, now=clock.now())


def test_a_token_opens_the_door_for_its_scopes_until_its_end(adviser: Account) -> None:
    row, token = issued(adviser, "read")
    assert tokens.check(token, scope="read", now=clock.now()) == row
    assert tokens.check(token, scope="write", now=clock.now()) is None
    assert tokens.check(token, scope="read", now=row.expires_at) is None
    assert tokens.check("comity_guess", scope="read", now=clock.now()) is None


def test_a_token_of_somebody_locked_out_opens_nothing(adviser: Account) -> None:
    _row, token = issued(adviser, "read")
    Account.objects.filter(pk=adviser.pk).update(is_active=False)
    assert tokens.check(token, scope="read", now=clock.now()) is None


def test_a_token_is_seen_to_be_used_without_a_write_at_every_call(adviser: Account) -> None:
    row, token = issued(adviser, "read")
    first = clock.now()
    for moment in (first, first + timedelta(minutes=1)):
        tokens.check(token, scope="read", now=moment)
    row.refresh_from_db()
    assert row.last_used_at == first


def test_a_scope_that_is_none_is_refused(adviser: Account) -> None:
    with pytest.raises(ValueError, match=r"scopes .'all',. are not all of"):
        issued(adviser, "all")


def test_one_takes_back_ones_own_tokens_only(
    adviser: Account, owner: Account, client_of: ClientOf
) -> None:
    row, token = issued(adviser, "read")
    client_of(owner).post(f"/me/tokens/{row.pk}/revoke")
    assert tokens.check(token, scope="read", now=clock.now()) is not None
    client_of(adviser).post(f"/me/tokens/{row.pk}/revoke")
    assert tokens.check(token, scope="read", now=clock.now()) is None
