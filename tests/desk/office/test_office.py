from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.desk import clock
from comity.store import invitations, people, tokens
from comity.store.errors import StoreError
from comity.store.models import Account, AuditRecord, Case, Invitation, Office, Role
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    ClientOf = Callable[[Account | None], Client]

SETTINGS = {
    "name": "Lantern & Lee",
    "contact": "lee@lantern.example",
    "time_zone": "Africa/Lagos",
    "currency": "NGN",
    "language": "en",
    "base_version": "1",
}
COLLEAGUE = {"name": "Ngozi Ferreira", "email": "ngozi@lantern.example", "role": "adviser"}


@pytest.mark.parametrize(
    ("who", "status"),
    [("owner", 200), ("adviser", 200), ("applicant", 404), ("outsider", 404)],
)
def test_the_office_is_shown_to_who_works_there(
    who: str, status: int, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    assert client_of(person).get("/office").status_code == status


@pytest.mark.parametrize(
    "path", ["/office/change", "/office/people/invite", "/office/people/1", "/office"]
)
def test_nobody_in_particular_is_sent_to_sign_in(
    path: str, owner: Account, client_of: ClientOf
) -> None:
    assert client_of(None).get(path).headers["Location"] == f"/sign-in?next={path}"


@pytest.mark.parametrize(
    ("who", "status"),
    [("owner", 200), ("adviser", 403), ("applicant", 404), ("outsider", 404)],
)
@pytest.mark.parametrize("path", ["/office/change", "/office/people/invite"])
def test_the_owner_runs_the_office(
    who: str, status: int, path: str, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    assert client_of(person).get(path).status_code == status


def test_settings_are_saved_with_what_stood_there_before(
    owner: Account, client_of: ClientOf
) -> None:
    assert client_of(owner).post("/office/change", SETTINGS).headers["Location"] == "/office"
    office = Office.objects.get()
    assert (office.name, office.currency, office.version) == ("Lantern & Lee", "NGN", 2)
    assert AuditRecord.objects.get().action == "office/settings changed"


def test_settings_left_as_they_are_leave_no_record(owner: Account, office: Office) -> None:
    people.change_office({"name": office.name}, base_version=1, actor=owner)
    assert not AuditRecord.objects.exists()


def test_who_saves_second_sees_both_and_loses_nothing(owner: Account, client_of: ClientOf) -> None:
    client = client_of(owner)
    client.post("/office/change", SETTINGS)
    answer = client.post("/office/change", {**SETTINGS, "name": "Lee alone"})
    shown = answer.content.decode()
    assert answer.status_code == 409
    assert "Lantern &amp; Lee" in shown
    assert 'value="Lee alone"' in shown
    assert Office.objects.get().name == "Lantern & Lee"
    client.post("/office/change", {**SETTINGS, "name": "Lee alone", "base_version": "2"})
    assert Office.objects.get().name == "Lee alone"


def test_an_office_without_a_name_is_not_saved(owner: Account, client_of: ClientOf) -> None:
    assert client_of(owner).post("/office/change", {**SETTINGS, "name": ""}).status_code == 422


def test_the_owner_gets_a_link_to_hand_over(owner: Account, client_of: ClientOf) -> None:
    client = client_of(owner)
    shown = client.post("/office/people/invite", COLLEAGUE)
    link = shown.context["link"]
    assert link.startswith("http://testserver/invitation/")
    assert link in shown.content.decode()
    assert "Ngozi Ferreira" in client.get("/office").content.decode()


def test_an_address_that_has_an_account_is_not_invited(
    owner: Account, adviser: Account, client_of: ClientOf
) -> None:
    answer = client_of(owner).post("/office/people/invite", {**COLLEAGUE, "email": adviser.email})
    assert answer.status_code == 422
    assert "has an account here already" in answer.content.decode()


def test_an_owner_is_not_made_an_applicant_by_the_way(owner: Account, client_of: ClientOf) -> None:
    answer = client_of(owner).post("/office/people/invite", {**COLLEAGUE, "role": "applicant"})
    assert answer.status_code == 422


@pytest.mark.parametrize(
    ("who", "status"),
    [("owner", 200), ("adviser", 200), ("applicant", 404), ("outsider", 404)],
)
def test_members_invite_applicants_to_their_case(
    who: str, status: int, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    case = case_of("ingrid")
    person: Account = request.getfixturevalue(who)
    path = f"/office/applicants/{case.pk}/invite"
    given = {"name": "Ingrid", "email": "ingrid@people.example"}
    assert client_of(person).get(path).status_code == status
    assert client_of(person).post(path, given).status_code == status
    assert Invitation.objects.filter(case=case).exists() == (status == 200)


def test_an_applicant_who_signs_in_is_not_invited_again(
    adviser: Account, case: Case, client_of: ClientOf
) -> None:
    path = f"/office/applicants/{case.pk}/invite"
    assert client_of(adviser).get(path).headers["Location"] == f"/cases/{case.pk}"


def test_an_invitation_is_taken_back_by_who_made_it_or_the_owner(
    owner: Account, adviser: Account, client_of: ClientOf
) -> None:
    now = clock.now()
    mine, _token = invitations.invite(
        "i@x.example", name="I", role=Role.APPLICANT, case=case_of("ingrid"), actor=adviser, now=now
    )
    theirs, _token = invitations.invite(
        "t@x.example", name="T", role=Role.ADVISER, actor=owner, now=now
    )
    client = client_of(adviser)
    assert client.post(f"/office/invitations/{theirs.pk}/take-back").status_code == 404
    assert client.post(f"/office/invitations/{mine.pk}/take-back").status_code == 302
    assert client_of(owner).post(f"/office/invitations/{theirs.pk}/take-back").status_code == 302
    assert not Invitation.objects.filter(revoked_at=None).exists()


def test_who_is_locked_out_is_out_at_once(
    owner: Account, adviser: Account, client_of: ClientOf
) -> None:
    theirs = client_of(adviser)
    _row, token = tokens.issue(adviser, label="x", scopes=["read"], days=9, now=clock.now())
    client_of(owner).post(f"/office/people/{adviser.pk}", {})
    assert theirs.get("/me").status_code == 302
    Account.objects.filter(pk=adviser.pk).update(is_active=True)
    assert theirs.get("/me").status_code == 302
    assert tokens.check(token, scope="read", now=clock.now()) is None


def test_who_was_locked_out_can_be_let_in_again(
    owner: Account, adviser: Account, client_of: ClientOf
) -> None:
    client = client_of(owner)
    client.post(f"/office/people/{adviser.pk}", {})
    client.post(f"/office/people/{adviser.pk}", {"active": "yes"})
    adviser.refresh_from_db()
    assert adviser.is_active
    actions = AuditRecord.objects.order_by("sequence").values_list("action", flat=True)
    assert list(actions) == ["account/deactivated", "account/activated"]


def test_an_office_keeps_an_owner(owner: Account, client_of: ClientOf) -> None:
    answer = client_of(owner).post(f"/office/people/{owner.pk}", {}, follow=True)
    assert "an office needs an owner; invite another one first" in answer.content.decode()
    owner.refresh_from_db()
    assert owner.is_active


def test_one_of_two_owners_can_go(owner: Account) -> None:
    other = Account.objects.create_account("o@x.example", "x", name="O", role=Role.OWNER)
    people.set_active(owner, is_active=False, actor=other)
    with pytest.raises(StoreError, match="an office needs an owner"):
        people.set_active(other, is_active=False, actor=other)


def test_the_owner_makes_a_link_for_a_forgotten_password(
    owner: Account, adviser: Account, client_of: ClientOf
) -> None:
    shown = client_of(owner).post(f"/office/people/{adviser.pk}/new-password")
    path = shown.context["link"].removeprefix("http://testserver")
    assert client_of(None).get(path).status_code == 200
    assert AuditRecord.objects.get().action == "account/password link made"


def test_advisers_make_no_links_for_others_passwords(
    owner: Account, adviser: Account, client_of: ClientOf
) -> None:
    path = f"/office/people/{owner.pk}/new-password"
    assert client_of(adviser).post(path).status_code == 403
