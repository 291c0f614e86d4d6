"""What an applicant agreed to, and who got what of their case."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from comity.store import audit
from comity.store.errors import StoreError
from comity.store.models import Consent, Given
from comity.store.writing import writing

if TYPE_CHECKING:
    from datetime import datetime

    from comity.store.models import Account, Case


@dataclass(frozen=True, slots=True)
class Disclosure:
    """Something that left the office: what, to whom, when, by whom."""

    at: datetime
    what: str
    recipient: str
    by: str
    sha256: str


def consent(case: Case, purpose: str, *, actor: Account | None, now: datetime) -> Consent:
    """Keep that an applicant agreed to a purpose.

    Raises
    ------
    StoreError
        Without a purpose.
    """
    if not purpose.strip():
        msg = "say what the applicant agreed to"
        raise StoreError(msg)
    with writing():
        row = Consent.objects.create(
            case=case, purpose=purpose.strip(), given_at=now, recorded_by=actor
        )
        detail = {"consent": row.pk, "purpose": row.purpose}
        audit.record("consent/given", actor=actor, case=case, detail=detail)
    return row


def withdraw_consent(row: Consent, *, actor: Account | None, now: datetime) -> Consent:
    """Keep that an applicant took an agreement back; the first time counts."""
    if row.withdrawn_at is not None:
        return row
    with writing():
        row.withdrawn_at = now
        row.save(update_fields=["withdrawn_at"])
        detail = {"consent": row.pk, "purpose": row.purpose}
        audit.record("consent/withdrawn", actor=actor, case=row.case, detail=detail)
    return row


def disclosures(case: Case) -> tuple[Disclosure, ...]:
    """Return what was given out of a case, oldest first."""
    rows = Given.objects.filter(case=case).select_related("given_by").order_by("given_at", "pk")
    return tuple(
        Disclosure(
            at=row.given_at,
            what=row.sort,
            recipient=row.recipient,
            by="" if row.given_by is None else row.given_by.name,
            sha256=row.sha256,
        )
        for row in rows
    )
