"""All kinds, imported so that the reader knows them."""

from __future__ import annotations

from typing import Final

from comity.core.rulebook.kinds import (
    combining,
    educating,
    practising,
    qualifying,
    scoring,
    testing,
)
from comity.core.rulebook.kinds.base import Requirement

MODULES: Final = (combining, educating, practising, qualifying, scoring, testing)
KINDS: Final = Requirement.members()
