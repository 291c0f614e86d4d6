from __future__ import annotations

from comity.core.days.period import Period
from comity.core.plan.conflicts import Constraint, smallest_conflict
from comity.core.plan.network import After, Duration, Network, Step, Within
from tests.unit.core.plan.samples import FIRST, route


def test_a_plan_that_exists_has_no_conflict() -> None:
    assert smallest_conflict(route()) == ()


def test_a_limit_shorter_than_the_work_before_it_is_named_with_that_work() -> None:
    network = Network.of(
        (
            Step("pass", "Pass", "applicant", Duration.fixed(0), not_before=FIRST),
            Step("verify", "Verify", "verifier", Duration.fixed(60), after=(After("pass"),)),
            Step("photo", "Photo", "applicant", Duration.fixed(3), not_before=FIRST),
            Step(
                "submit",
                "Submit",
                "applicant",
                Duration.fixed(0),
                after=(After("verify"), After("photo")),
                within=(Within("pass", Period(days=30)),),
            ),
        ),
        horizon=FIRST + 3650,
    )
    assert set(smallest_conflict(network)) == {
        Constraint("limit", "submit", "pass"),
        Constraint("order", "verify", "pass"),
        Constraint("order", "submit", "verify"),
    }


def test_a_step_past_its_permitted_days_is_named_with_its_first_day() -> None:
    late = Step(
        "submit", "Submit", "applicant", Duration.fixed(0), not_before=FIRST, allowed=((0, FIRST),)
    )
    assert smallest_conflict(Network.of((late,))) == (
        Constraint("days", "submit"),
        Constraint("first day", "submit"),
    )


def test_a_paper_that_had_lapsed_before_the_application_is_named() -> None:
    steps = (
        Step("paper", "Paper", "issuer", Duration.fixed(0), lasts=Period(days=10),
             used_by=("submit",), happened=FIRST),
        Step("submit", "Submit", "applicant", Duration.fixed(0), not_before=FIRST + 30),
    )  # fmt: skip
    assert set(smallest_conflict(Network.of(steps, horizon=FIRST + 400))) == {
        Constraint("lapse", "submit", "paper"),
        Constraint("happened", "paper"),
        Constraint("first day", "submit"),
    }
