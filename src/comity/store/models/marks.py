"""What lists have to know of a case's document without reading it."""

from __future__ import annotations

from django.db import models

from comity.store.models.cases import Case, Holder


class Mark(models.Model):
    """One thing that a document says: what lapses, what was reviewed, what was reached.

    Rows repeat the document, to be found by day; they are replaced whenever it changes.
    """

    class Sort(models.TextChoices):
        """What the document says."""

        LAPSES = "lapses", "lapses"
        REVIEWED = "reviewed", "reviewed"
        REACHED = "reached", "reached"

    case = models.ForeignKey(Case, on_delete=models.CASCADE, related_name="marks")
    sort = models.CharField(max_length=8, choices=Sort)
    what = models.CharField(max_length=300)
    day = models.IntegerField(null=True)
    place = models.CharField(max_length=300, blank=True)
    holder = models.CharField(max_length=9, choices=Holder, default=Holder.APPLICANT)

    class Meta:
        indexes = (models.Index(fields=("sort", "day")),)

    def __str__(self) -> str:
        return f"{self.sort} {self.what}"
