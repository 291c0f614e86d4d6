"""The network of what is left for an applicant: what is out, what comes back, when it may be."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from textwrap import dedent
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import iso
from comity.core.eligibility.assess import assess
from comity.core.facts.model import Applicant
from comity.core.plan.building import Route, build
from comity.core.plan.conflicts import smallest_conflict
from comity.core.plan.taken import LIKELY_TO_PASS, Taken
from comity.core.rulebook.model import Rulebook
from comity.files.applicants import load_applicant
from comity.files.reading import read
from comity.files.rulebooks import load_rulebooks
from comity.files.yaml import read_tree
from tests.unit.core.rulebook.samples import day, edition_from

if TYPE_CHECKING:
    from comity.core.plan.network import Sitting

TEXT = (Path(__file__).parents[3] / "assets" / "rulebooks" / "planned.yaml").read_text("utf-8")
DEMO = Path(__file__).parents[4] / "src" / "comity" / "demo"
TODAY = day("2026-11-26")
SITTINGS = """sittings:
          - {on: 2027-03-06, closes: 2027-02-15}
          - {on: 2027-07-03, closes: 2027-05-07}
          - {on: 2027-11-06, closes: 2027-09-10}"""


def rulebook(*changes: tuple[str, str]) -> Rulebook:
    text = TEXT.replace("sittings: [{on: 2027-03-06, closes: 2027-01-15}]", SITTINGS)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    edition = edition_from(text)
    return Rulebook(edition.authority, (edition,))


def applicant(text: str = "") -> Applicant:
    node, problems = read_tree(f"applicant: nadia\n{dedent(text)}", "test.yaml")
    assert node is not None, problems
    found = read(node, Applicant)
    assert found.value is not None, found.problems
    return found.value


REGISTERED = """
facts:
  registrations: [{id: home, authority: xe-register, start: 2020-01-01, end: ".."}]
  certificates: []
results: {examinations: []}
"""


def route(text: str = REGISTERED, *changes: tuple[str, str], **taken: object) -> Route:
    given = Taken(TODAY, **taken)  # type: ignore[arg-type]
    return build(applicant(text), rulebook(*changes), "dietitian", taken=given)


def days(found: Route) -> dict[str, str]:
    assert found.schedule is not None
    ends = found.schedule.ends
    return {step.id: iso(end) for step, end in zip(found.network.steps, ends, strict=True)}


def test_all_steps_and_milestones_are_planned_for_somebody_who_has_done_nothing() -> None:
    found = route()
    assert [step.id for step in found.planned] == [
        "learn", "sit", "order", "apply", "decide", "enter",
    ]  # fmt: skip
    assert list(found.milestones) == ["submission", "decision", "registration"]
    assert found.left_out == {}


def test_the_dates_follow_from_waits_results_and_the_weekend_of_whoever_acts() -> None:
    ends = days(route())
    # 120 hours at 10 a week are 12 weeks; the first sitting closes before they are over on
    # 18 February, so that the second one is sat on 3 July 2027.
    assert ends["learn"] == "2027-02-18"
    # Ten working days of a Council that rests on Fridays and Saturdays: 3 July is a Saturday, so
    # they are Sunday 4 to Thursday 8 and Sunday 11 to Thursday 15 July (counted by hand).
    assert ends["sit"] == "2027-07-15"
    assert ends["apply"] == ends["submission"] == "2027-07-15"
    # Twenty working days from Sunday 18 July: four weeks of five days, to Thursday 12 August.
    assert ends["decide"] == ends["decision"] == "2027-08-12"
    assert ends["enter"] == ends["registration"] == "2027-08-26"


def test_more_hours_of_study_a_week_bring_the_earlier_sitting() -> None:
    ends = days(route(study_minutes_a_week=14 * 60))
    assert ends["learn"] == "2027-01-25"
    # From Saturday 6 March: Sunday 7 to Thursday 11 and Sunday 14 to Thursday 18 March.
    assert ends["sit"] == "2027-03-18"


def test_public_holidays_are_days_on_which_the_party_does_not_work() -> None:
    holiday = {"XA": (day("2027-07-18"), day("2027-07-19"))}
    ends = days(route(holidays=holiday))
    assert ends["decide"] == "2027-08-16"


def test_a_pass_leaves_learning_needed_no_more_and_the_step_out() -> None:
    passed = REGISTERED.replace(
        "[]}", "[{id: a, examination: national, taken: 2026-05-09, outcome: passed}]}"
    )
    found = route(passed)
    assert found.left_out["sit"] == "what it proves is met"
    assert "sit" not in {step.id for step in found.planned}


def test_failed_attempts_are_counted_and_the_wait_after_them_is_kept() -> None:
    failed = """
    results:
      examinations:
        - {id: a, examination: national, taken: 2026-05-09, outcome: failed}
        - {id: b, examination: national, taken: 2026-11-14, outcome: failed}
    """
    sit = route(failed).network["sit"]
    assert sit.sittings is not None
    assert sit.sittings.attempts == 1
    assert iso(sit.not_before) == "2026-12-29"  # 45 days after 14 November


def test_after_the_last_attempt_there_is_no_plan_and_the_sittings_are_why() -> None:
    failed = "\n".join(
        ["results:", "  examinations:"]
        + [f"    - {{id: a{n}, examination: national, taken: 2026-0{n}-09, outcome: failed}}"
           for n in (2, 5, 9)]
    )  # fmt: skip
    found = route(failed)
    assert found.schedule is None
    assert {each.sort for each in smallest_conflict(found.network)} >= {"sittings"}


def test_a_bar_lets_attempts_start_anew_when_it_is_over() -> None:
    failed = """
    results:
      examinations:
        - {id: a, examination: national, taken: 2026-05-09, outcome: failed}
        - {id: b, examination: national, taken: 2026-11-14, outcome: failed}
    """
    found = route(failed, ("attempts: 3", "attempts: 2\n        bar: 6 months"))
    sit = found.network["sit"]
    assert sit.sittings is not None
    assert sit.sittings.attempts == 2
    assert iso(sit.not_before) == "2027-05-15"


def test_a_sitting_that_is_booked_comes_first_and_needs_no_entry_any_more() -> None:
    booked = """
    results:
      examinations: [{id: a, examination: national, taken: 2027-03-06, outcome: booked}]
    """
    ends = days(route(booked))
    assert ends["sit"] == "2027-03-18"


def test_a_paper_at_hand_is_out_while_it_serves_and_back_when_it_will_have_lapsed() -> None:
    good = REGISTERED.replace(
        "certificates: []",
        "certificates: [{id: g, of: good standing, authority: xe-register, issued: 2026-11-20}]",
    )
    later = route(good)
    assert "order" in {step.id for step in later.planned}
    soon = route(
        good,
        ("study: 120", "study: 1"),
        ("2027-03-06, closes: 2027-02-15", "2026-12-20, closes: 2026-12-10"),
    )
    assert iso(soon.day_of("submission") or 0) < "2027-02-20"
    assert soon.left_out["order"] == "what it proves is met"


def test_a_short_lived_paper_is_good_at_the_milestone_where_it_is_used() -> None:
    found = route()
    order, submission = found.day_of("order"), found.day_of("submission")
    assert order is not None
    assert submission is not None
    lasts = found.network["order"].lasts
    assert lasts is not None
    assert order <= submission <= lasts.after(order)


def test_steps_that_have_happened_keep_their_day_and_those_before_them_are_out() -> None:
    found = route("progress: [{id: p, milestone: submission, on: 2026-11-10}]")
    assert set(found.left_out) == {"learn", "sit", "order"}
    assert {step.id for step in found.planned} == {"decide", "enter"}
    # Twenty working days from Thursday 26 November, Fridays and Saturdays free: four weeks.
    assert days(found)["decide"] == "2026-12-24"


def test_what_happened_elsewhere_is_not_taken_for_this_title() -> None:
    found = route(
        "progress: [{id: p, milestone: xb-register/dietitian/submission, on: 2026-11-10}]"
    )
    assert "apply" in {step.id for step in found.planned}


def test_a_milestone_with_an_effective_limit_is_kept_or_told() -> None:
    found = route(REGISTERED, ("wait: 2 weeks", "wait: 4 months"))
    assert found.schedule is None
    assert {(each.sort, each.step) for each in smallest_conflict(found.network)} >= {
        ("limit", "registration")
    }


DEMO_BOOKS = load_rulebooks([DEMO / "rulebooks"], today=TODAY).rulebooks


@pytest.mark.parametrize("file", sorted((DEMO / "applicants").glob("*.yaml")), ids=lambda f: f.stem)
def test_every_milestone_of_every_demo_plan_lies_on_a_day_on_which_its_checks_hold(
    file: Path,
) -> None:
    person = load_applicant(file).applicant
    assert person is not None
    n_plans = 0
    for book in DEMO_BOOKS:
        for title in book.titles():
            found = build(person, book, title, taken=Taken(TODAY))
            if found.schedule is None:
                continue
            n_plans += 1
            proved = {name for step in found.title.steps for name in step.proves}
            for each in found.checked:
                on = found.day_of(found.milestones.get(each.at, ""))
                if on is not None and each.id not in proved and not each.is_own_pace:
                    assert each.holds(on) or each.can_be_fetched_anew, (title, each.id)
    assert n_plans > 0


@pytest.mark.parametrize("file", sorted((DEMO / "applicants").glob("*.yaml")), ids=lambda f: f.stem)
def test_without_steps_the_plan_ends_on_the_day_that_the_assessment_gives(file: Path) -> None:
    """Two ways to one day: the fixpoint here, the search over mended facts there."""
    person = load_applicant(file).applicant
    assert person is not None
    for book in DEMO_BOOKS:
        bare = replace(
            book,
            editions=tuple(
                replace(e, titles=tuple(replace(t, steps=()) for t in e.titles))
                for e in book.editions[-1:]
            ),
        )
        for title in bare.titles():
            on = max(TODAY, day("2027-02-01"))
            found = build(person, bare, title, taken=Taken(on))
            said = assess(person, bare, title=title, on=on, today=on)
            if said.verdict == "met":
                assert found.day_of("submission") == on, title
            elif said.earliest is not None and not said.earliest_is_conditional:
                planned = found.day_of("submission")
                assert planned is not None, title
                assert planned <= said.earliest, title


def test_blocked_days_neither_count_for_study_nor_see_anything_begun() -> None:
    fortnight = ((day("2026-12-20"), day("2027-01-03")),)
    found = route(blocked=fortnight)
    # Twelve weeks of study, and the two that are blocked.
    assert days(found)["learn"] == "2027-03-04"
    handing_in = ((day("2027-07-15"), day("2027-07-19")),)
    later = days(route(blocked=handing_in))
    assert later["apply"] == later["submission"] == "2027-07-19"


def test_no_paper_is_ordered_on_a_blocked_day() -> None:
    found = route(blocked=((TODAY, day("2027-01-01")),))
    assert found.schedule is not None
    order = found.schedule.starts[found.network.position["order"]]
    assert iso(order) >= "2027-01-01"


def test_sittings_on_blocked_days_before_the_day_wanted_or_skipped_are_passed_over() -> None:
    all_days = [sitting.on for sitting in _sittings(route())]
    first, second = all_days[:2]
    assert _days(route(blocked=((first, first + 1),))) == all_days[1:]
    assert _days(route(sittings_from=second)) == all_days[1:]
    assert _days(route(skipped=(second,))) == [first, *all_days[2:]]


def test_a_booked_sitting_that_is_skipped_is_sat_no_more() -> None:
    booked = REGISTERED.replace(
        "[]}", "[{id: a, examination: national, taken: 2027-03-06, outcome: booked}]}"
    )
    assert iso(_days(route(booked))[0]) == "2027-03-06"
    assert iso(_days(route(booked, skipped=(day("2027-03-06"),)))[0]) == "2027-07-03"


def test_each_examination_has_the_chance_that_is_known_for_it() -> None:
    known = route(p_pass={"national": 0.4}).network["sit"].sittings
    other = route(p_pass={"elsewhere": 0.4}).network["sit"].sittings
    assert known is not None
    assert other is not None
    assert (known.p_pass, other.p_pass) == (0.4, LIKELY_TO_PASS)


def test_where_no_sitting_is_left_the_sittings_are_what_stands_in_the_way() -> None:
    found = route(sittings_from=day("2028-01-01"))
    assert found.schedule is None
    assert [each.sort for each in smallest_conflict(found.network)] == ["sittings"]


def _sittings(found: Route) -> tuple[Sitting, ...]:
    sittings = found.network["sit"].sittings
    assert sittings is not None
    return sittings.dates


def _days(found: Route) -> list[int]:
    return [each.on for each in _sittings(found)]
