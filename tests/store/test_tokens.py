from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from comity.store.models import Account, ApiToken
from comity.store.tokens import check, issue, revoke

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def test_a_token_opens_the_door_for_its_scopes_until_its_end(owner: Account) -> None:
    row, token = issue(owner, label="accounts", scopes=("read",), days=30, now=NOW)
    found = check(token, scope="read", now=NOW)
    assert found == row
    assert found is not None
    assert found.account == owner
    assert check(token, scope="write", now=NOW) is None
    assert check(token, scope="read", now=NOW + timedelta(days=31)) is None


def test_only_the_digest_of_a_token_is_kept(owner: Account) -> None:
    _row, token = issue(owner, label="accounts", scopes=("read",), days=30, now=NOW)
    assert token not in str(ApiToken.objects.values().get())


def test_a_token_taken_back_opens_nothing(owner: Account) -> None:
    row, token = issue(owner, label="accounts", scopes=("read", "write"), days=30, now=NOW)
    revoke(row, actor=owner, now=NOW)
    assert check(token, scope="read", now=NOW) is None


def test_a_person_locked_out_has_no_token_that_opens(owner: Account) -> None:
    _row, token = issue(owner, label="accounts", scopes=("read",), days=30, now=NOW)
    Account.objects.filter(pk=owner.pk).update(is_active=False)
    assert check(token, scope="read", now=NOW) is None


def test_a_scope_that_is_none_is_refused(owner: Account) -> None:
    with pytest.raises(ValueError, match="admin"):
        issue(owner, label="x", scopes=("admin",), days=1, now=NOW)
