"""Days, partly known dates, sets of days, and how practice adds up."""

from comity.core.days.accumulate import amount_on, days_with_amount, days_with_run
from comity.core.days.blocks import BLOCK_ROWS, Ragged, in_blocks, row_blocks, stacked
from comity.core.days.calendar import (
    FOREVER,
    Day,
    add_months_clamp,
    add_months_roll,
    date_from_day,
    day_from_date,
    iso,
    last_day_with_clamp_at_most,
)
from comity.core.days.dayset import DaySet, at_least
from comity.core.days.gaps import Anchor, days_since_last, longest_gap_within
from comity.core.days.partial import PartialDate, parse_partial_date
from comity.core.days.period import Period, parse_period
from comity.core.days.steps import Steps
from comity.core.days.workdays import (
    WorkCalendar,
    first_start,
    nth_working_day_after,
    working_day_on_or_after,
    working_days_between,
)

__all__ = [
    "BLOCK_ROWS",
    "FOREVER",
    "Anchor",
    "Day",
    "DaySet",
    "PartialDate",
    "Period",
    "Ragged",
    "Steps",
    "WorkCalendar",
    "add_months_clamp",
    "add_months_roll",
    "amount_on",
    "at_least",
    "date_from_day",
    "day_from_date",
    "days_since_last",
    "days_with_amount",
    "days_with_run",
    "first_start",
    "in_blocks",
    "iso",
    "last_day_with_clamp_at_most",
    "longest_gap_within",
    "nth_working_day_after",
    "parse_partial_date",
    "parse_period",
    "row_blocks",
    "stacked",
    "working_day_on_or_after",
    "working_days_between",
]
