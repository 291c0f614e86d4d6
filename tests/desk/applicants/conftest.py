"""The day of these tests: the demo's people have their answers on it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pytest_django.fixtures import Settings


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    """Let it be the demo's day."""
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)
