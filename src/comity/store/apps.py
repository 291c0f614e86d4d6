"""The store as a Django application."""

from __future__ import annotations

from django.apps import AppConfig


class StoreConfig(AppConfig):
    """What the office keeps."""

    name = "comity.store"
    label = "store"
    verbose_name = "Comity store"
    default_auto_field = "django.db.models.BigAutoField"
