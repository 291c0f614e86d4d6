from __future__ import annotations

import numpy as np
import pytest

from comity.core.plan.ordering import Search, at_the_end, order_dates
from comity.core.plan.policies import Policy
from comity.core.plan.simulating import draw
from tests.unit.core.plan.samples import FIRST, route

PAPERS = ("standing", "police", "health")


def _search(n_draws: int, seed: int) -> Search:
    network = route()
    return Search(network, "submit", draw(network, n_draws, np.random.default_rng(seed)))


def test_the_rule_found_beats_ordering_at_once_and_at_the_end_on_fresh_futures() -> None:
    chosen, fresh = _search(500, 1).best(), _search(20_000, 2)
    found = fresh.judge(chosen).cost
    at_once = fresh.judge([Policy(paper) for paper in PAPERS]).cost
    assert found < at_once / 2
    assert found < fresh.judge(at_the_end(fresh.network, "submit", PAPERS)).cost / 2


def test_ordering_at_the_end_never_lets_a_paper_lapse() -> None:
    fresh = _search(2_000, 3)
    judged = fresh.judge(at_the_end(fresh.network, "submit", PAPERS))
    assert judged.lapse == dict.fromkeys(PAPERS, 0.0)
    assert judged.mean_delay > 20


def test_the_end_is_that_of_the_step_that_ends_last() -> None:
    assert {rule.step for rule in at_the_end(route(), "submit", PAPERS)} == {"exam"}


def test_with_nothing_else_to_wait_for_the_end_is_at_once() -> None:
    network = route(sittings=None)
    alone = at_the_end(network, "verify", PAPERS)
    assert alone == tuple(Policy(paper) for paper in PAPERS)


def test_ordering_later_lapses_less_and_delays_more() -> None:
    fresh = _search(4_000, 4)
    rules = [Policy(paper, "sitting", "exam", -30) for paper in PAPERS]
    police = next(each for each in order_dates(fresh, rules) if each.paper == "police")
    lapse = [point.lapse_risk for point in police.trade_off]
    delay = [point.delay_risk for point in police.trade_off]
    assert lapse[0] > lapse[-1]
    assert delay[0] < delay[-1]
    assert police.recommended in police.trade_off


def test_safe_days_keep_the_tolerated_risks() -> None:
    fresh = _search(4_000, 5)
    rules = [Policy(paper, "sitting", "exam", -20) for paper in PAPERS]
    health = next(each for each in order_dates(fresh, rules) if each.paper == "health")
    by_day = {point.order_on: point for point in health.trade_off}
    assert health.latest is not None
    assert by_day[health.latest].delay_risk <= 0.10
    assert health.latest > FIRST


def test_a_rule_with_hindsight_is_refused() -> None:
    with pytest.raises(ValueError, match="paper police: 40 days before exam ends is hindsight"):
        Policy("police", "end", "exam", -40)
