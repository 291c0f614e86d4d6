from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from comity.store import audit
from comity.store.cases import add_note, change_document, set_legal_hold
from comity.store.models import Account, AuditRecord, Case, CaseKey, Tombstone
from tests.desk.conftest import case_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.test import Client

    ClientOf = Callable[[Account | None], Client]

REASON = "asked for by the applicant"
SENT = {"reason": REASON, "reference": "hana"}


def erase_of(case: Case) -> str:
    return f"/cases/{case.pk}/data/erase"


ACTORS = [("owner", 200), ("adviser", 403), ("applicant", 404), ("outsider", 404)]


@pytest.mark.parametrize(("who", "status"), ACTORS)
@pytest.mark.parametrize("path", ["data/erase", "erased"])
def test_only_an_owner_is_asked_whether_to_erase_and_sees_what_was_erased(
    path: str,
    who: str,
    status: int,
    case: Case,
    client_of: ClientOf,
    request: pytest.FixtureRequest,
) -> None:
    person: Account = request.getfixturevalue(who)
    address = "/office/erased" if path == "erased" else erase_of(case)
    assert client_of(person).get(address).status_code == status


@pytest.mark.parametrize(("who", "status"), ACTORS[1:])
def test_nobody_else_erases(
    who: str, status: int, case: Case, client_of: ClientOf, request: pytest.FixtureRequest
) -> None:
    person: Account = request.getfixturevalue(who)
    assert client_of(person).post(erase_of(case), SENT).status_code == status
    assert Case.objects.filter(pk=case.pk).exists()


def test_nobody_in_particular_is_sent_to_sign_in(case: Case, client_of: ClientOf) -> None:
    answer = client_of(None).post(erase_of(case), SENT)
    assert answer.headers["Location"].startswith("/sign-in?next=/cases/")
    assert Case.objects.filter(pk=case.pk).exists()


def test_the_page_says_what_goes_and_what_stays(
    case: Case, owner: Account, client_of: ClientOf
) -> None:
    add_note(case, "A note.", actor=owner)
    shown = client_of(owner).get(erase_of(case)).content.decode()
    assert "hana@people.example" in shown
    assert "<dt>Notes of the office</dt><dd>1</dd>" in shown
    assert "Backups made before" in shown


def test_an_erased_case_leaves_a_tombstone_and_a_chain_that_verifies(
    case: Case, owner: Account, client_of: ClientOf
) -> None:
    # GDPR, article 17: erasure; article 5(2): the office can show that it was done.
    changed = change_document(
        case, f"{case.document}\n# noted\n", base_version=case.version, actor=owner,
        action="case/facts changed", detail={},
    )  # fmt: skip
    add_note(changed, "A note.", actor=owner)
    n_before = AuditRecord.objects.count()
    shown = client_of(owner).post(erase_of(case), SENT, follow=True).content.decode()
    stone = Tombstone.objects.get()
    assert (stone.case_id, stone.reason) == (case.pk, REASON)
    assert str(case.pk) in shown
    assert "Olive Brandt" in shown
    assert "Hana" not in shown
    assert not Case.objects.filter(pk=case.pk).exists()
    assert not CaseKey.objects.filter(case_id=case.pk).exists()
    assert not Account.objects.filter(email="hana@people.example").exists()
    checked = audit.verify()
    assert (checked.n_records, checked.problems) == (n_before + 1, ())
    assert [audit.detail_of(each) for each in AuditRecord.objects.filter(case_id=case.pk)] == [
        None, None,
    ]  # fmt: skip


def test_the_applicants_session_ends_with_the_case(
    case: Case, owner: Account, applicant: Account, client_of: ClientOf
) -> None:
    theirs = client_of(applicant)
    assert theirs.get(f"/cases/{case.pk}/data").status_code == 200
    client_of(owner).post(erase_of(case), SENT)
    assert theirs.get(f"/cases/{case.pk}/data").status_code == 302


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"reference": "soren"}, "This is not the reference of this case; it is hana."),
        ({"reference": ""}, "This field is required."),
        ({"reason": " "}, "This field is required."),
        ({"reason": "Kwon asked for it"}, "may name nobody; leave out “kwon”."),
    ],
)
def test_nothing_is_erased_while_something_is_amiss(
    changed: dict[str, str], said: str, case: Case, owner: Account, client_of: ClientOf
) -> None:
    answer = client_of(owner).post(erase_of(case), {**SENT, **changed})
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert Case.objects.filter(pk=case.pk).exists()


def test_under_a_legal_hold_nothing_is_erased(
    case: Case, owner: Account, client_of: ClientOf
) -> None:
    set_legal_hold(case, "a claim", actor=owner)
    client = client_of(owner)
    shown = client.get(erase_of(case)).content.decode()
    assert "a claim" in shown
    assert 'name="reference"' not in shown
    assert client.post(erase_of(case), SENT).status_code == 409
    assert Case.objects.filter(pk=case.pk).exists()
    assert Tombstone.objects.count() == 0


def test_a_hold_set_at_the_last_moment_counts(
    case: Case, owner: Account, client_of: ClientOf, monkeypatch: pytest.MonkeyPatch
) -> None:
    set_legal_hold(case, "a claim", actor=owner)
    # As the page saw it, a moment before.
    before = Case.objects.get(pk=case.pk)
    before.legal_hold = ""
    monkeypatch.setattr("comity.desk.keeping.erasing.get_case", lambda *_: before)
    answer = client_of(owner).post(erase_of(case), SENT)
    assert answer.status_code == 409
    assert "lift the legal hold first" in answer.content.decode()
    assert Case.objects.filter(pk=case.pk).exists()


def test_a_case_whose_time_is_over_is_linked_to_its_erasing(
    owner: Account, client_of: ClientOf
) -> None:
    old = case_of("thu")
    old.closed_at = timezone.now() - timedelta(days=7 * 366)
    old.save()
    shown = client_of(owner).get("/office/keeping").content.decode()
    assert f'href="{erase_of(old)}"' in shown
    assert 'href="/office/erased"' in shown
