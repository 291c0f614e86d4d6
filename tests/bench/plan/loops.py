"""The futures of a network in plain Python: a loop over draws, working days from a list."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING

from comity.core.days.calendar import FOREVER
from tests.bench.plan.networks import FIRST, HORIZON

if TYPE_CHECKING:
    from comity.core.days.workdays import WorkCalendar
    from comity.core.plan.network import Network, Step
    from comity.core.plan.simulating import Draws

_LAST = HORIZON + 3_000


def futures_by_loop(network: Network, draws: Draws) -> list[int]:
    """Return the day on which the last step ends in each draw; FOREVER for never."""
    working = {each.calendar: _working_days(each.calendar) for each in network.steps}
    days = {name: each[0].tolist() for name, each in draws.durations.items()}
    luck = {name: each.tolist() for name, each in draws.luck.items()}
    found = []
    for index in range(draws.n_draws):
        ends: dict[str, int] = {}
        for step in network.steps:
            start = step.not_before
            for link in network.before[step.id]:
                start = max(start, ends[link.step])
            duration = days[step.id][index]
            if step.sittings is not None:
                chances = [row[index] for row in luck[step.id]]
                start = _passed(step, start, chances, duration, working[step.calendar])
            ends[step.id] = _end(start, duration, working[step.calendar])
        found.append(ends[network.steps[-1].id])
    return found


def _working_days(calendar: WorkCalendar) -> list[int]:
    off = set(calendar.holidays)
    return [d for d in range(FIRST, _LAST) if d % 7 not in calendar.weekend and d not in off]


def _end(start: int, duration: int, working: list[int]) -> int:
    if duration == 0 or start >= FOREVER:
        return start
    return working[bisect_right(working, start) + duration - 1]


def _passed(step: Step, ready: int, chances: list[float], duration: int, working: list[int]) -> int:
    assert step.sittings is not None
    closes = [each.closes for each in step.sittings.dates]
    for chance in chances:
        position = bisect_left(closes, ready)
        if position == len(closes):
            return FOREVER
        day = step.sittings.dates[position].on
        if chance < step.sittings.p_pass:
            return day
        ready = max(_end(day, duration, working), step.sittings.wait.after(day))
    return FOREVER
