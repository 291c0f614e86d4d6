"""The day of these tests, and plans of a few futures: the pages show the same with any number."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.core.cache import cache

from comity.desk.plans import days, made
from comity.service import planning
from tests.desk.editions import all_kept

if TYPE_CHECKING:
    from pytest_django.fixtures import Settings

    from comity.store.models import StoredEdition

XB = "xb-register/dietitian"
XA = "xa-council/dietitian"


@pytest.fixture(autouse=True)
def the_day(settings: Settings) -> None:
    """Let it be the demo's day."""
    settings.DEMO = True
    settings.DEMO_DAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def few_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    """Go through few futures, and remember no wrong addresses from other tests."""
    monkeypatch.setattr(made, "DRAWS", 200)
    monkeypatch.setattr(days, "FEW_DRAWS", 200)
    monkeypatch.setattr(planning, "_N_TRIED", 50)
    monkeypatch.setattr(planning, "_N_JUDGED", 50)
    cache.clear()


@pytest.fixture
def rules() -> tuple[StoredEdition, ...]:
    """Have the demo's editions in force."""
    return all_kept()
