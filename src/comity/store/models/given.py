"""What was given out of a case, and what the applicant agreed to."""

from __future__ import annotations

from django.db import models


class Given(models.Model):
    """A brief, message, letter or export given out, kept as it was given.

    `content` and `basis` (the document, the editions' digests and texts' names, the answers on each
    title) are encrypted under the case's key.
    """

    class Sort(models.TextChoices):
        """What was given."""

        BRIEF = "brief", "Brief"
        MESSAGE = "message", "Message"
        LETTER = "letter", "Letter"
        EXPORT = "export", "Export"

    case = models.ForeignKey("store.Case", on_delete=models.CASCADE, related_name="given")
    sort = models.CharField(max_length=7, choices=Sort)
    recipient = models.CharField(max_length=200, blank=True)
    given_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)
    given_at = models.DateTimeField(auto_now_add=True)
    media_type = models.CharField(max_length=100)
    sha256 = models.CharField(max_length=64)
    content = models.BinaryField()
    basis = models.BinaryField()
    settled_at = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.sort} {self.pk}"


class Consent(models.Model):
    """Something an applicant agreed to or took back."""

    case = models.ForeignKey("store.Case", on_delete=models.CASCADE, related_name="consents")
    purpose = models.CharField(max_length=200)
    given_at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    recorded_by = models.ForeignKey("store.Account", null=True, on_delete=models.SET_NULL)

    def __str__(self) -> str:
        return f"consent {self.pk}"
