from __future__ import annotations

import hashlib
import json
from datetime import UTC

import pytest
from django.db import DatabaseError, connection, transaction

from comity.store import audit
from comity.store.append_only import lifted
from comity.store.cases import add_note
from comity.store.keys import destroy
from comity.store.models import Account, AuditRecord, Case

pytestmark = pytest.mark.django_db


def tamper(sql: str) -> None:
    """Change the table as somebody would who has the database in hand."""
    with lifted(), connection.cursor() as cursor:
        cursor.execute(sql)


def write_notes(case: Case, owner: Account, n_notes: int = 4) -> None:
    for number in range(n_notes):
        add_note(case, f"note {number}", actor=owner)


def test_a_chain_that_nobody_touched_verifies(case: Case, owner: Account) -> None:
    write_notes(case, owner)
    found = audit.verify()
    assert found.is_sound
    assert found.n_records == 5
    assert found.head == AuditRecord.objects.get(sequence=5).hash


def test_a_hash_can_be_recomputed_by_anyone_with_sha256(case: Case) -> None:
    record = AuditRecord.objects.get()
    columns = [
        "0" * 64,
        1,
        record.at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%f+00:00"),
        record.actor,
        "case/added",
        str(case.pk),
        bytes(record.nonce).hex(),
        bytes(record.sealed).hex(),
    ]
    text = json.dumps(columns, separators=(",", ":"))
    assert record.hash == hashlib.sha256(text.encode()).hexdigest()


@pytest.mark.parametrize(
    ("sql", "problem"),
    [
        (
            "UPDATE store_auditrecord SET actor = 'account/99' WHERE sequence = 3",
            "record 3 was changed after it was written",
        ),
        (
            "UPDATE store_auditrecord SET action = 'case/closed' WHERE sequence = 3",
            "record 3 was changed after it was written",
        ),
        (
            "UPDATE store_auditrecord SET nonce = sealed WHERE sequence = 3",
            "record 3 was changed after it was written",
        ),
        (
            "DELETE FROM store_auditrecord WHERE sequence = 3",
            "record 3 is missing; after 2 comes 4",
        ),
        (
            "UPDATE store_auditrecord SET sequence = 7 WHERE sequence = 3",
            "record 3 is missing; after 2 comes 4",
        ),
    ],
)
def test_tampering_shows(case: Case, owner: Account, sql: str, problem: str) -> None:
    write_notes(case, owner)
    tamper(sql)
    found = audit.verify()
    assert not found.is_sound
    assert problem in found.problems


def test_records_cut_off_at_the_end_show_against_a_hash_kept_elsewhere(
    case: Case, owner: Account
) -> None:
    write_notes(case, owner)
    head = audit.verify().head
    add_note(case, "one more", actor=owner)
    assert audit.verify(head=head).is_sound
    tamper("DELETE FROM store_auditrecord WHERE sequence >= 5")
    assert audit.verify().is_sound
    assert audit.verify(head=head).problems == (
        f"the record with the hash {head} is no longer there",
    )


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE store_auditrecord SET actor = 'account/99'",
        "DELETE FROM store_auditrecord",
    ],
)
def test_the_database_refuses_to_change_the_trail(case: Case, sql: str) -> None:
    assert case.version == 1
    with (
        pytest.raises(DatabaseError, match="the audit trail is only added to"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)
    assert AuditRecord.objects.count() == 1


def test_nothing_of_the_person_stands_in_the_clear(case: Case, owner: Account) -> None:
    add_note(case, "Hana prefers the evening", actor=owner)
    for record in AuditRecord.objects.all():
        plain = f"{record.actor} {record.action}".encode() + bytes(record.sealed)
        assert b"Hana" not in plain
        assert b"Oona" not in plain


def test_once_the_key_is_gone_the_chain_verifies_and_says_nothing(case: Case) -> None:
    destroy(case.pk)
    assert audit.detail_of(AuditRecord.objects.get()) is None
    assert audit.verify().is_sound


@pytest.mark.django_db(transaction=True)
def test_a_record_outside_a_transaction_is_refused() -> None:
    with pytest.raises(RuntimeError, match="'office/changed' is recorded outside the transaction"):
        audit.record("office/changed", actor=None, detail={})
