"""One applicant's requirements as `portion` intervals, on the profile of the plain loop."""

from __future__ import annotations

from typing import TYPE_CHECKING

import portion  # type: ignore[import-untyped]

from comity.core.days.calendar import FOREVER
from tests.bench.engine.applicants import HORIZON
from tests.bench.engine.python_loops import AFTER_6, LAST_6, Spells, enough, unbroken_until

if TYPE_CHECKING:
    from comity.core.days.dayset import Run


def sets_of(
    spells: Spells, qualified: int, *, issued: int, expiry: int
) -> tuple[portion.Interval, ...]:
    """Return the days in the horizon for R1 to R4 and for all of them."""
    horizon = portion.closedopen(*HORIZON)
    r1 = portion.Interval(*(portion.closedopen(*run) for run in enough(spells, qualified)))
    r2 = portion.closedopen(qualified, unbroken_until(spells, qualified)) & horizon
    r3 = portion.closedopen(issued, AFTER_6[issued] + 1) & horizon
    r4 = portion.closedopen(0, LAST_6[expiry] + 1) & horizon
    return r1, r2, r3, r4, r1 & r2 & r3 & r4


def answer(days: portion.Interval, on: int) -> tuple[bool, int, int]:
    """Return verdict, next day, and last day of the current run, FOREVER and -1 for none."""
    holds = on in days
    later = days & portion.closedopen(on, FOREVER)
    following = FOREVER if later.empty else later.lower
    last = later[0].upper - 1 if holds else -1
    return holds, following, last


def runs_of(days: portion.Interval) -> tuple[Run, ...]:
    """Return the runs, to compare."""
    return tuple((each.lower, each.upper) for each in days)
