from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client

from comity.desk import clock
from comity.desk.accounts.joining import new_password_link
from comity.store import invitations
from comity.store.errors import StoreError
from comity.store.models import Account, AuditRecord, Case, Invitation, Office, Role
from tests.desk.conftest import PASSWORD, case_of

GIVEN = {"name": "Ngozi Ferreira", "password": "nine slow rivers home"}


@pytest.fixture
def token(owner: Account) -> str:
    """Return the token of an invitation to work here."""
    return invited(owner, role=Role.ADVISER)


def invited(by: Account, *, role: str, case: Case | None = None) -> str:
    _invitation, token = invitations.invite(
        "ngozi@lantern.example", name="Ngozi", role=role, actor=by, now=clock.now(), case=case
    )
    return token


def test_an_invited_colleague_chooses_a_password_and_is_in(token: str) -> None:
    client = Client()
    assert client.post(f"/invitation/{token}", GIVEN).headers["Location"] == "/"
    account = Account.objects.get(email="ngozi@lantern.example")
    assert (account.role, account.name) == (Role.ADVISER, "Ngozi Ferreira")
    assert client.get("/office").status_code == 200


def test_new_people_read_the_language_of_the_office(token: str, office: Office) -> None:
    Office.objects.filter(pk=office.pk).update(language="qps-plocm")
    client = Client()
    client.post(f"/invitation/{token}", GIVEN)
    assert 'dir="rtl"' in client.get("/me").content.decode()


def test_an_invited_applicant_gets_their_own_case(adviser: Account) -> None:
    case = case_of("hana", adviser=adviser)
    token = invited(adviser, role=Role.APPLICANT, case=case)
    Client().post(f"/invitation/{token}", GIVEN)
    assert Account.objects.get(role=Role.APPLICANT).own_case == case


def test_the_page_greets_by_name_and_tells_until_when_it_works(token: str, owner: Account) -> None:
    shown = Client().get(f"/invitation/{token}").content.decode()
    assert owner.name in shown
    assert 'value="Ngozi"' in shown


def test_a_link_works_once(token: str) -> None:
    Client().post(f"/invitation/{token}", GIVEN)
    answer = Client().post(f"/invitation/{token}", {**GIVEN, "name": "Another"})
    assert answer.status_code == 404
    assert "This link no longer works" in answer.content.decode()
    assert Account.objects.filter(email="ngozi@lantern.example").count() == 1


def test_a_link_works_for_fourteen_days(token: str) -> None:
    expires = Invitation.objects.get().expires_at
    assert invitations.find(token, now=expires - timedelta(seconds=1)) is not None
    assert invitations.find(token, now=expires) is None
    with pytest.raises(StoreError, match="this link no longer works"):
        invitations.accept(token, password="x", name="x", now=expires)  # noqa: S106


def test_a_link_that_was_taken_back_is_useless(token: str, owner: Account) -> None:
    invitations.revoke(Invitation.objects.get(), actor=owner, now=clock.now())
    assert Client().get(f"/invitation/{token}").status_code == 404


def test_a_link_of_somebody_who_was_locked_out_is_useless(token: str, owner: Account) -> None:
    Account.objects.filter(pk=owner.pk).update(is_active=False)
    assert Client().get(f"/invitation/{token}").status_code == 404


@pytest.mark.parametrize("written", ["{cut}", "x{token}", "guess"])
def test_a_link_cut_short_or_made_up_is_useless(token: str, written: str) -> None:
    made_up = written.format(cut=token[:-1], token=token)
    assert Client().get(f"/invitation/{made_up}").status_code == 404


def test_a_password_that_will_not_do_leaves_the_link_working(token: str) -> None:
    answer = Client().post(f"/invitation/{token}", {**GIVEN, "password": "short"})
    assert answer.status_code == 422
    assert Client().get(f"/invitation/{token}").status_code == 200


def test_who_got_an_account_meanwhile_is_told(token: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def refusing(*_given: object, **_named: object) -> Account:
        message = "somebody with this address has an account here already"
        raise StoreError(message)

    monkeypatch.setattr(invitations, "accept", refusing)
    answer = Client().post(f"/invitation/{token}", GIVEN)
    assert answer.status_code == 422
    assert "has an account here already" in answer.content.decode()


def test_without_a_password_nobody_comes_in(token: str) -> None:
    assert Client().post(f"/invitation/{token}", {"name": "Ngozi"}).status_code == 422


def test_only_a_digest_of_the_link_is_kept(token: str) -> None:
    assert token not in str(Invitation.objects.values().get())


def test_an_invitation_and_its_acceptance_stand_in_the_history(token: str) -> None:
    Client().post(f"/invitation/{token}", GIVEN)
    actions = AuditRecord.objects.order_by("sequence").values_list("action", flat=True)
    assert list(actions) == ["invitation/made", "invitation/accepted"]


@pytest.mark.parametrize(
    ("role", "cases", "said"),
    [
        (Role.APPLICANT, (), "an invitation as applicant needs a case"),
        (Role.ADVISER, ("hana",), "an invitation as adviser has no case"),
    ],
)
def test_applicants_and_no_others_are_invited_to_a_case(
    owner: Account, role: str, cases: tuple[str, ...], said: str
) -> None:
    case = next(map(case_of, cases), None)
    with pytest.raises(StoreError, match=said):
        invited(owner, role=role, case=case)


def test_a_case_has_one_applicant_who_signs_in(owner: Account, case: Case) -> None:
    with pytest.raises(StoreError, match="the applicant of this case has an account already"):
        invited(owner, role=Role.APPLICANT, case=case)


def test_a_new_password_by_a_link_works_once(adviser: Account) -> None:
    who, token = new_password_link(adviser)
    path = f"/new-password/{who}/{token}"
    assert Client().get(path).status_code == 200
    assert Client().post(path, {"new": "nine slow rivers home"}).headers["Location"] == "/sign-in"
    adviser.refresh_from_db()
    assert adviser.check_password("nine slow rivers home")
    assert Client().get(path).status_code == 404


def test_a_link_for_a_new_password_ends_with_the_next_sign_in(adviser: Account) -> None:
    who, token = new_password_link(adviser)
    Client().post("/sign-in", {"username": adviser.email, "password": PASSWORD})
    assert Client().get(f"/new-password/{who}/{token}").status_code == 404


@pytest.mark.parametrize("who", ["MQ", "not base 64", "LTE", "w6k"])
def test_a_made_up_link_for_a_password_is_useless(adviser: Account, who: str) -> None:
    assert Client().get(f"/new-password/{who}/c0ffee-guess").status_code == 404
