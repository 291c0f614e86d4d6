"""Tokens of programs: random, with an end and scopes; only the digest is kept."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from comity.store import audit
from comity.store.models import ApiToken
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from comity.store.models import Account

READ: Final = "read"
WRITE: Final = "write"
SCOPES: Final = (READ, WRITE)
_PREFIX: Final = "comity_"
_RANDOM_BYTES: Final = 32
_SEEN_EVERY: Final = timedelta(minutes=5)


def issue(
    account: Account, *, label: str, scopes: Sequence[str], days: int, now: datetime
) -> tuple[ApiToken, str]:
    """Return a new token's row, and the token itself, which is not kept.

    Parameters
    ----------
    account : Account
        Whose it is; the program may at most what they may.
    label : str
        What it is for, to know it by.
    scopes : sequence of str
        Some of `SCOPES`.
    days : int
        How long it opens the door.
    now : datetime
        When it begins.

    Raises
    ------
    ValueError
        For a scope that is none.
    """
    if not set(scopes) <= set(SCOPES):
        msg = f"scopes {tuple(scopes)!r} are not all of {SCOPES!r}"
        raise ValueError(msg)
    token = _PREFIX + secrets.token_urlsafe(_RANDOM_BYTES)
    with writing():
        row = ApiToken.objects.create(
            digest=_digest(token),
            label=label,
            account=account,
            scopes=sorted(set(scopes)),
            expires_at=now + timedelta(days=days),
        )
        detail = {"token": row.pk, "scopes": row.scopes, "days": days}
        audit.record("token/issued", actor=account, detail=detail)
    return row, token


def check(token: str, *, scope: str, now: datetime) -> ApiToken | None:
    """Return the token's row, with its account, when it opens the door for a scope now."""
    row = (
        ApiToken.objects.select_related("account")
        .filter(digest=_digest(token), revoked_at=None, expires_at__gt=now)
        .filter(account__is_active=True)
        .first()
    )
    if row is None or scope not in row.scopes:
        return None
    if row.last_used_at is None or now - row.last_used_at > _SEEN_EVERY:
        row.last_used_at = now
        row.save(update_fields=["last_used_at"])
    return row


def revoke(row: ApiToken, *, actor: Account, now: datetime) -> None:
    """Take a token back."""
    with writing():
        row.revoked_at = now
        row.save(update_fields=["revoked_at"])
        audit.record("token/revoked", actor=actor, detail={"token": row.pk})


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8")).hexdigest()
