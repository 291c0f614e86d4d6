"""Time without practice: how long it has lasted on each day, and where it lasted too long.

A gap names its anchor. *After the last practice day* it is measured from that day (clamp), as any
period after an event; *beginning with the first idle day* it is the period that begins with that
day (roll). The two differ around short months.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final, Literal

import numpy as np

from comity.core.days.calendar import FOREVER, Ints
from comity.core.days.dayset import DaySet
from comity.core.days.keys import true_runs
from comity.core.days.period import Period

Anchor = Literal["after last practice day", "beginning first idle day"]

_NOTHING: Final = Period()


def days_since_last(  # noqa: PLR0913 - the bounds bear the names which rulebooks give them
    spells: DaySet,
    *,
    at_least: Period | None = None,
    above: Period | None = None,
    below: Period | None = None,
    at_most: Period | None = None,
    anchor: Anchor,
    origin: Ints,
) -> DaySet:
    """Return the days on which the time since the last day of practice lies within bounds.

    Parameters
    ----------
    spells : DaySet
        Days of practice; on them the time is nothing.
    at_least, above, below, at_most : Period, optional
        Bounds: reached, exceeded, not yet reached, not exceeded.
    anchor : str
        How the time is measured.
    origin : ndarray of shape (n_rows,)
        The day from which time counts while there has been no practice, itself 0; FOREVER for none.
        Days before both are in no band.
    """
    first = spells.next_day(0)
    counted = spells | DaySet.between(origin, np.where(origin < first, origin + 1, 0))
    lasts = counted.ends - 1
    begins = counted.starts if at_least is None and above is None else lasts + 1
    if at_least is not None:
        begins = np.maximum(begins, _day_reached(at_least, lasts, anchor=anchor))
    if above is not None:
        begins = np.maximum(begins, _day_reached(above, lasts, anchor=anchor) + 1)
    ends = _following(counted.rows, counted.starts)
    if below is not None:
        ends = np.minimum(ends, np.maximum(_day_reached(below, lasts, anchor=anchor), lasts + 1))
    if at_most is not None:
        ends = np.minimum(ends, _day_reached(at_most, lasts, anchor=anchor) + 1)
    if at_least == _NOTHING:
        begins = counted.starts
    return DaySet.from_runs(counted.n_rows, counted.rows, starts=begins, ends=ends)


def longest_gap_within(
    spells: DaySet,
    *,
    greatest: Period,
    anchor: Anchor,
    since: Ints,
    window: Period | None = None,
) -> DaySet:
    """Return the days up to which no gap has lasted longer than the greatest allowed.

    Parameters
    ----------
    spells : DaySet
        Days of practice.
    greatest : Period
        A gap may last as long, not longer.
    anchor : str
        How a gap is measured.
    since : ndarray of shape (n_rows,)
        Gaps count from this day, as if it were a day of practice; FOREVER gives no days.
    window : Period, optional
        Of each gap only the part after d (+) (-window) counts on day d. Without it, a gap that was
        too long stays so.
    """
    if window is None:
        until = unbroken_until(spells, greatest=greatest, anchor=anchor, since=since)
        return DaySet.between(since, until)
    n_rows = spells.n_rows
    after_runs, before_first = _gaps(spells, greatest, anchor=anchor, since=since)
    rows, exceeded, following = (
        np.concatenate(both) for both in zip(before_first, after_runs, strict=True)
    )
    last = _last_before_reaching(greatest, following - 2, anchor=anchor)
    until = np.where(following == FOREVER, FOREVER, window.window_reaches(last + 2))
    faults = DaySet.from_runs(n_rows, rows, starts=exceeded, ends=until)
    wide = DaySet.same(_days_window_exceeds(greatest, window, anchor), n_rows)
    return DaySet.between(since, FOREVER, n_rows=n_rows) - (faults & wide)


def unbroken_until(spells: DaySet, *, greatest: Period, anchor: Anchor, since: Ints) -> Ints:
    """Return each row's first day by which a gap has lasted longer than allowed; FOREVER for none.

    Parameters
    ----------
    spells, greatest, anchor, since
        As in `longest_gap_within`.
    """
    (rows, exceeded, _), (no_start, late, _) = _gaps(spells, greatest, anchor=anchor, since=since)
    until = np.full(spells.n_rows, FOREVER)
    # Of several assigned to one row the last stays: in reverse order, the first.
    until[rows[::-1]] = exceeded[::-1]
    until[no_start] = late
    return until


Gaps = tuple[Ints, Ints, Ints]
"""Of gaps that last too long: row, first day too many, and day on which practice starts again."""


def _gaps(spells: DaySet, greatest: Period, *, anchor: Anchor, since: Ints) -> tuple[Gaps, Gaps]:
    """Return the gaps that last too long after runs, and those before a row's first run."""
    rows, starts = spells.rows, spells.starts
    lasts = np.maximum(spells.ends - 1, since.take(rows))
    following = _following(rows, starts)
    exceeded = _day_reached(greatest, lasts, anchor=anchor) + 1
    first = np.full(spells.n_rows, FOREVER)
    first[rows[::-1]] = starts[::-1]
    exceeded_first = _day_reached(greatest, since, anchor=anchor) + 1
    after_runs = (exceeded < following).nonzero()[0]
    before_first = (exceeded_first < first).nonzero()[0]
    return (
        (rows.take(after_runs), exceeded.take(after_runs), following.take(after_runs)),
        (before_first, exceeded_first.take(before_first), first.take(before_first)),
    )


def _following(rows: Ints, starts: Ints) -> Ints:
    """Return the start of the run after each run in its row; FOREVER after the last."""
    following = np.full(starts.size, FOREVER)
    following[:-1] = np.where(rows[1:] == rows[:-1], starts[1:], FOREVER)
    return following


def _day_reached(period: Period, lasts: Ints, *, anchor: Anchor) -> Ints:
    """Return the first day on which a gap after each last day of practice has lasted a period."""
    if anchor == "after last practice day":
        return period.after(lasts)
    filled = period.beginning(lasts + 1)
    return np.where(filled == FOREVER, FOREVER, filled - 1)


def _last_before_reaching(period: Period, limits: Ints, *, anchor: Anchor) -> Ints:
    """Return the last day of practice after which a gap has lasted a period by each limit."""
    if anchor == "after last practice day":
        return period.last_start(limits)
    return period.last_beginning(limits + 1) - 1


@lru_cache(maxsize=64)
def _days_window_exceeds(greatest: Period, window: Period, anchor: Anchor) -> Ints:
    """Return the boundaries of the days whose window is longer than the greatest gap."""
    days = np.arange(FOREVER + 1)
    before = window.window_start(days) - 1
    return true_runs(_day_reached(greatest, before, anchor=anchor) < days)
