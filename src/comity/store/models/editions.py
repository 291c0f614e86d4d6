"""Rulebook editions: the texts that advisers write, and whether they count."""

from __future__ import annotations

from django.db import models


class StoredEdition(models.Model):
    """One edition of one authority's rulebook.

    `text` is the edition's file, comments included; authority and edition repeat what stands in it.
    Only editions in force are used for answers.
    """

    class State(models.TextChoices):
        """Whether the edition counts."""

        DRAFT = "draft", "Draft"
        IN_FORCE = "in force", "In force"
        WITHDRAWN = "withdrawn", "Withdrawn"

    authority = models.CharField(max_length=100, db_index=True)
    edition = models.CharField(max_length=100)
    text = models.TextField()
    digest = models.CharField(max_length=64)
    state = models.CharField(max_length=9, choices=State, default=State.DRAFT)
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    changed_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)
    put_in_force_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("authority", "edition"), name="store_edition_is_one"),
        )

    def __str__(self) -> str:
        return f"{self.authority} {self.edition}"
