"""From requirements met to a licence in hand: what comes when, how surely, and at what cost."""

from comity.core.plan.critical_path import Times, chance_by, critical_path
from comity.core.plan.earliest import Schedule, earliest_plan, latest_plan
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
from comity.core.plan.policies import Policy
from comity.core.plan.sampling import drawn, mean_of, variance_of
from comity.core.plan.simulating import Draws, Futures, broken_limits, draw, simulate

__all__ = [
    "EVERY_DAY",
    "After",
    "Draws",
    "Duration",
    "Futures",
    "Network",
    "NetworkError",
    "Policy",
    "Schedule",
    "Sitting",
    "Sittings",
    "Step",
    "Times",
    "Within",
    "broken_limits",
    "chance_by",
    "critical_path",
    "draw",
    "drawn",
    "earliest_plan",
    "latest_plan",
    "mean_of",
    "simulate",
    "variance_of",
]
