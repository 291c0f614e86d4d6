"""Erasing a case: its key is destroyed, its rows go, and a tombstone says that it was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.utils import timezone

from comity.store import audit
from comity.store.converters import digest_of
from comity.store.errors import StoreError
from comity.store.keys import destroy
from comity.store.models import Case, Tombstone
from comity.store.people import end_sessions
from comity.store.writing import writing

if TYPE_CHECKING:
    from comity.store.models import Account


class LegalHoldError(StoreError):
    """A case is kept for a legal reason and cannot be erased."""


def erase(case: Case, *, reason: str, actor: Account | None) -> Tombstone:
    """Erase a case and its applicant's account; nothing of the person stays readable.

    The audit trail keeps its records, sealed under a key that is no more, so that it still
    verifies. Backups made before hold the case until they are thrown away.

    Parameters
    ----------
    case : Case
        Any copy of it.
    reason : str
        Why, in words that name nobody; it stays.
    actor : Account or None
        Who does it; None where its time was over.

    Raises
    ------
    LegalHoldError
        While it has to be kept.
    StoreError
        Without a reason, or when it is gone already.
    """
    if not reason.strip():
        msg = "say why the case is erased; the reason is all that stays"
        raise StoreError(msg)
    with writing():
        current = Case.objects.select_for_update().filter(pk=case.pk).first()
        if current is None:
            msg = "the case is no longer there"
            raise StoreError(msg)
        if current.legal_hold:
            msg = f"the case must be kept: {current.legal_hold}; lift the legal hold first"
            raise LegalHoldError(msg)
        return _erased(current, reason=reason.strip(), actor=actor)


def erase_again(tombstone: Tombstone) -> bool:
    """Erase a case that came back with an old backup; return whether it had."""
    case = Case.objects.filter(pk=tombstone.case_id).first()
    if case is None:
        return False
    with writing():
        _erased(case, reason=tombstone.reason, actor=None)
    return True


def _erased(case: Case, *, reason: str, actor: Account | None) -> Tombstone:
    tombstone = Tombstone.objects.create(
        case_id=case.pk,
        digest=digest_of(case.document),
        reason=reason,
        erased_by=audit.name_of(actor),
        erased_at=timezone.now(),
    )
    detail = {"case": str(case.pk), "digest": tombstone.digest, "reason": reason}
    if case.account is not None:
        _forget(case.account)
    destroy(case.pk)
    case.delete()
    # Under the office's key: the case's own is gone and must not come back.
    audit.record("case/erased", actor=actor, detail=detail)
    return tombstone


def _forget(account: Account) -> None:
    """Delete an applicant's account, and what the throttling of sign-ins noted of it."""
    end_sessions(account)
    for noted in (AccessAttempt, AccessFailureLog, AccessLog):
        noted.objects.filter(username=account.email).delete()
    account.delete()
