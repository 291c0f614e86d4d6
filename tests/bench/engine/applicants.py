"""Generated applicants as columns: about four spells each, with all that makes spells awkward."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from comity.core.days.blocks import Ragged
from comity.core.days.calendar import FOREVER, Ints, day_from_date

HORIZON = (day_from_date(date(2026, 1, 1)), day_from_date(date(2036, 1, 1)))
AS_AT = day_from_date(date(2026, 6, 1))

_SPELL_COUNTS = np.array([1, 2, 3, 4, 5, 6, 7, 8])
_SHARES = np.array([0.04, 0.1, 0.2, 0.27, 0.2, 0.1, 0.06, 0.03])


@dataclass(frozen=True, slots=True)
class Applicants:
    """What the four requirements ask of many applicants.

    `spells` has the columns start, end (exclusive) and percent of full time. `qualified` is the
    day of the first qualification, `issued` the day of the certificate, `expiry` the last day of
    the passport.
    """

    spells: Ragged
    qualified: Ints
    issued: Ints
    expiry: Ints

    @property
    def n_rows(self) -> int:
        """The number of applicants."""
        return self.qualified.size

    def rows(self, first: int, stop: int) -> Applicants:
        """Return some of them."""
        part = slice(first, stop)
        return Applicants(
            self.spells.block(first, stop),
            self.qualified[part],
            self.issued[part],
            self.expiry[part],
        )


def make_applicants(n_rows: int, seed: int = 20_260_101) -> Applicants:
    """Return applicants whose spells overlap, leave gaps, are part time or go on.

    One start in ten is known to the month only and is read as late as it can be: the facts are
    those of the certain reading.
    """
    rng = np.random.default_rng(seed)
    counts = rng.choice(_SPELL_COUNTS, size=n_rows, p=_SHARES)
    offsets = np.concatenate(([0], counts.cumsum()))
    n_spells = int(offsets[-1])
    rows = np.repeat(np.arange(n_rows), counts)
    qualified = rng.integers(day_from_date(date(2005, 1, 1)), HORIZON[0] + 365, n_rows)
    lengths = rng.gamma(2.0, 350.0, n_spells).astype(np.int64) + rng.integers(0, 2, n_spells)
    # Mostly a gap before the next spell, sometimes none, sometimes an overlap.
    pauses = np.where(
        rng.random(n_spells) < 0.3, -rng.integers(0, 400, n_spells),
        np.where(rng.random(n_spells) < 0.3, 0, rng.gamma(1.2, 250.0, n_spells).astype(np.int64)),
    )  # fmt: skip
    steps = lengths + pauses
    before = steps.cumsum() - steps
    starts = qualified[rows] + rng.integers(-500, 500, n_rows)[rows]
    starts += before - before[offsets[:-1]][rows]
    starts = np.maximum(starts, day_from_date(date(1990, 1, 1)))
    vague = rng.random(n_spells) < 0.1
    starts = np.where(vague, _last_of_month(starts), starts)
    ends = starts + lengths
    last = offsets[1:] - 1
    ends[last[rng.random(n_rows) < 0.6]] = FOREVER
    percents = rng.choice([100, 100, 100, 80, 60, 50, 40, 20], n_spells)
    return Applicants(
        spells=Ragged(offsets, (starts, ends, percents)),
        qualified=qualified,
        issued=rng.integers(HORIZON[0] - 300, HORIZON[1] - 200, n_rows),
        expiry=rng.integers(HORIZON[0] - 100, HORIZON[1] + 900, n_rows),
    )


def _last_of_month(days: Ints) -> Ints:
    """Return the last day of each day's month."""
    epoch = np.datetime64("1900-01-01", "D")
    following = (epoch + days).astype("datetime64[M]") + 1
    return (following.astype("datetime64[D]") - epoch).astype(np.int64) - 1
