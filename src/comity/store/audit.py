"""The audit trail: what was done and given out, by whom, in a chain that shows tampering."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import UTC
from typing import TYPE_CHECKING, Any, Final

from django.db import connection
from django.utils import timezone

from comity.store.keys import seal, unseal
from comity.store.models import AuditRecord

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from comity.store.models import Account, Case

FIRST: Final = "0" * 64
"""What stands before the first record."""
SYSTEM: Final = "system"
"""Who acts where no person does."""
_MOST_PROBLEMS: Final = 20


@dataclass(frozen=True, slots=True)
class Verified:
    """What looking through the chain found; `head` is its last hash."""

    n_records: int
    problems: tuple[str, ...]
    head: str = FIRST

    @property
    def is_sound(self) -> bool:
        """Whether nothing was changed, taken out or put in between."""
        return not self.problems


def record(
    action: str, *, actor: Account | None, case: Case | None = None, detail: Mapping[str, Any]
) -> AuditRecord:
    """Add a record to the chain; call it inside the transaction of what it records.

    Parameters
    ----------
    action : str
        What was done, as ``case/facts changed``.
    actor : Account or None
        Who did it; None for the program itself.
    case : Case or None
        The case it concerns.
    detail : mapping
        Plain data for JSON: before and after, the editions it rests on. Sealed under the case's
        key, so names and facts belong here and nowhere else in a record.

    Raises
    ------
    RuntimeError
        Outside a transaction: the chain could fork.
    """
    if not connection.in_atomic_block:
        msg = f"{action!r} is recorded outside the transaction of what it records"
        raise RuntimeError(msg)
    case_id = None if case is None else case.pk
    nonce, sealed = seal(case_id, _encoded(detail))
    last = AuditRecord.objects.order_by("-sequence").only("sequence", "hash").first()
    added = AuditRecord(
        sequence=1 if last is None else last.sequence + 1,
        at=timezone.now(),
        actor=name_of(actor),
        action=action,
        case_id=case_id,
        nonce=nonce,
        sealed=sealed,
        previous=FIRST if last is None else last.hash,
    )
    added.hash = hash_of(added)
    added.save(force_insert=True)
    return added


def name_of(actor: Account | None) -> str:
    """Return how the chain names a person: never by what would have to be erased.

    Examples
    --------
    >>> name_of(None)
    'system'
    """
    return SYSTEM if actor is None else f"account/{actor.pk}"


def detail_of(record: AuditRecord) -> dict[str, Any] | None:
    """Return what was recorded; None when the case was erased.

    Raises
    ------
    SealError
        When the record was changed.
    """
    plain = unseal(record.case_id, record.nonce, record.sealed)
    return None if plain is None else json.loads(plain)


def hash_of(record: AuditRecord) -> str:
    """Return SHA-256 over the previous hash and the record's other columns in canonical JSON."""
    at = record.at.astimezone(UTC).isoformat(timespec="microseconds")
    columns = [
        record.previous,
        record.sequence,
        at,
        record.actor,
        record.action,
        None if record.case_id is None else str(record.case_id),
        bytes(record.nonce).hex(),
        bytes(record.sealed).hex(),
    ]
    return hashlib.sha256(json.dumps(columns, separators=(",", ":")).encode("ascii")).hexdigest()


def verify(*, head: str | None = None) -> Verified:
    """Return what is wrong with the chain, looked through from its first record to its last.

    Parameters
    ----------
    head : str, optional
        A hash noted earlier, kept elsewhere: it must still stand in the chain. Without one nobody
        can tell whether the newest records were cut off.
    """
    rows = AuditRecord.objects.order_by("sequence").iterator(chunk_size=1000)
    return verify_records(rows, head=head)


def verify_records(records: Iterable[AuditRecord], *, head: str | None = None) -> Verified:
    """Return what is wrong with records given in order; see `verify`."""
    problems: list[str] = []
    previous, sequence, n_records = FIRST, 0, 0
    is_head_found = head in {None, FIRST}
    for each in records:
        n_records += 1
        problems += _faults(each, previous=previous, sequence=sequence)
        previous, sequence = each.hash, each.sequence
        is_head_found = is_head_found or each.hash == head
    if not is_head_found:
        problems.append(f"the record with the hash {head} is no longer there")
    more = len(problems) - _MOST_PROBLEMS
    shown = problems[:_MOST_PROBLEMS] + ([f"and {more} more"] if more > 0 else [])
    return Verified(n_records, tuple(shown), previous)


def _faults(each: AuditRecord, *, previous: str, sequence: int) -> list[str]:
    """Return what is wrong with one record after another one."""
    faults = []
    if each.sequence != sequence + 1:
        faults.append(f"record {sequence + 1} is missing; after {sequence} comes {each.sequence}")
    if each.previous != previous:
        faults.append(f"record {each.sequence} does not follow the one before it")
    if each.hash != hash_of(each):
        faults.append(f"record {each.sequence} was changed after it was written")
    return faults


def _encoded(detail: Mapping[str, Any]) -> bytes:
    return json.dumps(detail, ensure_ascii=False, sort_keys=True, default=str).encode("utf-8")
