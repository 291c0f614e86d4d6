from __future__ import annotations

import numpy as np

from comity.core.days.calendar import FOREVER
from comity.core.plan.criticality import criticality, days_won
from comity.core.plan.network import After, Duration, Network, Step
from comity.core.plan.percentiles import Spread, spread_of
from comity.core.plan.simulating import draw, simulate


def _two_ways(first: Duration, second: Duration) -> Network:
    return Network.of(
        (
            Step("long", "Long", "a", first),
            Step("short", "Short", "b", second),
            Step("end", "End", "c", Duration.fixed(0), after=(After("long"), After("short"))),
        )
    )


def test_percentiles_are_days_that_were_drawn() -> None:
    days = np.arange(1, 101)
    assert spread_of(days) == Spread(p10=10, p50=50, p80=80, p95=95, never=0.0)


def test_what_never_happens_in_a_tenth_of_the_draws_has_no_late_percentile() -> None:
    days = np.array([5] * 9 + [FOREVER])
    assert spread_of(days) == Spread(p10=5, p50=5, p80=5, p95=None, never=0.1)


def test_only_the_longer_of_two_ways_is_critical() -> None:
    network = _two_ways(Duration.fixed(10), Duration.fixed(4))
    futures = simulate(network, draw(network, 100, np.random.default_rng(1)))
    assert criticality(network, futures, "end") == {"long": 1.0, "short": 0.0, "end": 1.0}


def test_ways_that_are_equally_long_are_both_critical() -> None:
    network = _two_ways(Duration.fixed(10), Duration.fixed(10))
    futures = simulate(network, draw(network, 100, np.random.default_rng(1)))
    assert criticality(network, futures, "end") == {"long": 1.0, "short": 1.0, "end": 1.0}


def test_a_day_saved_counts_in_the_draws_in_which_the_step_is_longest() -> None:
    network = _two_ways(Duration(1, 2), Duration(1, 2))
    draws = draw(network, 20_000, np.random.default_rng(1))
    # Only where this one takes two days and the other one takes one: a quarter.
    assert abs(days_won(network, draws, "end")["long"] - 0.25) < 0.02


def test_steps_that_take_no_time_win_nothing() -> None:
    network = _two_ways(Duration.fixed(10), Duration.fixed(4))
    draws = draw(network, 10, np.random.default_rng(1))
    assert days_won(network, draws, "end") == {"long": 1.0, "short": 0.0}
