"""Calendars that programs fetch, and the days of the plans that stand in them."""

from __future__ import annotations

from django.db import models
from django.db.models import Q


class CalendarFeed(models.Model):
    """An address at which a calendar program fetches days, without signing in.

    It is a person's (all the cases in their care) or a case's (its own days). The address holds a
    random secret; only its digest is kept.
    """

    digest = models.CharField(max_length=64, unique=True)
    label = models.CharField(max_length=100)
    account = models.ForeignKey(
        "store.Account", null=True, blank=True, on_delete=models.CASCADE, related_name="feeds"
    )
    case = models.ForeignKey(
        "store.Case", null=True, blank=True, on_delete=models.CASCADE, related_name="feeds"
    )
    made_at = models.DateTimeField(auto_now_add=True)
    last_read_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(account__isnull=False, case__isnull=True)
                | Q(account__isnull=True, case__isnull=False),
                name="store_feed_is_of_a_person_or_a_case",
            ),
        )

    def __str__(self) -> str:
        return f"calendar feed {self.pk}"


class PlannedDay(models.Model):
    """A day of a case's plans, to be found without planning anew.

    Rows repeat what a plan said when it was last worked out; they are replaced whenever it is, and
    are in no backup. A case's `planned_of` says what they rest on.
    """

    case = models.ForeignKey("store.Case", on_delete=models.CASCADE, related_name="planned_days")
    authority = models.CharField(max_length=100)
    title = models.CharField(max_length=100)
    key = models.CharField(max_length=200)
    day = models.IntegerField()
    label = models.CharField(max_length=300)
    as_of = models.IntegerField()
    is_after_licence = models.BooleanField(default=False)

    class Meta:
        indexes = (
            # What comes after the licence and soon, over all cases.
            models.Index(fields=("is_after_licence", "day"), name="store_planned_by_day"),
        )

    def __str__(self) -> str:
        return f"{self.key} {self.day}"
