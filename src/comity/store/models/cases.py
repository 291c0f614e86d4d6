"""Cases: an applicant's file, what is to be done, and the days worked out from it."""

from __future__ import annotations

import uuid

from django.db import models
from django.db.models.functions import Lower


class Holder(models.TextChoices):
    """Who has to move next."""

    ADVISER = "adviser", "Adviser"
    APPLICANT = "applicant", "Applicant"
    EMPLOYER = "employer", "Employer"
    SCHOOL = "school", "School"
    AUTHORITY = "authority", "Authority"


class Case(models.Model):
    """One applicant in the care of the office.

    `document` is the applicant file, comments included; it is what counts. `reference` and `name`
    repeat what stands in it, to be searched. `version` rises with every change of the document.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    reference = models.CharField(max_length=100, unique=True)
    name = models.CharField(max_length=300, blank=True, db_index=True)
    document = models.TextField()
    version = models.PositiveIntegerField(default=1)
    adviser = models.ForeignKey(
        "store.Account", null=True, on_delete=models.SET_NULL, related_name="cases"
    )
    account = models.OneToOneField(
        "store.Account",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="own_case",
    )
    next_day = models.DateField(null=True, blank=True, db_index=True)
    spans_of = models.CharField(max_length=64, blank=True, db_index=True)
    planned_of = models.CharField(max_length=64, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True, db_index=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    legal_hold = models.CharField(max_length=300, blank=True)

    class Meta:
        indexes = (
            # Lists in order of the name, large and small letters alike.
            models.Index(Lower("name"), "id", name="store_case_by_name"),
            # An adviser's cases, the longest untouched first.
            models.Index("adviser", "changed_at", name="store_case_by_adviser"),
        )

    def __str__(self) -> str:
        return self.reference


class Span(models.Model):
    """A run of days of one set of one title of a case; answers are read from these.

    Days are those of the core (day 0 is 1900-01-01), `until` exclusive, so that membership is two
    comparisons. A verdict is never kept: it is which sets hold the day one asks about.
    """

    class Sort(models.TextChoices):
        """Which set of days."""

        CERTAIN = "certain", "certain"
        POSSIBLE = "possible", "possible"
        REFERRED = "referred", "referred"

    case = models.ForeignKey(Case, on_delete=models.CASCADE, related_name="spans")
    authority = models.CharField(max_length=100)
    title = models.CharField(max_length=100)
    sort = models.CharField(max_length=8, choices=Sort)
    start = models.IntegerField()
    until = models.IntegerField()

    class Meta:
        indexes = (
            models.Index(fields=("authority", "title", "sort", "start", "until")),
            models.Index(fields=("case", "authority", "title")),
            # What ends soon, over all cases.
            models.Index(fields=("sort", "until")),
            # What holds on a day, of one case.
            models.Index(fields=("case", "sort", "until")),
        )

    def __str__(self) -> str:
        return f"{self.authority}/{self.title} {self.sort} {self.start}-{self.until}"


class Note(models.Model):
    """What the office remembers of a case, in its own words; applicants do not see it."""

    case = models.ForeignKey(Case, on_delete=models.CASCADE, related_name="notes")
    text = models.TextField()
    author = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"note {self.pk}"


class Action(models.Model):
    """Something to do, who has to do it, and by when."""

    case = models.ForeignKey(Case, on_delete=models.CASCADE, related_name="actions")
    text = models.CharField(max_length=500)
    holder = models.CharField(max_length=9, choices=Holder, default=Holder.ADVISER)
    due = models.DateField(null=True, blank=True, db_index=True)
    is_for_applicant = models.BooleanField(default=False)
    created_at = models.DateTimeField(auto_now_add=True)
    done_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return f"action {self.pk}"


class UploadedTable(models.Model):
    """A table of applicants that was read and waits for its confirmation; gone within a day."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=255)
    content = models.BinaryField()
    uploaded_by = models.ForeignKey("store.Account", on_delete=models.CASCADE)
    created_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"table {self.pk}"
