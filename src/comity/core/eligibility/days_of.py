"""From a requirement of any kind to its days; importing this makes every kind known."""

from __future__ import annotations

from comity.core.eligibility import (
    combining,
    educating,
    examinations,
    language,
    papers,
    practising,
    qualifying,
    recency,
    updating,
)
from comity.core.eligibility.context import Context, days_of, leaf_days

EVALUATORS = (
    combining,
    educating,
    examinations,
    language,
    papers,
    practising,
    qualifying,
    recency,
    updating,
)

__all__ = ["EVALUATORS", "Context", "days_of", "leaf_days"]
