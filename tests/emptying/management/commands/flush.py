"""Empties a test's database, the audit trail included, which the database itself guards."""

from __future__ import annotations

from typing import Any

from django.core.management.commands.flush import Command as Flush
from django.db import connections

from comity.store.append_only import lifted


class Command(Flush):
    """Django's own command, with the trail's triggers lifted for it."""

    def handle(self, **options: Any) -> None:  # noqa: ANN401 - as Django has it
        """Empty the database named."""
        with lifted(connections[options["database"]]):
            super().handle(**options)
