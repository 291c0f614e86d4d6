"""From requirements met to a licence in hand: what comes when, how surely, and at what cost."""

from comity.core.plan.after_licence import AfterLicence, after_licence
from comity.core.plan.budget import Budget, FeeDue, Line, Month, budget_of
from comity.core.plan.building import Route, build
from comity.core.plan.conflicts import Constraint, smallest_conflict
from comity.core.plan.critical_path import Times, chance_by, critical_path
from comity.core.plan.criticality import criticality, days_won
from comity.core.plan.earliest import Schedule, earliest_plan, latest_plan
from comity.core.plan.exchange import NO_RATES, MissingRateError, Rates
from comity.core.plan.fees_due import Owed, fees_due
from comity.core.plan.greedy import greedy_plan
from comity.core.plan.limits import LimitedPlan, Limits, Load, Task, breaks
from comity.core.plan.network import (
    EVERY_DAY,
    After,
    Duration,
    Network,
    NetworkError,
    Sitting,
    Sittings,
    Step,
    Within,
)
from comity.core.plan.ordering import Judged, OrderDates, Point, Search, at_the_end, order_dates
from comity.core.plan.percentiles import Spread, spread_of
from comity.core.plan.policies import Policy
from comity.core.plan.sampling import drawn, mean_of, variance_of
from comity.core.plan.simulating import Draws, Futures, broken_limits, draw, simulate
from comity.core.plan.solving import solve
from comity.core.plan.taken import Taken

__all__ = [
    "EVERY_DAY",
    "NO_RATES",
    "After",
    "AfterLicence",
    "Budget",
    "Constraint",
    "Draws",
    "Duration",
    "FeeDue",
    "Futures",
    "Judged",
    "LimitedPlan",
    "Limits",
    "Line",
    "Load",
    "MissingRateError",
    "Month",
    "Network",
    "NetworkError",
    "OrderDates",
    "Owed",
    "Point",
    "Policy",
    "Rates",
    "Route",
    "Schedule",
    "Search",
    "Sitting",
    "Sittings",
    "Spread",
    "Step",
    "Taken",
    "Task",
    "Times",
    "Within",
    "after_licence",
    "at_the_end",
    "breaks",
    "broken_limits",
    "budget_of",
    "build",
    "chance_by",
    "critical_path",
    "criticality",
    "days_won",
    "draw",
    "drawn",
    "earliest_plan",
    "fees_due",
    "greedy_plan",
    "latest_plan",
    "mean_of",
    "order_dates",
    "simulate",
    "smallest_conflict",
    "solve",
    "spread_of",
    "variance_of",
]
