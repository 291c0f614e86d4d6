"""The critical path as textbooks reckon it: durations as numbers, neither calendars nor chance.

Kept beside the plan because people know its words; the plan itself counts on days.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import erfc, sqrt
from typing import TYPE_CHECKING

from comity.core.plan.network import in_order

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


@dataclass(frozen=True, slots=True)
class Times:
    """Earliest and latest times of one activity.

    Parameters
    ----------
    early_start, early_finish, late_start, late_finish : float
        In the unit of the durations, from the start of the project.
    """

    early_start: float
    early_finish: float
    late_start: float
    late_finish: float

    @property
    def slack(self) -> float:
        """How much later it may start without delaying the end."""
        return self.late_start - self.early_start


def critical_path(
    durations: Mapping[str, float], before: Mapping[str, Sequence[str]]
) -> dict[str, Times]:
    """Return the times of all activities.

    Parameters
    ----------
    durations : mapping
        By activity.
    before : mapping
        By activity, those that come directly before it; every activity is a key.

    Raises
    ------
    NetworkError
        When activities wait for each other in a ring.

    References
    ----------
    Kelley and Walker 1959, "Critical-path planning and scheduling".
    """
    order = in_order(before)
    start: dict[str, float] = {}
    for name in order:
        start[name] = max((start[each] + durations[each] for each in before[name]), default=0.0)
    length = max((start[name] + durations[name] for name in order), default=0.0)
    finish = dict.fromkeys(order, length)
    for name in reversed(order):
        for each in before[name]:
            finish[each] = min(finish[each], finish[name] - durations[name])
    return {
        name: Times(
            start[name], start[name] + durations[name], finish[name] - durations[name], finish[name]
        )
        for name in order
    }


def chance_by(limit: float, *, mean: float, variance: float) -> float:
    """Return the probability of ending by a time if that were normal: the textbook's PERT.

    It takes the critical path's mean and variance for the whole project's, so it is too hopeful
    wherever paths meet; simulation is the honest figure.
    """
    return 0.5 * erfc((mean - limit) / sqrt(2 * variance))
