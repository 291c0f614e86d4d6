"""Invitations: a link that lets one person in, once, until a day; only its digest is kept."""

from __future__ import annotations

import hashlib
import secrets
from datetime import timedelta
from typing import TYPE_CHECKING, Final

from django.core import signing

from comity.store import audit
from comity.store.errors import StoreError
from comity.store.models import Account, Invitation, Office, Role
from comity.store.writing import writing

if TYPE_CHECKING:
    from datetime import datetime

    from comity.store.models import Case

LASTS: Final = timedelta(days=14)
_SALT: Final = "comity.invitation"
_RANDOM_BYTES: Final = 24


def invite(
    email: str, *, name: str, role: str, actor: Account, now: datetime, case: Case | None = None
) -> tuple[Invitation, str]:
    """Return an invitation and the token of its link, which is not kept.

    Parameters
    ----------
    email, name : str
        Whom to let in.
    role : str
        One of `Role`; an applicant's needs their case.
    actor : Account
        Who invites.
    now : datetime
        The link works for 14 days from then.
    case : Case, optional
        The applicant's own.

    Raises
    ------
    StoreError
        When the address has an account, or the case an applicant who signs in.
    """
    _refuse_misfit(email, role=role, case=case)
    token = signing.Signer(salt=_SALT).sign(secrets.token_urlsafe(_RANDOM_BYTES))
    with writing():
        invitation = Invitation.objects.create(
            digest=_digest(token),
            email=email.strip().lower(),
            name=name,
            role=role,
            case=case,
            invited_by=actor,
            expires_at=now + LASTS,
        )
        detail = {"email": invitation.email, "name": name, "role": role}
        audit.record("invitation/made", actor=actor, case=case, detail=detail)
    return invitation, token


def find(token: str, *, now: datetime) -> Invitation | None:
    """Return the invitation of a link that still works; None for any other text."""
    try:
        signing.Signer(salt=_SALT).unsign(token)
    except signing.BadSignature:
        return None
    return (
        Invitation.objects.select_related("case", "invited_by")
        .filter(digest=_digest(token), used_at=None, revoked_at=None, expires_at__gt=now)
        .filter(invited_by__is_active=True)
        .first()
    )


def accept(token: str, *, password: str, name: str, now: datetime) -> Account:
    """Return the new account of an invited person; the link has served.

    Raises
    ------
    StoreError
        When the link no longer works, or somebody has got an account in the meantime.
    """
    with writing():
        invitation = find(token, now=now)
        if invitation is None:
            msg = "this link no longer works; ask for a new one"
            raise StoreError(msg)
        case = invitation.case
        _refuse_misfit(invitation.email, role=invitation.role, case=case)
        account = Account.objects.create_account(
            invitation.email, password, name=name, role=invitation.role
        )
        account.language = Office.objects.values_list("language", flat=True).first() or ""
        account.save(update_fields=["language"])
        if case is not None:
            case.account = account
            case.save(update_fields=["account"])
        invitation.used_at = now
        invitation.save(update_fields=["used_at"])
        detail = {"account": account.pk, "invitation": invitation.pk}
        audit.record("invitation/accepted", actor=account, case=case, detail=detail)
    return account


def revoke(invitation: Invitation, *, actor: Account, now: datetime) -> None:
    """Make an invitation's link useless."""
    with writing():
        invitation.revoked_at = now
        invitation.save(update_fields=["revoked_at"])
        detail = {"invitation": invitation.pk}
        audit.record("invitation/revoked", actor=actor, case=invitation.case, detail=detail)


def _refuse_misfit(email: str, *, role: str, case: Case | None) -> None:
    if (role == Role.APPLICANT) != (case is not None):
        msg = f"an invitation as {role} {'needs a' if case is None else 'has no'} case"
        raise StoreError(msg)
    if Account.objects.filter(email=email.strip().lower()).exists():
        msg = "somebody with this address has an account here already"
        raise StoreError(msg)
    if case is not None and case.account_id is not None:
        msg = "the applicant of this case has an account already"
        raise StoreError(msg)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8")).hexdigest()
