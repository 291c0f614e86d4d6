"""The futures of many draws at once against a plain loop over draws, days looked for one by one.

And against exact convolution where no step waits for two that have something in common.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from scipy.stats import beta as beta_law

from comity.core.days.calendar import FOREVER, Day
from comity.core.days.period import Period
from comity.core.days.workdays import WorkCalendar
from comity.core.plan.network import After, Duration, Network, Sitting, Sittings, Step
from comity.core.plan.policies import Policy
from comity.core.plan.simulating import MOST_ORDERS, Draws, draw, simulate
from tests.unit.core.plan.samples import FIRST, route

if TYPE_CHECKING:
    from collections.abc import Sequence

pytestmark = pytest.mark.property

POLICIES = (
    Policy("standing", "sitting", "exam", -40),
    Policy("police", "day", offset=FIRST + 60),
    Policy("health", "end", "verify", 3),
)


def _working_days_after(day: Day, n: int, calendar: WorkCalendar) -> Day:
    if day >= FOREVER:
        return FOREVER
    while n:
        day += 1
        n -= day % 7 not in calendar.weekend and day not in calendar.holidays
    return day


def _passed(step: Step, ready: Day, luck: Sequence[float], result_days: int) -> tuple[Day, Day]:
    """Return the sitting that is passed and the first one, FOREVER for never."""
    assert step.sittings is not None
    first = FOREVER
    for number, chance in enumerate(luck):
        open_ones = [each.on for each in step.sittings.dates if each.closes >= ready]
        if not open_ones:
            return FOREVER, first
        first = open_ones[0] if number == 0 else first
        if chance < step.sittings.p_pass:
            return open_ones[0], first
        out = _working_days_after(open_ones[0], result_days, step.calendar)
        ready = max(out, step.sittings.wait.after(open_ones[0]))
    return FOREVER, first


def _one_future(network: Network, draws: Draws, index: int) -> tuple[Day, Day, list[str]]:
    """Return the days of submission and decision in one draw, and which papers had lapsed."""
    days = {name: [int(v) for v in values[:, index]] for name, values in draws.durations.items()}
    verify, exam = network["verify"], network["exam"]
    verified = _working_days_after(verify.not_before, days["verify"][0], verify.calendar)
    luck = [float(each[index]) for each in draws.luck["exam"]]
    passed, first_sitting = _passed(exam, exam.not_before, luck, days["exam"][0])
    result = _working_days_after(passed, days["exam"][0], exam.calendar)
    ordered = {
        "standing": max(FIRST, exam.not_before, first_sitting - 40),
        "police": FIRST + 60,
        "health": max(FIRST, verified + 3),
    }
    arrived = {
        name: _working_days_after(day, days[name][0], network[name].calendar)
        for name, day in ordered.items()
    }
    submitted = max(verified, result, *arrived.values())
    lapsed: set[str] = set()
    for order in range(1, MOST_ORDERS):
        lasts = network["standing"].lasts
        assert lasts is not None
        late = [n for n, day in arrived.items() if FOREVER > submitted > lasts.after(day)]
        lapsed.update(late)
        again = submitted
        for name in late:
            arrived[name] = _working_days_after(
                submitted, days[name][order], network[name].calendar
            )
            again = max(again, arrived[name])
        submitted = again
    decide = network["decide"]
    return (
        submitted,
        _working_days_after(submitted, days["decide"][0], decide.calendar),
        sorted(lapsed),
    )


@pytest.mark.parametrize("months", [1, 2, 3])
def test_futures_are_those_of_a_loop_over_draws(months: int) -> None:
    network = route(lasts=Period(months=months))
    draws = draw(network, 300, np.random.default_rng(months))
    futures = simulate(network, draws, policies=POLICIES)
    for index in range(draws.n_draws):
        submitted, decided, lapsed = _one_future(network, draws, index)
        assert futures.ends["submit"][index] == submitted
        assert futures.ends["decide"][index] == decided
        assert [n for n in ("health", "police", "standing") if futures.lapsed[n][index]] == lapsed


def test_the_same_seed_gives_the_same_futures() -> None:
    network = route()
    ends = [
        simulate(network, draw(network, 500, np.random.default_rng(7))).ends["decide"]
        for _ in range(2)
    ]
    assert np.array_equal(ends[0], ends[1])


def test_every_attempt_fails_as_often_as_theory_says() -> None:
    """0.38 to the fourth power: 2.09 %."""
    network = route()
    futures = simulate(network, draw(network, 100_000, np.random.default_rng(11)))
    never = float(np.mean(futures.ends["exam"] >= FOREVER))
    assert never == pytest.approx(0.38**4, abs=4 * np.sqrt(0.0209 * 0.9791 / 100_000))


def _density(duration: Duration) -> np.ndarray:
    """Return the probability of each whole number of days, from the beta law itself."""
    least, most, likely = duration.least, duration.most, duration.likely
    assert likely is not None
    spread = most - least
    law = beta_law(1 + 4 * (likely - least) / spread, 1 + 4 * (most - likely) / spread)
    edges = np.clip((np.arange(0, most + 2) - 0.5 - least) / spread, 0, 1)
    return np.diff(law.cdf(edges))


def _pushed(density: np.ndarray, duration: Duration, calendar: WorkCalendar) -> np.ndarray:
    """Return the density of the end of a step whose start has a density over days."""
    pushed = np.zeros(density.size + 200)
    for start in np.flatnonzero(density):
        for days, chance in enumerate(_density(duration)):
            end = _working_days_after(FIRST + int(start), days, calendar) - FIRST
            pushed[end] += density[start] * chance
    return pushed


def test_a_small_network_agrees_with_exact_convolution() -> None:
    """Within the band of Kolmogorov and Smirnov: 1.36 / sqrt(n) at 95 %; here twice as wide."""
    friday = WorkCalendar(frozenset({4}), (FIRST + 12, FIRST + 13))
    weekdays = WorkCalendar()
    a, b, c = Duration(3, 20, 6), Duration(5, 15, 7), Duration(2, 30, 10)
    network = Network.of(
        (
            Step("a", "a", "x", a, friday, not_before=FIRST),
            Step("b", "b", "y", b, weekdays, not_before=FIRST),
            Step("c", "c", "z", c, friday, after=(After("a"), After("b"))),
        )
    )
    start = np.ones(1)
    first, second = (_pushed(start, d, k).cumsum() for d, k in ((a, friday), (b, weekdays)))
    exact = _pushed(np.diff(first * second, prepend=0.0), c, friday).cumsum()
    n_draws = 40_000
    ends = simulate(network, draw(network, n_draws, np.random.default_rng(3))).ends["c"] - FIRST
    found = np.bincount(ends, minlength=exact.size).cumsum() / n_draws
    assert exact[-1] == pytest.approx(1)
    assert np.abs(found[: exact.size] - exact).max() < 2 * 1.36 / np.sqrt(n_draws)


def test_a_policy_that_waits_for_what_waits_for_it_is_refused() -> None:
    network = route()
    draws = draw(network, 10, np.random.default_rng(1))
    with pytest.raises(ValueError, match="steps wait for each other: standing after submit after"):
        simulate(network, draws, policies=[Policy("standing", "end", "submit", 0)])


def test_a_sitting_already_past_is_not_entered_for() -> None:
    past = Sittings((Sitting(FIRST - 10, FIRST - 20),))
    network = Network.of((replace(route(sittings=past)["exam"]),))
    ends = simulate(network, draw(network, 5, np.random.default_rng(1))).ends["exam"]
    assert ends.tolist() == [FOREVER] * 5
