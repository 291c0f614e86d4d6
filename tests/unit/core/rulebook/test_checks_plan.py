"""The boundaries of what keeps a plan from being made; messages stand in ``assets/bad``."""

from __future__ import annotations

import pytest

from comity.core.days.period import Period
from comity.core.declaring import Money
from comity.core.declaring.estimates import Estimate
from comity.core.rulebook.checks_plan import find_past_sittings, find_unplannable, is_planned
from comity.core.rulebook.model import Examination, Fee, Milestone, Sitting
from comity.core.rulebook.steps import Party, Step, TimeLimit
from tests.unit.core.rulebook.samples import day, edition, title

APPLY = Step(id="apply", label="Apply", party="applicant", reaches="submission")
FEE = Fee(id="f", label="Fee", amount=Money(100, "EUR"))


def codes(*steps: Step, parties: tuple[Party, ...] = (), **fields: object) -> list[str]:
    place = title(steps=steps, **fields)
    return [finding.code for finding in find_unplannable(edition(place, parties=parties))]


def step(name: str, *after: str, days: int = 0, **fields: object) -> Step:
    duration = Estimate(days, days) if days else None
    return Step(id=name, label=name, party="applicant", after=after, duration=duration, **fields)  # type: ignore[arg-type]


def test_parties_need_not_be_listed_where_no_working_days_are_counted() -> None:
    assert codes(Step(id="a", label="A", party="board", duration=Estimate(3, 3))) == []


def test_where_parties_are_listed_others_are_unknown_but_the_applicant_is_not() -> None:
    council = Party(id="council", label="the Council", who="authority")
    others = Step(id="b", label="B", party="board")
    assert codes(APPLY, parties=(council,)) == []
    assert codes(others, parties=(council,)) == ["P101"]


@pytest.mark.parametrize(("period", "found"), [(30, []), (29, ["P105"])])
def test_a_limit_may_be_as_long_as_the_steps_in_it_and_no_shorter(
    period: int, found: list[str]
) -> None:
    limit = TimeLimit(after="submission", period=Period(days=period))
    wait = Period(days=10)
    steps = (APPLY, step("check", "apply", days=20), step("decide", "check", wait=wait))
    last = step("enter", "decide", within=(limit,))
    assert codes(*steps, last) == found


def test_a_limit_between_steps_side_by_side_can_be_kept() -> None:
    limit = TimeLimit(after="a", period=Period(days=1))
    assert codes(step("a"), step("b", days=90, within=(limit,))) == []


def test_a_ring_of_three_is_told_in_the_order_in_which_they_wait() -> None:
    ring = title(steps=(step("a", "c"), step("b", "a"), step("c", "b"), step("d", "a")))
    found = list(find_unplannable(edition(ring)))
    assert [each.code for each in found] == ["P102"]
    names = found[0].got.split(" waits for ")
    assert sorted(names[:-1]) == ["a", "b", "c"]
    waits = {each.id: each.after for each in ring.steps}
    assert all(names[n + 1] in waits[names[n]] for n in range(3))


def test_a_fee_needs_a_step_only_where_a_plan_is_made() -> None:
    assert codes(APPLY, fees=(FEE,)) == []
    assert codes(step("a", days=3), fees=(FEE,)) == ["P106"]
    assert not is_planned(title(steps=(APPLY,)))


def test_sittings_that_close_in_order_may_lie_in_any_order_in_the_file() -> None:
    late = Sitting(on=day("2027-07-03"), closes=day("2027-05-07"))
    early = Sitting(on=day("2027-03-06"))
    exam = Examination(id="e", name="E", sittings=(late, early))
    assert codes(examinations=(exam,)) == []


@pytest.mark.parametrize(("today", "found"), [("2027-03-06", []), ("2027-03-07", ["P113"])])
def test_a_sitting_today_is_not_past(today: str, found: list[str]) -> None:
    exam = Examination(id="e", name="E", sittings=(Sitting(on=day("2027-03-06")),))
    place = title(steps=(step("sit", sits="e"),), examinations=(exam,))
    findings = find_past_sittings(edition(place), today=day(today))
    assert [each.code for each in findings] == found


def test_a_paper_is_used_at_a_milestone_and_a_limit_runs_from_either() -> None:
    milestones = (Milestone(id="submission", label="S"), Milestone(id="decision", label="D"))
    from_milestone = TimeLimit(after="decision", period=Period(days=9))
    steps = (APPLY, step("decide", "apply", reaches="decision"))
    last = step("enter", "decide", within=(from_milestone,))
    assert codes(*steps, last, milestones=milestones) == []
