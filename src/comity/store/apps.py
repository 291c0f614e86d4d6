"""The store as a Django application."""

from __future__ import annotations

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """What the office keeps."""

    name = "comity.store"
    label = "store"
    verbose_name = "Comity store"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        """Keep what lists read in step with the documents."""
        from comity.store import marks, planned  # noqa: PLC0415 - models exist only now

        marks.connect()
        planned.connect()
