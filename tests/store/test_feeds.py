from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction

from comity.core.days.calendar import day_from_date
from comity.store.cases import close_case
from comity.store.feeds import check, feed_of_account, feed_of_case, open_feeds, revoke
from comity.store.models import Account, AuditRecord, CalendarFeed, Case
from comity.store.people import set_active
from comity.store.retention import apply

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


def test_an_address_opens_its_calendar_until_it_is_taken_back(owner: Account) -> None:
    row, secret = feed_of_account(owner, label="phone")
    assert check(secret, now=NOW) == row
    assert open_feeds(account=owner) == [row]
    revoke(row, actor=owner, now=NOW)
    assert check(secret, now=NOW) is None
    assert open_feeds(account=owner) == []


def test_only_the_digest_of_an_address_is_kept(owner: Account) -> None:
    _row, secret = feed_of_account(owner, label="phone")
    assert len(secret) >= 43  # 256 bits, as the base64 of RFC 4648 writes them
    assert secret not in str(CalendarFeed.objects.values().get())


def test_a_case_has_addresses_of_its_own(case: Case, owner: Account) -> None:
    row, secret = feed_of_case(case, label="Hana's phone", actor=owner)
    found = check(secret, now=NOW)
    assert found == row
    assert open_feeds(case=case) == [row]
    assert open_feeds(account=owner) == []
    assert AuditRecord.objects.latest("sequence").action == "calendar/address made"


def test_the_calendar_of_a_closed_case_is_not_there(case: Case, owner: Account) -> None:
    _row, secret = feed_of_case(case, label="phone", actor=owner)
    close_case(case, actor=owner)
    assert check(secret, now=NOW) is None


def test_a_person_locked_out_has_no_calendar(owner: Account) -> None:
    other = Account.objects.create_account("b@example.org", "x" * 12, name="B", role="adviser")
    _row, secret = feed_of_account(other, label="phone")
    set_active(other, is_active=False, actor=owner)
    assert check(secret, now=NOW) is None


def test_when_an_address_was_last_read_is_noted_now_and_then(owner: Account) -> None:
    _row, secret = feed_of_account(owner, label="phone")
    for minutes in (0, 10, 31):
        check(secret, now=NOW + timedelta(minutes=minutes))
    assert CalendarFeed.objects.get().last_read_at == NOW + timedelta(minutes=31)


def test_an_address_belongs_to_a_person_or_to_a_case(case: Case, owner: Account) -> None:
    for account, whose in ((None, None), (owner, case)):
        with pytest.raises(IntegrityError), transaction.atomic():
            CalendarFeed.objects.create(digest="0", label="x", account=account, case=whose)


def test_addresses_taken_back_go_after_a_month(owner: Account) -> None:
    row, _secret = feed_of_account(owner, label="phone")
    revoke(row, actor=owner, now=NOW)
    today = day_from_date(NOW.date())
    assert apply(today + 30, actor=owner) == {}
    assert apply(today + 31, actor=owner) == {"calendar addresses": 1}
