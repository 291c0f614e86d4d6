"""Calendar tables which every baseline is given ready made: one entry for each day."""

from __future__ import annotations

from typing import Final

import numpy as np

from comity.core.days.calendar import (
    FOREVER,
    clamp_adjoint_table,
    clamp_table,
    trailing_table,
    window_reaches_table,
)

DAYS: Final = np.arange(FOREVER + 1)
FIRST_60: Final = trailing_table(60, 0, 1)  # first day of the trailing 60 months
REACHES_60: Final = window_reaches_table(60, 0, 1)  # first day whose window begins there
AFTER_24: Final = clamp_table(24, 0)
AFTER_6: Final = clamp_table(6, 0)
LAST_6: Final = clamp_adjoint_table(6, 0)
LAG_60: Final = np.where(DAYS < FOREVER, DAYS - FIRST_60, 0)
# Days on which the window's first day does not move on by one.
CHANGES_60: Final = (np.flatnonzero(np.diff(LAG_60[:FOREVER])) + 1).astype(np.int64)
N_CHANGES_60: Final = np.searchsorted(CHANGES_60, DAYS, side="right")
SPAN_60: Final = int(LAG_60[:FOREVER].max() - LAG_60[:FOREVER].min())
