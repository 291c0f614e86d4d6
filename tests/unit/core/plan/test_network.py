from __future__ import annotations

import pytest

from comity.core.days.period import Period
from comity.core.plan.earliest import earliest_plan, latest_plan
from comity.core.plan.network import (
    After,
    Duration,
    Network,
    NetworkError,
    Sitting,
    Sittings,
    Step,
    find_ring,
)
from tests.unit.core.plan.samples import FIRST, WEEKDAYS, route


def test_steps_in_a_ring_are_refused_by_name() -> None:
    steps = tuple(
        Step(name, name, "x", Duration.fixed(1), after=(After(before),))
        for name, before in (("a", "c"), ("b", "a"), ("c", "b"))
    )
    with pytest.raises(NetworkError, match=r"^steps wait for each other: a after c after b"):
        Network.of(steps)


def test_a_step_that_nobody_knows_is_refused() -> None:
    step = Step("a", "A", "x", Duration.fixed(1), after=(After("nowhere"),))
    with pytest.raises(NetworkError, match=r"^step a names nowhere, which is no step$"):
        Network.of((step,))


def test_two_steps_of_the_same_id_are_refused() -> None:
    step = Step("a", "A", "x", Duration.fixed(1))
    with pytest.raises(NetworkError, match=r"^steps with the same id: a$"):
        Network.of((step, step))


def test_no_ring_is_found_where_two_ways_meet() -> None:
    assert find_ring({"end": ["a", "b"], "a": ["start"], "b": ["start", "a"], "start": []}) == ()


@pytest.mark.parametrize("days", [(5, 3, None), (1, 5, 7), (-1, 2, None)])
def test_a_duration_that_runs_backwards_is_refused(days: tuple[int, int, int | None]) -> None:
    with pytest.raises(ValueError, match="runs backwards"):
        Duration(*days)


def test_a_range_is_planned_with_its_middle_rounded_up() -> None:
    assert Duration(4, 7).planned == 6
    assert Duration(4, 7, 5).planned == 5


def test_a_short_lived_paper_is_ordered_late_enough_in_the_earliest_plan() -> None:
    network = route(lasts=Period(days=20))
    plan = earliest_plan(network)
    assert plan is not None
    arrived, submitted = (plan.ends[network.position[name]] for name in ("standing", "submit"))
    assert arrived <= submitted <= arrived + 20


def test_an_examination_is_entered_before_entry_closes() -> None:
    sittings = Sittings((Sitting(FIRST + 10, FIRST + 2), Sitting(FIRST + 40, FIRST + 30)))
    exam = Step("exam", "E", "x", Duration.fixed(0), not_before=FIRST + 3, sittings=sittings)
    plan = earliest_plan(Network.of((exam,)))
    assert plan is not None
    assert plan.ends == (FIRST + 40,)


def test_what_happened_stays_on_its_day() -> None:
    steps = (
        Step("a", "A", "x", Duration.fixed(9), WEEKDAYS, happened=FIRST - 3),
        Step("b", "B", "x", Duration.fixed(2), WEEKDAYS, after=(After("a"),), not_before=FIRST),
    )
    plan = earliest_plan(Network.of(steps))
    assert plan is not None
    assert plan.ends[0] == FIRST - 3
    assert plan.starts[1] == FIRST


def test_a_deadline_before_the_first_day_leaves_no_plan() -> None:
    step = Step("a", "A", "x", Duration.fixed(5), not_before=FIRST)
    assert latest_plan(Network.of((step,)), {"a": FIRST + 4}) is None


def test_what_happened_after_the_deadline_leaves_no_plan() -> None:
    step = Step("a", "A", "x", Duration.fixed(5), happened=FIRST)
    assert latest_plan(Network.of((step,)), {"a": FIRST - 1}) is None
