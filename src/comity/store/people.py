"""The office and its people: started once, changed with a record of who did it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.contrib.sessions.models import Session
from django.utils import timezone

from comity.store import audit
from comity.store.errors import StoreError
from comity.store.models import Account, ApiToken, Office, Role
from comity.store.writing import writing

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_OFFICE: Final = 1


def has_started() -> bool:
    """Tell whether anybody has an account; before that, whoever comes first sets the office up."""
    return Account.objects.exists()


def start_office(settings: Mapping[str, Any], *, email: str, person: str, password: str) -> Account:
    """Make the office and the account of its owner.

    Parameters
    ----------
    settings : mapping
        Values for columns of `Office`.
    email, person, password : str
        Of the owner.

    Raises
    ------
    StoreError
        When somebody has been quicker.
    """
    with writing():
        if has_started():
            msg = "this office has been set up already; sign in instead"
            raise StoreError(msg)
        Office.objects.update_or_create(pk=_OFFICE, defaults=dict(settings))
        owner = Account.objects.create_account(email, password, name=person, role=Role.OWNER)
        audit.record("office/started", actor=owner, detail={"after": dict(settings)})
    return owner


def change_office(values: Mapping[str, Any], *, base_version: int, actor: Account) -> Office:
    """Change the office's settings.

    Raises
    ------
    StoreError
        When somebody else has changed them since `base_version`.
    """
    with writing():
        office = Office.objects.get(pk=_OFFICE)
        if office.version != base_version:
            msg = "somebody else has changed these settings in the meantime; nothing was saved"
            raise StoreError(msg)
        before = {name: getattr(office, name) for name in values}
        if before == dict(values):
            return office
        for name, value in values.items():
            setattr(office, name, value)
        office.version += 1
        office.save()
        detail = {"before": before, "after": dict(values)}
        audit.record("office/settings changed", actor=actor, detail=detail)
    return office


def change_password(account: Account, password: str, *, actor: Account) -> None:
    """Set a password; whoever else is signed in with the old one is signed out by that."""
    with writing():
        account.set_password(password)
        account.save(update_fields=["password"])
        audit.record("account/password changed", actor=actor, detail={"account": account.pk})


def set_active(account: Account, *, is_active: bool, actor: Account) -> None:
    """Let a person in again, or close the door: sessions end and tokens are revoked.

    Raises
    ------
    StoreError
        When nobody would be left to run the office.
    """
    with writing():
        others = Account.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=account.pk)
        if not is_active and account.is_owner and not others.exists():
            msg = "an office needs an owner; invite another one first"
            raise StoreError(msg)
        account.is_active = is_active
        account.save(update_fields=["is_active"])
        if not is_active:
            end_sessions(account)
            account.tokens.filter(revoked_at=None).update(revoked_at=timezone.now())
        action = "account/activated" if is_active else "account/deactivated"
        audit.record(action, actor=actor, detail={"account": account.pk})


def end_sessions(account: Account, *, but: str | None = None) -> int:
    """Sign a person out everywhere, but for one session; return how many ended."""
    keys = [each.session_key for each in sessions_of(account) if each.session_key != but]
    Session.objects.filter(session_key__in=keys).delete()
    return len(keys)


def sessions_of(account: Account) -> Iterator[Session]:
    """Return a person's live sessions."""
    for each in Session.objects.filter(expire_date__gt=timezone.now()).iterator():
        if each.get_decoded().get("_auth_user_id") == str(account.pk):
            yield each


def note_sign_in(account: Account, *, is_in: bool) -> None:
    """Record that a person came or went."""
    with writing():
        action = "account/signed in" if is_in else "account/signed out"
        audit.record(action, actor=account, detail={"account": account.pk})


def open_tokens(account: Account) -> tuple[ApiToken, ...]:
    """Return a person's tokens that still open the door, or would have until lately."""
    return tuple(account.tokens.filter(revoked_at=None).order_by("-created_at"))


def note_password_link(account: Account, *, actor: Account) -> None:
    """Record that somebody made a link by which a person chooses a new password."""
    with writing():
        detail = {"account": account.pk}
        audit.record("account/password link made", actor=actor, detail=detail)
