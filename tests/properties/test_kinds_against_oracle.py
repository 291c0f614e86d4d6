"""Every kind of requirement, day by day, against an oracle that shares nothing with the engine."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from comity.core.days.partial import PartialDate
from comity.core.rulebook.kinds.every import KINDS
from comity.core.rulebook.kinds.practising import Practice
from comity.core.rulebook.kinds.qualifying import QualificationHeld
from tests.properties.blurring import PATHS, Blurred, blurred, got, is_consistent, put, spots_of
from tests.properties.effort import examples
from tests.properties.eligibility_asking import Row, days_to_ask, evaluated, judged, world_of
from tests.properties.eligibility_strategies import (
    CASES,
    TODAY,
    applicants,
    certificate,
    practice_in_all,
    qualification,
    recency,
)
from tests.properties.oracle.judging import HOLDS, JUDGES, Answer
from tests.properties.oracle.months import day_of, exactly

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.core.rulebook.kinds.base import Requirement

MOST_DAYS_OF_BLURRED = 60
SHAPES = [
    pytest.param(requirements, sections, id=f"{kind} {number}" if number else kind)
    for kind, shapes in CASES.items()
    for number, (requirements, sections) in enumerate(shapes)
]


def test_every_kind_has_an_oracle_and_examples() -> None:
    assert set(HOLDS) | set(JUDGES) == set(KINDS)
    assert set(CASES) == set(KINDS)


def check_exact(requirement: Requirement, applicant: Applicant) -> None:
    """Assert that both rows of the evaluator say of every day what the oracle says."""
    days = evaluated(requirement, applicant)
    certain, possible = Row.of(days, 0), Row.of(days, 1)
    world = world_of(applicant)
    for number in days_to_ask(requirement, [applicant], certain, possible):
        expected = judged(requirement, world, number)
        for name, row in (("certain", certain), ("possible", possible)):
            found = row.on(number)
            assert (found.na, found.verdict) == (expected.na, expected.verdict), (
                f"{day_of(number)} {name}: the evaluator says {found}, the oracle {expected}"
            )


@pytest.mark.parametrize(("requirements", "sections"), SHAPES)
@examples(25)
@given(data=st.data())
def test_exact_facts_give_the_days_of_the_oracle(
    data: st.DataObject, requirements: st.SearchStrategy[Any], sections: tuple[str, ...]
) -> None:
    requirement = data.draw(requirements, label="requirement")
    check_exact(requirement, data.draw(applicants(*sections), label="applicant"))


def check_bracket(
    requirement: Requirement,
    blurry: Blurred,
    *,
    assumption: str = "continues",
    confirmed_only: bool = False,
) -> None:
    """Assert that what is certain holds in every completion, and what holds in one is possible."""
    days = evaluated(
        requirement, blurry.applicant, assumption=assumption, confirmed_only=confirmed_only
    )
    certain, possible = Row.of(days, 0), Row.of(days, 1)
    worlds = [world_of(each) for each in blurry.completions]
    asked = days_to_ask(requirement, [blurry.applicant, *blurry.completions[:3]], certain, possible)
    for number in asked[:: max(1, len(asked) // MOST_DAYS_OF_BLURRED)]:
        answers = [judged(requirement, world, number) for world in worlds]
        sure, maybe = certain.on(number), possible.on(number)
        faults = [
            *(
                name
                for name, held, may in zip(Answer._fields, sure, maybe, strict=True)
                if held > may
            ),
            *_faults_of_pair(sure, maybe, answers),
        ]
        verdict = str(days.verdict(0, number))
        if verdict != "unknown" and not _agrees(verdict, answers):
            faults.append(f"the verdict is {verdict}")
        assert not faults, (
            f"{day_of(number)}: {faults}; certain {sure}, possible {maybe}, "
            f"completions {set(answers)}"
        )


def _faults_of_pair(sure: Answer, maybe: Answer, answers: list[Answer]) -> list[str]:
    """Name the sets in which a completion lies outside the pair; where it does not apply, none."""
    applies = [each for each in answers if not each.na]
    claims = {
        "na surely": not sure.na or all(each.na for each in answers),
        "na possibly": maybe.na or not any(each.na for each in answers),
        "yes surely": not sure.yes or all(each.yes for each in applies),
        "yes possibly": maybe.yes or not any(each.yes for each in applies),
        "ok surely": not sure.ok or all(each.ok for each in applies),
        "ok possibly": maybe.ok or not any(each.ok for each in applies),
    }
    return [name for name, holds in claims.items() if not holds]


def _agrees(verdict: str, answers: list[Answer]) -> bool:
    """Whether a definite verdict is that of every completion; met may turn out not to apply."""
    drops_out = {"not applicable"} if verdict == "met" else set()
    return {each.verdict for each in answers} - drops_out <= {verdict}


@pytest.mark.parametrize(("requirements", "sections"), SHAPES)
@examples(25)
@given(data=st.data())
def test_partly_known_facts_bracket_every_completion(
    data: st.DataObject, requirements: st.SearchStrategy[Any], sections: tuple[str, ...]
) -> None:
    requirement = data.draw(requirements, label="requirement")
    applicant = data.draw(applicants(*sections), label="applicant")
    check_bracket(requirement, data.draw(blurred(applicant, sections), label="blurred"))


# Kinds in which one unknown date enters once: there the pair is exact, no wider than it must be.
EXACT_PAIRS = {
    "practice in all": (practice_in_all, ("practice",)),
    "recency": (recency, ("practice", "qualifications", "registrations")),
    "certificate": (certificate, ("certificates",)),
    "qualification": (qualification, ("qualifications",)),
}


@pytest.mark.parametrize("kind", EXACT_PAIRS)
@examples(20)
@given(data=st.data())
def test_one_unknown_day_of_a_month_gives_exactly_what_its_days_give(
    data: st.DataObject, kind: str
) -> None:
    requirements, sections = EXACT_PAIRS[kind]
    requirement = _without_own_bounds(data.draw(requirements, label="requirement"))
    applicant = data.draw(applicants(*sections), label="applicant")
    spots = [spot for name in sections for spot in spots_of(applicant, name, every_day=True)]
    months = [spot for spot in spots if isinstance(spot.left, PartialDate) and spot.left.text]
    assume(months)
    spot = data.draw(st.sampled_from(months), label="spot")
    completions = [put(applicant, spot.path, value) for value in spot.may_be]
    assume(all(is_consistent(each) for each in completions))
    days = evaluated(requirement, put(applicant, spot.path, spot.left))
    certain, possible = Row.of(days, 0), Row.of(days, 1)
    worlds = [world_of(each) for each in completions]
    asked = days_to_ask(requirement, [applicant], certain, possible)
    for number in asked[:: max(1, len(asked) // MOST_DAYS_OF_BLURRED)]:
        held = [judged(requirement, world, number).yes for world in worlds]
        pair = certain.on(number).yes, possible.on(number).yes
        assert pair == (all(held), any(held)), f"{day_of(number)}: {sum(held)} of {len(held)} hold"


def _without_own_bounds(requirement: Requirement) -> Requirement:
    """Leave out what makes the day of completion count twice, and events that clip practice."""
    if isinstance(requirement, QualificationHeld):
        return replace(requirement, completed_from=None, completed_until=None, at_least_ago=None)
    return replace(requirement, after=None) if isinstance(requirement, Practice) else requirement


ABOUT_PRACTICE = ("practice", "interruption", "recency", "bands", "for each")


@pytest.mark.parametrize("kind", ABOUT_PRACTICE)
@pytest.mark.parametrize("days_since_seen", [None, 0, 45])
@examples(10)
@given(data=st.data())
def test_stopping_today_ends_open_practice_between_the_last_look_and_today(
    data: st.DataObject, kind: str, days_since_seen: int | None
) -> None:
    requirements, sections = data.draw(st.sampled_from(CASES[kind]))
    requirement = data.draw(requirements, label="requirement")
    drawn = data.draw(applicants(*sections), label="applicant")
    begun = tuple(
        each for each in drawn.facts.practice or () if exactly(each.start) <= day_of(TODAY - 45)
    )
    applicant: Applicant = put(drawn, ("facts", "practice"), begun)
    seen = None if days_since_seen is None else TODAY - days_since_seen
    applicant = replace(applicant, as_of=seen)
    lasts = sorted({TODAY - (days_since_seen or 0), TODAY - (days_since_seen or 0) // 2, TODAY})
    check_bracket(
        requirement,
        Blurred(applicant, tuple(_ended(applicant, on=last) for last in lasts)),
        assumption="stops",
    )


def _ended(applicant: Applicant, *, on: int) -> Applicant:
    """Return the file with open practice ended on a day."""
    ended = tuple(
        replace(each, end=PartialDate.exact(on)) if each.end and each.end.is_open else each
        for each in applicant.facts.practice or ()
    )
    return replace(applicant, facts=replace(applicant.facts, practice=ended))


@pytest.mark.parametrize(("requirements", "sections"), SHAPES)
@examples(8)
@given(data=st.data())
def test_with_confirmed_only_each_unconfirmed_entry_may_be_there_or_not(
    data: st.DataObject, requirements: st.SearchStrategy[Any], sections: tuple[str, ...]
) -> None:
    requirement = data.draw(requirements, label="requirement")
    applicant = data.draw(applicants(*sections), label="applicant")
    files = _with_fewer_entries(applicant, sections)
    check_bracket(requirement, Blurred(applicant, tuple(files)), confirmed_only=True)


def _with_fewer_entries(applicant: Applicant, sections: tuple[str, ...]) -> list[Applicant]:
    """Return the file, then the file without one or all of its unconfirmed entries."""
    files = [applicant]
    for section in sorted(set(sections) & CONFIRMABLE):
        path = PATHS[section]
        for each in tuple(files):
            kept = tuple(entry for entry in got(each, path) if entry.evidence == "confirmed")
            files += [put(each, path, kept), put(each, path, got(each, path)[1:])]
    return [each for each in files if _keeps_confirmed(each, applicant, sections)][:16]


CONFIRMABLE = set(PATHS) - {"person", "declarations", "reviews", "progress"}


def _keeps_confirmed(one: Applicant, other: Applicant, sections: tuple[str, ...]) -> bool:
    """Whether no confirmed entry of the other is missing."""
    return all(
        entry in got(one, PATHS[section])
        for section in set(sections) & CONFIRMABLE
        for entry in got(other, PATHS[section])
        if entry.evidence == "confirmed"
    )
