"""The audit trail: a chain of records over ciphertext, and the keys that read it."""

from __future__ import annotations

from django.db import models


class CaseKey(models.Model):
    """The key of one case, wrapped by the office's; erasing a case destroys it."""

    case_id = models.UUIDField(primary_key=True)
    wrapped = models.BinaryField()
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"key of {self.case_id}"


class AuditRecord(models.Model):
    """One link of the chain; rows are only ever added.

    `hash` is SHA-256 over the previous hash and the record's other columns. `sealed` holds what
    was done, before and after, encrypted under the case's key, or the office's where no case is
    concerned; so the chain still verifies once a key is gone.
    """

    sequence = models.BigIntegerField(primary_key=True)
    at = models.DateTimeField()
    actor = models.CharField(max_length=100)
    action = models.CharField(max_length=60)
    case_id = models.UUIDField(null=True, db_index=True)
    nonce = models.BinaryField()
    sealed = models.BinaryField()
    previous = models.CharField(max_length=64)
    hash = models.CharField(max_length=64, unique=True)

    def __str__(self) -> str:
        return f"{self.sequence} {self.action}"


class Tombstone(models.Model):
    """What stays of an erased case: that it was, when and why it went; nothing of the person."""

    case_id = models.UUIDField(primary_key=True)
    digest = models.CharField(max_length=64)
    reason = models.CharField(max_length=300)
    erased_by = models.CharField(max_length=100)
    erased_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"tombstone of {self.case_id}"
