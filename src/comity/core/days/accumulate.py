"""How much practice lies within a trailing window, and on which days that is enough.

The amount on a day is a difference of two prefix sums of the profile. Both are straight lines
between *kinks*: the profile's keys, and the days on which the window's first day reaches them. The
window's first day is a step function with flats and jumps (months differ in length), so between two
kinks the amount is a straight line but for the *lag*, the distance from the window's first day to
the day itself, which varies by up to four days. The threshold is first compared with bounds that
leave the lag free; only where that does not decide, the line is cut where the lag changes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from comity.core.days.calendar import (
    FOREVER,
    Bools,
    Day,
    Ints,
    trailing_table,
    window_reaches_table,
)
from comity.core.days.dayset import DaySet
from comity.core.days.keys import (
    DAY_MASK,
    ROW_SHIFT,
    joined,
    ragged,
    saturated,
    selected,
    true_runs,
)

if TYPE_CHECKING:
    from comity.core.days.period import Period
    from comity.core.days.steps import Steps


def days_with_amount(
    profile: Steps,
    *,
    threshold: int | Ints,
    window: Period | None,
    inclusive_of_day: bool = True,
) -> DaySet:
    """Return the days on which the profile's sum over a trailing window reaches a threshold.

    Parameters
    ----------
    profile : Steps
        Amount a day, >= 0.
    threshold : int or ndarray of shape (n_rows,)
        0 or less is always reached.
    window : Period, optional
        The sum runs over the days after d (+) (-window) up to d; without it, over all days up to d.
    inclusive_of_day : bool
        Whether d itself counts. If not, the window is [d (+) (-window), d).

    Returns
    -------
    DaySet
        Exact to the day.

    Notes
    -----
    Whole numbers only. Cost is one sort of twice the profile's keys; no loop over rows or days.
    Prefix sums wrap without harm, since only differences within a row are used.
    """
    if not isinstance(threshold, np.ndarray):
        if threshold <= 0:
            return DaySet.full(profile.n_rows)
        return _days_reaching(profile, threshold, window=window, counted=int(inclusive_of_day))
    at_least_1 = np.maximum(threshold, 1)
    reached = _days_reaching(profile, at_least_1, window=window, counted=int(inclusive_of_day))
    return reached | DaySet.where(threshold <= 0)


def amount_on(
    profile: Steps,
    *,
    day: Day | Ints,
    window: Period | None,
    inclusive_of_day: bool = True,
) -> Ints:
    """Return each row's sum of the profile over the trailing window on its day.

    Parameters
    ----------
    profile : Steps
        Amount a day.
    day : int or ndarray of shape (n_rows,)
        Saturates at 0 and FOREVER.
    window, inclusive_of_day
        As in `days_with_amount`.
    """
    n_rows, counted = profile.n_rows, int(inclusive_of_day)
    days = saturated(np.asarray(day, np.int64))
    stop = np.minimum(days + counted, FOREVER)
    first = None if window is None else _lag(window, counted).first_day.take(days)
    rows, on = profile.keys >> ROW_SHIFT, profile.keys & DAY_MASK
    if days.ndim:
        stop, first = stop.take(rows), None if first is None else first.take(rows)
    within = np.minimum(on if first is None else np.maximum(on, first), stop)
    # A row's last value is 0, so the step to the next row's first key adds nothing.
    sums = np.zeros(rows.size + 1, np.int64)
    (profile.values[:-1] * (within[1:] - within[:-1])).cumsum(out=sums[2:])
    ends = np.bincount(rows, minlength=n_rows).cumsum()
    until = sums.take(ends)
    until[1:] -= until[:-1].copy()
    return until


def days_with_run(spells: DaySet, *, length: Period, window: Period | None) -> DaySet:
    """Return the days on which an unbroken run of a length lies wholly within a trailing window.

    A run lasts for a period if that period, beginning with the run's first day (roll), ends by the
    run's end. On day d only the part of a run within the window and up to d counts.

    Parameters
    ----------
    spells : DaySet
        Days of practice.
    length : Period
        Shortest run.
    window : Period, optional
        The run lies after d (+) (-window); without it, anywhere up to d.
    """
    filled = length.beginning(spells.starts)
    long_enough = filled <= spells.ends
    rows, ends = selected(spells.rows, long_enough), selected(spells.ends, long_enough)
    first = selected(filled, long_enough) - 1
    if window is None:
        return DaySet.from_runs(spells.n_rows, rows, starts=first, ends=np.full(rows.size, FOREVER))
    until = window.window_reaches(length.last_beginning(ends) + 1)
    until[ends == FOREVER] = FOREVER
    found = DaySet.from_runs(spells.n_rows, rows, starts=first, ends=until)
    return found & DaySet.same(_days_window_holds(length, window), spells.n_rows)


@dataclass(frozen=True, slots=True)
class _Lag:
    """The first day counted by a trailing window on each day, and its distance from that day."""

    first_day: Ints  # of the window on each day
    reached: Ints  # first day on which the window begins on or after each day
    lags: Ints
    least: int
    greatest: int
    changes: Ints  # days on which the lag differs from the day before


@lru_cache(maxsize=64)
def _lag(window: Period, counted: int) -> _Lag:
    """Return the lag of a window."""
    first_day = trailing_table(window.months, window.days, counted)
    lags = np.arange(FOREVER + 1) - first_day
    lags[FOREVER] = lags[FOREVER - 1]
    return _Lag(
        first_day=first_day,
        reached=window_reaches_table(window.months, window.days, counted),
        lags=lags,
        least=int(lags.min()),
        greatest=int(lags.max()),
        changes=np.flatnonzero(lags[1:] != lags[:-1]) + 1,
    )


@lru_cache(maxsize=64)
def _days_window_holds(length: Period, window: Period) -> Ints:
    """Return the boundaries of the days whose window is as long as a run."""
    days = np.arange(FOREVER + 1)
    holds = length.beginning(window.window_start(days)) <= days + 1
    holds[FOREVER - 1] = holds[FOREVER - 2]  # where periods beyond the end of time end with it
    return true_runs(holds)


def _prefix_sums(profile: Steps) -> Ints:
    """Return the sum of the profile over all days before each key, row after row."""
    prefix = np.empty(profile.keys.size, np.int64)
    prefix[0] = 0
    # A row's last value is 0, so the step to the next row's first key adds nothing.
    (profile.values[:-1] * (profile.keys[1:] - profile.keys[:-1])).cumsum(out=prefix[1:])
    return prefix


def _days_reaching(
    profile: Steps, threshold: int | Ints, *, window: Period | None, counted: int
) -> DaySet:
    """Return the days on which the sum over the window reaches a threshold >= 1."""
    if not profile.keys.size:
        return DaySet.empty(profile.n_rows)
    if window is None:
        return _days_reaching_ever(profile, threshold, counted=counted)
    lag = _lag(window, counted)
    pieces = _pieces(profile, threshold, lag=lag, counted=counted)
    above, near = pieces.compared(lag.greatest - lag.least)
    boundaries = [selected(pieces.starts, above), selected(pieces.stops, above)]
    if np.count_nonzero(near):
        boundaries += _straight_runs(_cut_where_lag_changes(pieces.where(near), lag))
    keys = np.concatenate(boundaries)
    keys.sort(kind="stable")
    return DaySet(profile.n_rows, joined(keys))


def _days_reaching_ever(profile: Steps, threshold: int | Ints, *, counted: int) -> DaySet:
    """Return the days up to which the whole sum reaches a threshold >= 1: all from a first one."""
    n_rows, prefix = profile.n_rows, _prefix_sums(profile)
    bounds = profile.keys.searchsorted(np.arange(n_rows + 1) << ROW_SHIFT)
    firsts, ends = bounds[:-1], bounds[1:]
    target = prefix.take(firsts, mode="clip") + threshold
    at = prefix.searchsorted(target)
    reached = (at < ends) & (firsts < ends)
    before = np.maximum(np.minimum(at, prefix.size - 1) - 1, 0)
    value = np.where(reached, profile.values[before], 1)
    n_days = -((prefix[before] - target) // value)
    first = (profile.keys[before] & DAY_MASK) + n_days - counted
    return DaySet.between(np.where(reached, first, FOREVER), FOREVER, n_rows=n_rows)


@dataclass(frozen=True, slots=True)
class _Pieces:
    """Stretches of days between kinks: what the sum exceeds the threshold by, and how it moves.

    On day d the excess is ``excess + slope * (d - start) + drop * (lag(d) - lag(start))``.
    """

    starts: Ints
    stops: Ints
    excess: Ints
    slope: Ints
    drop: Ints  # what leaves the window with each day that it moves on

    def where(self, mask: Bools) -> _Pieces:
        """Return the pieces marked."""
        at = mask.nonzero()[0]
        return _Pieces(
            self.starts.take(at),
            self.stops.take(at),
            self.excess.take(at),
            self.slope.take(at),
            self.drop.take(at),
        )

    def compared(self, span: int) -> tuple[Bools, Bools]:
        """Return which pieces lie above the threshold, and which of the others may reach it."""
        change = self.slope * (self.stops - self.starts - 1)
        slack = self.drop * span
        some = self.starts < self.stops
        above = (self.excess + np.minimum(change, 0) >= slack) & some
        near = (self.excess + np.maximum(change, 0) + slack >= 0) & some & ~above
        return above, near


def _pieces(profile: Steps, threshold: int | Ints, *, lag: _Lag, counted: int) -> _Pieces:
    """Return the pieces between all kinks, in order."""
    keys, values = profile.keys, profile.values
    days = keys & DAY_MASK
    kinks = np.concatenate((keys << 1, ((keys - days + lag.reached.take(days)) << 1) + 1))
    kinks.sort(kind="stable")  # a merge of two sorted halves
    # Ranks by counting instead of searching: how many keys the day and the window have passed.
    n_left = (kinks & 1).cumsum()
    n_entered = np.arange(1, kinks.size + 1) - n_left
    kinks >>= 1
    level = np.zeros(keys.size + 1, np.int64)
    level[1:] = values
    offset = np.zeros(keys.size + 1, np.int64)
    offset[1:] = _prefix_sums(profile) - values * days
    # In place: so many rows at once, and the less memory a block takes the faster it is.
    excess = offset.take(n_entered)
    excess -= offset.take(n_left)
    entering, leaving = level.take(n_entered), level.take(n_left)
    on = kinks & DAY_MASK
    excess -= leaving * lag.first_day.take(on)
    on += counted
    excess += entering * on
    excess -= threshold.take(kinks >> ROW_SHIFT) if isinstance(threshold, np.ndarray) else threshold
    # After a row's last kink nothing is left in the window: the step to the next row is 0.
    return _Pieces(kinks[:-1], kinks[1:], excess[:-1], (entering - leaving)[:-1], leaving[:-1])


def _cut_where_lag_changes(pieces: _Pieces, lag: _Lag) -> _Pieces:
    """Return the pieces cut so that the lag is the same throughout each: straight lines.

    Cuts are few: a piece from which something leaves the window is no longer than the window or a
    spell. Where nothing leaves, the lag does not matter.
    """
    first = pieces.starts & DAY_MASK
    n_before = lag.changes.searchsorted(first, side="right")
    n_until = lag.changes.searchsorted(first + (pieces.stops - pieces.starts), side="left")
    counts = np.where(pieces.drop == 0, 1, n_until - n_before + 1)
    if counts.max() == 1:
        return pieces
    ends = counts.cumsum()
    heads, tails = ends - counts, ends - 1
    piece = np.repeat(np.arange(counts.size), counts)
    starts, drop = pieces.starts.take(piece), pieces.drop.take(piece)
    cuts = (starts & ~DAY_MASK) + lag.changes.take(ragged(n_before - 1, counts), mode="clip")
    cuts[heads] = pieces.starts
    stops = np.empty_like(cuts)
    stops[:-1] = cuts[1:]
    stops[tails] = pieces.stops
    slope = pieces.slope.take(piece)
    change = lag.lags.take(cuts & DAY_MASK) - lag.lags.take(starts & DAY_MASK)
    excess = pieces.excess.take(piece) + slope * (cuts - starts) + drop * change
    return _Pieces(cuts, stops, excess, slope, drop)


def _straight_runs(pieces: _Pieces) -> tuple[Ints, Ints]:
    """Return starts and stops of the runs on which the excess, a straight line, is not below 0."""
    starts, stops, excess, slope = pieces.starts, pieces.stops, pieces.excess, pieces.slope
    n_days = excess // np.maximum(np.abs(slope), 1)
    falls, level = slope < 0, slope == 0
    first = np.where(falls | (level & (excess >= 0)), starts, np.maximum(starts, starts - n_days))
    last = np.where(falls, np.minimum(starts + n_days + 1, stops), stops)
    holds = ((first < last) & ~(level & (excess < 0))).nonzero()[0]
    return first.take(holds), last.take(holds)
