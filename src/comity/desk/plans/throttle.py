"""Guessing addresses of calendars is slowed down: so many wrong ones, then a quarter of an hour."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Final

from django.core.cache import cache

if TYPE_CHECKING:
    from django.http import HttpRequest

MOST_FAILURES: Final = 20
SECONDS: Final = 900


def is_too_often(request: HttpRequest) -> bool:
    """Tell whether somebody has tried too many addresses that open nothing."""
    n_failures: int = cache.get(_key(request), 0)
    return n_failures >= MOST_FAILURES


def note_failure(request: HttpRequest) -> None:
    """Remember that an address opened nothing; where it came from is kept as a digest only."""
    key = _key(request)
    cache.set(key, cache.get(key, 0) + 1, SECONDS)


def _key(request: HttpRequest) -> str:
    place = str(request.META.get("REMOTE_ADDR", ""))
    return f"calendar-{hashlib.sha256(place.encode()).hexdigest()[:32]}"
