"""Exchange rates that the office laid into its folder, in a layout of the European Central Bank."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Final

from comity.core.plan.exchange import NO_RATES, Rates
from comity.files.exchange_rates import read_rates
from comity.store.home import home

if TYPE_CHECKING:
    from pathlib import Path

FILE: Final = "rates.csv"


def rates_key() -> int:
    """Return what changes when the office's rates do; 0 without any."""
    path = home() / FILE
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0


def office_rates() -> tuple[Rates, str]:
    """Return the office's rates, and what is wrong with their file; none where there is no file."""
    key = rates_key()
    return (NO_RATES, "") if not key else _read(home() / FILE, key)


@lru_cache(maxsize=2)
def _read(path: Path, _changed: int) -> tuple[Rates, str]:
    found, problems = read_rates(path)
    wrong = [each for each in problems if each.severity == "error"]
    return found, f"{FILE}: {wrong[0].message}" if wrong else ""
