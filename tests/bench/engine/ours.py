"""The four requirements on Comity's day-sets."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from comity.core.days.accumulate import amount_on, days_with_amount
from comity.core.days.blocks import BLOCK_ROWS, Stack, row_blocks
from comity.core.days.dayset import DaySet, at_least
from comity.core.days.gaps import longest_gap_within, unbroken_until
from comity.core.days.period import Period
from comity.core.days.steps import Steps
from tests.bench.engine.applicants import AS_AT, HORIZON, Applicants

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from comity.core.days.calendar import Bools, Ints

T = TypeVar("T")

FULL_TIME = 100
ENOUGH = 73_050  # 24 months of 30.4375 days of 100 per cent
LOOK_BACK = Period(months=60)
GREATEST_GAP = Period(months=24)
VALIDITY = Period(months=6)


def day_sets(
    applicants: Applicants, *, block_rows: int = BLOCK_ROWS, workers: int = 1
) -> tuple[DaySet, ...]:
    """Return the days in the horizon for R1 to R4 and for all of them."""
    stacks = tuple(Stack(applicants.n_rows) for _ in range(5))
    for block in _each_block(_block_day_sets, applicants, block_rows=block_rows, workers=workers):
        for stack, days in zip(stacks, block, strict=True):
            stack.add(days)
    return tuple(stack.days() for stack in stacks)


def verdicts(
    applicants: Applicants, *, block_rows: int = 4 * BLOCK_ROWS, workers: int = 1
) -> Bools:
    """Return an array of shape (5, n_rows): R1 to R4 and all of them on one day.

    A row takes a quarter of the memory that its day-sets take, so blocks are as much larger.
    """
    blocks = _each_block(_block_verdicts, applicants, block_rows=block_rows, workers=workers)
    return np.concatenate(list(blocks), axis=1)


def _each_block(
    function: Callable[[Applicants], T], applicants: Applicants, *, block_rows: int, workers: int
) -> Iterator[T]:
    """Yield the results of all blocks, worked out by so many threads: NumPy frees the lock."""
    parts = (applicants.rows(*bounds) for bounds in row_blocks(applicants.n_rows, block_rows))
    if workers == 1:
        yield from map(function, parts)
    else:
        with ThreadPoolExecutor(workers) as pool:
            yield from pool.map(function, parts)


def _block_day_sets(some: Applicants) -> tuple[DaySet, ...]:
    practice = _practice(some)
    enough = days_with_amount(practice, threshold=ENOUGH, window=LOOK_BACK)
    unbroken = longest_gap_within(
        practice.at_least(1),
        greatest=GREATEST_GAP,
        anchor="after last practice day",
        since=some.qualified,
    )
    certified = DaySet.between(some.issued, VALIDITY.after(some.issued) + 1)
    identified = DaySet.between(0, VALIDITY.last_start(some.expiry) + 1)
    sets = [each.clipped(*HORIZON) for each in (enough, unbroken, certified, identified)]
    return (*sets, at_least(4, sets))


def _practice(some: Applicants) -> Steps:
    """Return the capped daily sum of practice from the qualification on."""
    starts, ends, percents = some.spells.columns
    rows = some.spells.rows
    starts = np.maximum(starts, some.qualified[rows])
    return Steps.sum_of(some.n_rows, rows, starts=starts, ends=ends, values=percents).capped(
        FULL_TIME
    )


def _block_verdicts(some: Applicants) -> Bools:
    starts, ends, percents = some.spells.columns
    rows = some.spells.rows
    starts = np.maximum(starts, some.qualified.take(rows))
    until = unbroken_until(
        DaySet.from_runs(some.n_rows, rows, starts=starts, ends=ends),
        greatest=GREATEST_GAP,
        anchor="after last practice day",
        since=some.qualified,
    )
    # Only what lies in the look-back on that day is summed.
    recent = Steps.sum_of(
        some.n_rows,
        rows,
        starts=np.maximum(starts, LOOK_BACK.window_start(AS_AT)),
        ends=np.minimum(ends, AS_AT + 1),
        values=percents,
    )
    answers = np.array(
        [
            amount_on(recent.capped(FULL_TIME), day=AS_AT, window=None) >= ENOUGH,
            (some.qualified <= AS_AT) & (until > AS_AT),
            (some.issued <= AS_AT) & (VALIDITY.after(some.issued) >= AS_AT),
            VALIDITY.last_start(some.expiry) >= AS_AT,
        ]
    )
    return np.concatenate((answers, answers.all(axis=0, keepdims=True)))


def certain_and_possible(one: Applicants) -> tuple[tuple[DaySet, ...], Bools, Ints, Ints]:
    """Return sets, verdicts, next days and last days for one applicant's two readings.

    Row 0 holds the certain reading of the facts and row 1 the possible one; four requirements and
    all of them each.
    """
    sets = _block_day_sets(one)
    every = sets[-1]
    return sets, every.contains(AS_AT), every.next_day(AS_AT), every.last_day_of_run(AS_AT)
