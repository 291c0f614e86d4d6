"""The four requirements on Comity's day-sets."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from comity.core.days.accumulate import amount_on, days_with_amount
from comity.core.days.blocks import BLOCK_ROWS, row_blocks, stacked
from comity.core.days.calendar import Bools
from comity.core.days.dayset import DaySet, at_least
from comity.core.days.gaps import longest_gap_within
from comity.core.days.period import Period
from comity.core.days.steps import Steps
from tests.bench.engine.applicants import AS_AT, HORIZON, Applicants

FULL_TIME = 100
ENOUGH = 73_050  # 24 months of 30.4375 days of 100 per cent
LOOK_BACK = Period(months=60)
GREATEST_GAP = Period(months=24)
VALIDITY = Period(months=6)


@dataclass(frozen=True, slots=True)
class Answers:
    """The days on which each of the four requirements holds, and on which all do."""

    sets: tuple[DaySet, ...]


def day_sets(applicants: Applicants, block_rows: int = BLOCK_ROWS) -> tuple[DaySet, ...]:
    """Return the days in the horizon for R1 to R4 and for all of them."""
    blocks = [
        _block_day_sets(applicants.rows(first, stop))
        for first, stop in row_blocks(applicants.n_rows, block_rows)
    ]
    return tuple(stacked(parts) for parts in zip(*blocks, strict=True))


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


def verdicts(applicants: Applicants, block_rows: int = BLOCK_ROWS) -> Bools:
    """Return an array of shape (5, n_rows): R1 to R4 and all of them on one day."""
    blocks = [
        _block_verdicts(applicants.rows(first, stop))
        for first, stop in row_blocks(applicants.n_rows, block_rows)
    ]
    return np.concatenate(blocks, axis=1)


def _block_verdicts(some: Applicants) -> Bools:
    practice = _practice(some)
    unbroken = longest_gap_within(
        practice.at_least(1),
        greatest=GREATEST_GAP,
        anchor="after last practice day",
        since=some.qualified,
    )
    answers = np.array(
        [
            amount_on(practice, day=AS_AT, window=LOOK_BACK) >= ENOUGH,
            unbroken.contains(AS_AT),
            (some.issued <= AS_AT) & (VALIDITY.after(some.issued) >= AS_AT),
            VALIDITY.last_start(some.expiry) >= AS_AT,
        ]
    )
    return np.concatenate((answers, answers.all(axis=0, keepdims=True)))
