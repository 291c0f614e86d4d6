"""Mock examinations: banks of items, forms made of them, classes, and who sat what.

On screens a cohort is a class; `class` is Python's own word.
"""

from __future__ import annotations

import uuid

from django.db import models


class ItemBank(models.Model):
    """A file of items that tutors write in; `text` is what counts, comments included.

    `bank` and `title` repeat what stands in it. `version` rises with every change.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    bank = models.CharField(max_length=100, unique=True)
    title = models.CharField(max_length=300, blank=True)
    text = models.TextField()
    digest = models.CharField(max_length=64)
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    changed_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)

    def __str__(self) -> str:
        return self.bank


class BankVersion(models.Model):
    """A bank's text as it was before a change, so that nothing anybody wrote is lost."""

    bank = models.ForeignKey(ItemBank, on_delete=models.CASCADE, related_name="versions")
    version = models.PositiveIntegerField()
    text = models.TextField()
    until = models.DateTimeField(auto_now_add=True)
    changed_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("bank", "version"), name="store_bank_version_is_one"),
        )

    def __str__(self) -> str:
        return f"version {self.version} of {self.bank_id}"


class StoredItemModel(models.Model):
    """An item model that a tutor wrote; `text` is what counts."""

    model = models.CharField(max_length=100, unique=True)
    title = models.CharField(max_length=300, blank=True)
    text = models.TextField()
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    changed_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)

    def __str__(self) -> str:
        return self.model


class ExamForm(models.Model):
    """Items in an order, to be sat; never changed once it is made.

    `text` is a bank file with the form's own items as they were, so that a later change of the bank
    changes no form. `cautions` holds, by item, what the model it was drawn from asks to be said.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=200)
    bank = models.ForeignKey(
        ItemBank, null=True, blank=True, on_delete=models.SET_NULL, related_name="forms"
    )
    text = models.TextField()
    cautions = models.JSONField(default=dict)
    n_items = models.PositiveIntegerField()
    minutes = models.PositiveIntegerField()
    to_pass = models.CharField(max_length=20, blank=True)
    examination = models.CharField(max_length=200, blank=True)
    notes = models.JSONField(default=list)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return self.name


class Cohort(models.Model):
    """A class: applicants who prepare together."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=200, unique=True)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return self.name


class CohortPlace(models.Model):
    """That an applicant is in a class."""

    cohort = models.ForeignKey(Cohort, on_delete=models.CASCADE, related_name="places")
    case = models.ForeignKey("store.Case", on_delete=models.CASCADE, related_name="cohort_places")

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("cohort", "case"), name="store_cohort_place_is_one"),
        )

    def __str__(self) -> str:
        return f"place {self.pk}"


class Sitting(models.Model):
    """One applicant sits one form once.

    Times are real moments of the server's clock; what is left follows from `began_at` alone.
    `settled_at` says when the end was written into the audit trail.
    """

    class Mode(models.TextChoices):
        """What it is for."""

        EXAM = "exam", "Mock examination"
        PRACTICE = "practice", "Practice"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    form = models.ForeignKey(ExamForm, on_delete=models.CASCADE, related_name="sittings")
    case = models.ForeignKey("store.Case", on_delete=models.CASCADE, related_name="sittings")
    mode = models.CharField(max_length=8, choices=Mode, default=Mode.EXAM)
    extra_percent = models.PositiveSmallIntegerField(default=0)
    shows_keys = models.BooleanField(default=True)
    given_at = models.DateTimeField()
    given_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)
    began_at = models.DateTimeField(null=True, blank=True)
    handed_in_at = models.DateTimeField(null=True, blank=True)
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = (models.Index(fields=("case", "given_at"), name="store_sitting_by_case"),)

    def __str__(self) -> str:
        return f"sitting {self.pk}"


class GivenAnswer(models.Model):
    """What somebody answered to one item of a sitting; `version` rises with every change.

    `mark` is a member's own point where it was changed by hand, with its reason.
    """

    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="answers")
    item = models.CharField(max_length=100)
    answer = models.JSONField(default=dict)
    version = models.PositiveIntegerField(default=0)
    is_flagged = models.BooleanField(default=False)
    answered_at = models.DateTimeField(null=True, blank=True)
    mark = models.PositiveSmallIntegerField(null=True, blank=True)
    mark_reason = models.CharField(max_length=300, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("sitting", "item"), name="store_answer_is_one"),
        )

    def __str__(self) -> str:
        return f"answer {self.pk}"
