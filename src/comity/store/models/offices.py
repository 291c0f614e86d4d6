"""The office itself: one row."""

from __future__ import annotations

from django.db import models


class Office(models.Model):
    """The advisers' firm: what stands on its papers, and how long it keeps things."""

    name = models.CharField(max_length=200)
    contact = models.CharField(max_length=300, blank=True)
    time_zone = models.CharField(max_length=64, default="UTC")
    language = models.CharField(max_length=35, default="en")
    currency = models.CharField(max_length=3, default="EUR")
    retention = models.JSONField(default=dict)
    shows_readiness = models.BooleanField(default=False)
    is_demo = models.BooleanField(default=False)
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = (
            models.CheckConstraint(condition=models.Q(pk=1), name="store_office_is_one"),
        )

    def __str__(self) -> str:
        return self.name
