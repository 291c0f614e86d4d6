"""The Halvenian Council's two editions: one in force, the next one a draft."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.desk.editions import kept

if TYPE_CHECKING:
    from comity.store.models import StoredEdition


@pytest.fixture
def old() -> StoredEdition:
    """Return the edition in force."""
    return kept("XA", "2025")


@pytest.fixture
def new() -> StoredEdition:
    """Return the next edition, a draft."""
    return kept("XA", "2027", state="draft")
