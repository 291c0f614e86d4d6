"""Addresses of calendars: random, taken back at any time; only the digest is kept."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from comity.store import audit
from comity.store.models import CalendarFeed
from comity.store.writing import writing

if TYPE_CHECKING:
    from datetime import datetime

    from comity.store.models import Account, Case

RANDOM_BYTES: Final = 32
_SEEN_EVERY: Final = timedelta(minutes=30)


def feed_of_account(account: Account, *, label: str) -> tuple[CalendarFeed, str]:
    """Return a new feed of all cases in a person's care, and its secret, which is not kept."""
    return _made(label, account=account, actor=account)


def feed_of_case(case: Case, *, label: str, actor: Account) -> tuple[CalendarFeed, str]:
    """Return a new feed of one case, and its secret, which is not kept."""
    return _made(label, case=case, actor=actor)


def _made(
    label: str, *, actor: Account, account: Account | None = None, case: Case | None = None
) -> tuple[CalendarFeed, str]:
    secret = secrets.token_urlsafe(RANDOM_BYTES)
    with writing():
        row = CalendarFeed.objects.create(
            digest=_digest(secret), label=label.strip(), account=account, case=case
        )
        audit.record("calendar/address made", actor=actor, case=case, detail={"feed": row.pk})
    return row, secret


def check(secret: str, *, now: datetime) -> CalendarFeed | None:
    """Return the feed that a secret opens now, with its account and case.

    An address opens nothing once it is taken back, once its person is locked out, or once its case
    is closed.
    """
    row = (
        CalendarFeed.objects.select_related("account", "case__account", "case__adviser")
        .filter(digest=_digest(secret), revoked_at=None)
        .first()
    )
    if row is None or not _is_open(row):
        return None
    if row.last_read_at is None or now - row.last_read_at > _SEEN_EVERY:
        # The one column, so that a calendar taken back meanwhile stays so.
        CalendarFeed.objects.filter(pk=row.pk).update(last_read_at=now)
    return row


def _is_open(row: CalendarFeed) -> bool:
    if row.account is not None:
        return row.account.is_active and row.account.is_member
    return row.case is not None and row.case.closed_at is None


def revoke(row: CalendarFeed, *, actor: Account, now: datetime) -> None:
    """Take an address back; once it is, it stays so."""
    with writing():
        if CalendarFeed.objects.filter(pk=row.pk, revoked_at=None).update(revoked_at=now):
            detail = {"feed": row.pk}
            audit.record("calendar/address taken back", actor=actor, case=row.case, detail=detail)


def open_feeds(*, account: Account | None = None, case: Case | None = None) -> list[CalendarFeed]:
    """Return the addresses of a person or a case that still open, newest first."""
    rows = CalendarFeed.objects.filter(revoked_at=None, account=account, case=case)
    return list(rows.order_by("-made_at", "-pk"))


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
