from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from comity.store import audit
from comity.store.errors import StoreError
from comity.store.invitations import accept, find, invite, revoke
from comity.store.models import Account, AuditRecord, Case, Invitation, Role

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
EMAIL = "Hana@Example.org "


def invite_hana(case: Case, owner: Account) -> tuple[Invitation, str]:
    return invite(EMAIL, name="Hana", role=Role.APPLICANT, case=case, actor=owner, now=NOW)


def accepted(token: str, now: datetime = NOW) -> Account:
    return accept(token, password="a long enough password", name="Hana", now=now)  # noqa: S106


def test_a_link_lets_one_person_in_once(case: Case, owner: Account) -> None:
    invitation, token = invite_hana(case, owner)
    assert find(token, now=NOW) == invitation
    account = accepted(token)
    assert (account.email, account.role) == ("hana@example.org", Role.APPLICANT)
    assert Case.objects.get(pk=case.pk).account == account
    with pytest.raises(StoreError, match="this link no longer works; ask for a new one"):
        accepted(token)


def test_only_the_digest_of_the_link_is_kept(case: Case, owner: Account) -> None:
    invitation, token = invite_hana(case, owner)
    kept = str(Invitation.objects.filter(pk=invitation.pk).values().get())
    assert token not in kept
    for record in AuditRecord.objects.all():
        assert token not in str(audit.detail_of(record))


def test_a_link_ends_after_fourteen_days(case: Case, owner: Account) -> None:
    _invitation, token = invite_hana(case, owner)
    assert find(token, now=NOW + timedelta(days=13, hours=23)) is not None
    with pytest.raises(StoreError, match="no longer works"):
        accepted(token, now=NOW + timedelta(days=14, seconds=1))


def test_a_link_that_was_taken_back_opens_nothing(case: Case, owner: Account) -> None:
    invitation, token = invite_hana(case, owner)
    revoke(invitation, actor=owner, now=NOW)
    assert find(token, now=NOW) is None


def test_a_link_with_a_changed_sign_opens_nothing(case: Case, owner: Account) -> None:
    _invitation, token = invite_hana(case, owner)
    for place in (0, len(token) // 2, len(token) - 1):
        other = "A" if token[place] != "A" else "B"
        assert find(token[:place] + other + token[place + 1 :], now=NOW) is None


@pytest.mark.parametrize(("role", "has_case"), [("applicant", False), ("adviser", True)])
def test_only_applicants_come_with_a_case(
    case: Case, owner: Account, role: str, *, has_case: bool
) -> None:
    with pytest.raises(StoreError, match="case"):
        invite(EMAIL, name="x", role=role, case=case if has_case else None, actor=owner, now=NOW)


def test_an_address_in_use_is_not_invited(owner: Account) -> None:
    with pytest.raises(StoreError, match="has an account here already"):
        invite(owner.email.upper(), name="x", role=Role.ADVISER, actor=owner, now=NOW)
