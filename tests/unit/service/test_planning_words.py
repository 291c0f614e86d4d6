"""Plans that cannot be, and payments made twice, in words."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest

from comity.core.declaring import Money
from comity.core.facts.model import Applicant
from comity.core.rulebook.model import Rulebook
from comity.files.reading import read
from comity.files.yaml import read_tree
from comity.service.planning import Plan, Wishes, plan
from comity.service.planning_next import plan_cautions
from comity.service.planning_words import warnings
from tests.unit.core.rulebook.samples import day, edition_from

TEXT = (Path(__file__).parents[2] / "assets" / "rulebooks" / "planned.yaml").read_text("utf-8")
TEXT = TEXT.replace(", holidays_of: XA", "").replace("closes: 2027-01-15", "closes: 2027-02-26")
COUNCIL = "who: authority, weekend: [Friday, Saturday]"
BEGIN = "No plan leads to this licence as things stand"
NOBODY = """
facts:
  registrations: [{id: home, authority: xe-register, start: 2020-01-01, end: ".."}]
  certificates: []
results: {examinations: []}
"""


def made(*changes: tuple[str, str], facts: str = NOBODY, savings: Money | None = None) -> Plan:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    edition = edition_from(text)
    node, problems = read_tree(f"applicant: nadia\n{dedent(facts)}", "test.yaml")
    assert node is not None, problems
    person = read(node, Applicant).value
    assert person is not None
    wishes = Wishes(day("2026-11-26"), draws=400, savings=savings)
    book = Rulebook(edition.authority, (edition,))
    return plan(person, book, "dietitian", wishes=wishes)


def test_a_limit_shorter_than_the_wait_is_told_as_the_one_thing_that_cannot_be() -> None:
    found = made(("wait: 2 weeks", "wait: 4 months"))
    assert warnings(found) == (f"{BEGIN}: registration within 3 months after decision.",)
    assert found.can_be_opened


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (
            ("2027-03-06, closes: 2027-02-26", "2026-05-09, closes: 2026-03-31"),
            "sit the examination: no sitting is published that one can still enter for",
        ),
        (
            ("closes: 2027-02-26", "closes: 2026-12-01"),
            "these cannot be kept together: ",
        ),
    ],
)
def test_sittings_that_are_over_or_close_too_soon_are_told(
    change: tuple[str, str], says: str
) -> None:
    (said,) = warnings(made(change))
    assert said.startswith(BEGIN)
    assert says in said or "the last sitting published is on 2027-03-06" in said


def test_no_attempt_left_is_told_so() -> None:
    attempts = ", ".join(
        f"{{id: a{n}, examination: national, taken: 2026-0{n}-09, outcome: failed}}"
        for n in (2, 5, 9)
    )
    found = made(facts=NOBODY.replace("examinations: []", f"examinations: [{attempts}]"))
    assert warnings(found) == (f"{BEGIN}: sit the examination: no attempt is left.",)


def test_savings_that_never_reach_a_fee_in_time_are_told() -> None:
    found = made(savings=Money(1, "EUR"))
    assert warnings(found) == (
        "With 0.01 EUR a month no plan was found: a fee falls due before it is saved.",
    )


def test_a_paper_that_will_have_run_out_is_told_as_a_second_payment() -> None:
    good = NOBODY.replace(
        "certificates: []",
        "certificates: [{id: g, of: good standing, authority: xe-register, issued: 2026-11-20}]",
    )
    fee = (
        "    fees:\n",
        "    fees:\n      - {id: c, label: Certificate, amount: 30.00 EUR, step: order}\n",
    )
    twice = "Certificate is paid a second time: what is at hand will have run out by then."
    assert twice in warnings(made(fee, facts=good))
    assert twice not in warnings(made(fee))


def test_a_limit_that_is_missed_now_and_then_is_told_with_what_happens_then() -> None:
    found = made(
        ("wait: 2 weeks", "duration: 5 to 120 days"),
        ("period: 3 months", "period: 90 days"),
    )
    late = [each for each in warnings(found) if "comes later than 90 days after decision" in each]
    assert len(late) == 1
    assert late[0].endswith("then what was paid or granted is forfeited.")


def test_feasts_that_depend_on_the_moon_are_days_off_and_told() -> None:
    """Indonesia's feasts after Ramadan of 2027 are estimated, says the library `holidays`."""
    certain = made((COUNCIL, f"{COUNCIL}, holidays_of: FR"))
    moon = made((COUNCIL, f"{COUNCIL}, holidays_of: ID"))
    told = [each for each in plan_cautions(moon) if "depend on the moon" in each]
    assert len(told) == 1
    assert "2027-03-10" in told[0]
    assert not any("depend on the moon" in each for each in plan_cautions(certain))
    calendar = moon.route.network["decide"].calendar
    assert day("2027-05-17") in calendar.holidays


REMEDIAL = """attempts: 3
        remedial_after: 2
        remedial: {kind: updating, amount: 40 hours}
"""
STAGES = """attempts: 3
        stages: [{id: written}, {id: oral}]
        stages_in_order: yes
"""


def test_work_that_is_owed_after_failures_is_told_since_no_time_is_counted_for_it() -> None:
    found = warnings(made(("attempts: 3\n", REMEDIAL)))
    told = [each for each in found if "further work is asked" in each]
    assert len(told) == 1
    assert told[0].startswith("Sit the examination: after 2 failed attempts")
    assert told[0].endswith("It is not due yet, and the plan counts no time for it.")


def test_stages_that_follow_each_other_are_told_to_take_a_sitting_each() -> None:
    found = warnings(made(("attempts: 3\n", STAGES)))
    assert any("its stages (written and oral) have to be passed one after" in x for x in found)
