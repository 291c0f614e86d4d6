"""Am I ready? What an examination asks, how it measures, and what is known of one who sits it."""

from __future__ import annotations

__all__: list[str] = []
