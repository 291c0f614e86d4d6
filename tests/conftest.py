"""What every test shares: Hypothesis profiles, the mark on property tests, a fixed environment."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

HERE = Path(__file__).parent

# The suite must give the same answer for the same commit, so its examples are derived from the
# tests themselves; fresh chance belongs to the soak.
settings.register_profile("suite", deadline=None, derandomize=True, max_examples=100)
settings.register_profile(
    "soak",
    deadline=None,
    max_examples=5_000,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("soak" if os.environ.get("COMITY_SOAK") == "1" else "suite")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what lies below ``tests/properties``, so that the soak finds it."""
    for item in items:
        if HERE / "properties" in item.path.parents:
            item.add_marker(pytest.mark.property)


@pytest.fixture(autouse=True)
def same_terminal_everywhere(monkeypatch: pytest.MonkeyPatch) -> None:
    """Give every test a plain terminal of 100 columns, and no day but the one it states."""
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setenv("NO_COLOR", "1")
    for name in ("COMITY_TODAY", "FORCE_COLOR", "CLICOLOR_FORCE", "TERMINAL_WIDTH"):
        monkeypatch.delenv(name, raising=False)
