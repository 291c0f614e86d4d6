"""Laws of verdicts: how they combine, what evidence can do, and that rows do not mix."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from comity.core.eligibility.assessment import Verdict
from comity.core.facts.model import Applicant, Declaration, Facts
from comity.core.rulebook.kinds.combining import All, AnyOf, AtLeast, Conflict, Not, Refer
from comity.core.rulebook.kinds.qualifying import Declared
from tests.properties import eligibility_strategies as drawn
from tests.properties.blurring import PATHS, blurred, got, put
from tests.properties.effort import examples
from tests.properties.eligibility_asking import Row, evaluated

if TYPE_CHECKING:
    from comity.core.days.dayset import DaySet
    from comity.core.eligibility.triple import Days
    from comity.core.rulebook.kinds.base import Requirement

# One requirement for each verdict, for an applicant who has answered one question of two.
ANSWERED = Applicant(
    applicant="someone",
    facts=Facts(declarations=(Declaration(id="insured", answer=True), Declaration(id="convicted"))),
)
INSURED = Declared(question="Are you insured?", declaration="insured")
UNINSURED = replace(INSURED, answer=False)
UNANSWERED = Declared(question="Were you ever convicted?", declaration="convicted")
BY_LETTER: dict[str, Requirement] = {
    "M": INSURED,
    "N": UNINSURED,
    "U": UNANSWERED,
    "R": Refer(decided_by="the board"),
    "A": replace(INSURED, when=UNINSURED),
}
VERDICTS = {
    "M": Verdict.MET,
    "N": Verdict.NOT_MET,
    "U": Verdict.UNKNOWN,
    "R": Verdict.REFER,
    "A": Verdict.NOT_APPLICABLE,
}

# Typed from design.md section 4: `all`: not met > unknown > refer > met; `any`: met > unknown >
# refer > not met; not applicable drops out. Rows and columns in the order M N U R A.
ALL = {"M": "MNURM", "N": "NNNNN", "U": "UNUUU", "R": "RNURR", "A": "MNURA"}
ANY = {"M": "MMMMM", "N": "MNURN", "U": "MUUUU", "R": "MRURR", "A": "MNURA"}
# `not` keeps unknown and refer; what does not apply does not apply.
NOT = dict(zip("MNURA", "NMURA", strict=True))
# Condition (row) and part (column): a refer does not fulfil a condition. With the applicability
# unknown only a part that holds is settled: nothing more is needed either way.
WHEN = {"M": "MNURA", "N": "AAAAA", "U": "MUUUA", "R": "AAAAA", "A": "AAAAA"}
UNLESS = {"M": "AAAAA", "N": "MNURA", "U": "MUUUA", "R": "MNURA", "A": "MNURA"}
# Two of three, for every choice of three: counted by hand over those that apply.
TWO_OF_THREE = """
MMM M  MMN M  MMU M  MMR M  MMA M  MNN N  MNU U  MNR R  MNA N  MUU U  MUR U  MUA U
MRR R  MRA R  MAA N  NNN N  NNU N  NNR N  NNA N  NUU U  NUR U  NUA N  NRR R  NRA N
NAA N  UUU U  UUR U  UUA U  URR R  URA U  UAA N  RRR R  RRA R  RAA N  AAA A
"""
# Readings that disagree go to the authority; those that agree decide. Read as `yes` where all
# readings hold, `ok` where any does. Readings that do not apply are left to the oracle.
CONFLICT = {"M": "MRUR", "N": "RNUR", "U": "UUUR", "R": "RRRR"}


def verdict_of(requirement: Requirement) -> Verdict:
    """Return the verdict on the applicant who has answered one question, on any one day."""
    return evaluated(requirement, ANSWERED).verdict(0, drawn.TODAY)


def table(rows: dict[str, str]) -> list[Any]:
    """Return each pair of letters of a table with its result."""
    return [
        pytest.param(first, second, result, id=first + second)
        for first, results in rows.items()
        for second, result in zip("MNURA"[: len(results)], results, strict=True)
    ]


@pytest.mark.parametrize("letter", "MNURA")
def test_each_letter_stands_for_its_verdict(letter: str) -> None:
    assert verdict_of(BY_LETTER[letter]) == VERDICTS[letter]


@pytest.mark.parametrize(("first", "second", "result"), table(ALL))
def test_all_combines_two_verdicts_as_the_table_says(first: str, second: str, result: str) -> None:
    assert verdict_of(All(of=(BY_LETTER[first], BY_LETTER[second]))) == VERDICTS[result]


@pytest.mark.parametrize(("first", "second", "result"), table(ANY))
def test_any_combines_two_verdicts_as_the_table_says(first: str, second: str, result: str) -> None:
    assert verdict_of(AnyOf(of=(BY_LETTER[first], BY_LETTER[second]))) == VERDICTS[result]


@pytest.mark.parametrize(("first", "second", "result"), table(WHEN))
def test_when_makes_a_part_apply_as_the_table_says(first: str, second: str, result: str) -> None:
    part = All(of=(BY_LETTER[second],), when=BY_LETTER[first])
    assert verdict_of(part) == VERDICTS[result]


@pytest.mark.parametrize(("first", "second", "result"), table(UNLESS))
def test_unless_takes_a_part_away_as_the_table_says(first: str, second: str, result: str) -> None:
    part = All(of=(BY_LETTER[second],), unless=BY_LETTER[first])
    assert verdict_of(part) == VERDICTS[result]


@pytest.mark.parametrize(("first", "second", "result"), table(CONFLICT))
def test_conflicting_readings_give_what_the_table_says(
    first: str, second: str, result: str
) -> None:
    assert verdict_of(Conflict(of=(BY_LETTER[first], BY_LETTER[second]))) == VERDICTS[result]


@pytest.mark.parametrize(("letter", "result"), list(NOT.items()))
def test_not_turns_met_and_not_met_and_keeps_the_rest(letter: str, result: str) -> None:
    assert verdict_of(Not(of=BY_LETTER[letter])) == VERDICTS[result]


def test_the_table_of_two_of_three_names_every_choice() -> None:
    named = set(TWO_OF_THREE.split()[::2])
    assert {"".join(sorted(three)) for three in named} == {
        "".join(sorted(three)) for three in product("MNURA", repeat=3)
    }


@pytest.mark.parametrize(
    ("three", "result"),
    list(zip(TWO_OF_THREE.split()[::2], TWO_OF_THREE.split()[1::2], strict=True)),
)
def test_two_of_three_counts_as_the_table_says(three: str, result: str) -> None:
    parts = tuple(BY_LETTER[letter] for letter in three)
    assert verdict_of(AtLeast(k=2, of=parts)) == VERDICTS[result]


@pytest.mark.parametrize("three", TWO_OF_THREE.split()[::2])
def test_one_of_three_is_any_and_the_order_of_parts_does_not_matter(three: str) -> None:
    parts = tuple(BY_LETTER[letter] for letter in three)
    assert verdict_of(AtLeast(k=1, of=parts)) == verdict_of(AnyOf(of=parts[::-1]))


@pytest.mark.parametrize("letter", "MNURA")
def test_a_combination_of_one_part_is_that_part(letter: str) -> None:
    part = BY_LETTER[letter]
    for combination in (All(of=(part,)), AnyOf(of=(part,)), AtLeast(k=1, of=(part,))):
        assert verdict_of(combination) == VERDICTS[letter]


def sets_of(days: Days) -> tuple[DaySet, ...]:
    """Return the sets of days on which a requirement holds, where it applies, and where not."""
    na = days.yes - days.yes if days.na is None else days.na
    applies_in_same_row = na.complement()
    return days.yes & applies_in_same_row, days.ok & applies_in_same_row, na


@examples(40)
@given(data=st.data())
def test_not_twice_is_the_requirement_itself(data: st.DataObject) -> None:
    part = data.draw(drawn.trees)
    applicant = data.draw(drawn.applicants(*drawn.LEAF_SECTIONS).flatmap(_blurred_leaf_facts))
    once, twice = evaluated(part, applicant), evaluated(Not(of=Not(of=part)), applicant)
    assert sets_of(once) == sets_of(twice)


@examples(40)
@given(data=st.data())
def test_not_all_is_any_not(data: st.DataObject) -> None:
    parts = data.draw(st.lists(drawn.trees, min_size=1, max_size=3).map(tuple))
    applicant = data.draw(drawn.applicants(*drawn.LEAF_SECTIONS).flatmap(_blurred_leaf_facts))
    left = evaluated(Not(of=All(of=parts)), applicant)
    right = evaluated(AnyOf(of=tuple(Not(of=part) for part in parts)), applicant)
    assert sets_of(left) == sets_of(right)


def _blurred_leaf_facts(applicant: Applicant) -> st.SearchStrategy[Applicant]:
    return blurred(applicant, drawn.LEAF_SECTIONS).map(lambda made: made.applicant)


# Kinds to which evidence can only add, with the section in which it lies.
ADDING = {
    "practice in all": (drawn.practice_in_all, ("practice", "qualifications", "registrations")),
    "hours in all": (drawn.hours_in_all, ("practice", "qualifications", "registrations")),
    "practice in a run": (drawn.practice_in_a_run, ("practice", "qualifications")),
    "recency": (drawn.recency, ("practice", "qualifications", "registrations")),
    "updating": (drawn.updating, ("updating",)),
    "registration": (drawn.registration, ("registrations",)),
    "qualification": (drawn.qualification, ("qualifications",)),
    "certificate": (drawn.certificate, ("certificates",)),
    "language": (drawn.language, ("language",)),
    "paper": (drawn.paper_in_time, ("dated papers",)),
}


@pytest.mark.parametrize("kind", ADDING)
@examples(25)
@given(data=st.data())
def test_evidence_added_never_takes_days_away(data: st.DataObject, kind: str) -> None:
    requirements, sections = ADDING[kind]
    requirement = data.draw(requirements, label="requirement")
    complete = data.draw(drawn.applicants(*sections), label="applicant")
    before = data.draw(blurred(complete, sections), label="blurred").applicant
    section = data.draw(st.sampled_from(sections))
    further = data.draw(drawn.SECTIONS[section].filter(bool), label="further")
    had = got(before, PATHS[section])
    entries = had or ()
    renamed = tuple(replace(each, id=f"more-{i}") for i, each in enumerate(further))
    after = put(before, PATHS[section], (*renamed, *entries))
    lost = _certain(evaluated(requirement, before)) - _certain(evaluated(requirement, after))
    assert not lost.has_days().any(), f"certain days lost: {lost}"
    if had is not None:
        gone = evaluated(requirement, before).yes - evaluated(requirement, after).yes
        assert not gone.has_days().any(), f"days lost: {gone}"


def _certain(days: Days) -> DaySet:
    """Return the certain days alone, as rows of their own."""
    return days.yes.take(np.arange(days.yes.n_rows // 2))


@pytest.mark.parametrize("kind", drawn.CASES)
@examples(8)
@given(data=st.data())
def test_many_applicants_at_once_get_the_days_each_gets_alone(
    data: st.DataObject, kind: str
) -> None:
    requirements, sections = data.draw(st.sampled_from(drawn.CASES[kind]))
    requirement = data.draw(requirements, label="requirement")
    one = drawn.applicants(*sections).flatmap(
        lambda complete: blurred(complete, sections).map(lambda made: made.applicant)
    )
    group = data.draw(st.lists(one, min_size=2, max_size=4), label="applicants")
    together = evaluated(requirement, *group)
    for index, applicant in enumerate(group):
        alone = evaluated(requirement, applicant)
        for row, own_row in ((index, 0), (index + len(group), 1)):
            assert Row.of(together, row) == Row.of(alone, own_row)


# Kinds in which going on with practice can only help.
GOING_ON = {
    "practice in all": drawn.practice_in_all,
    "hours in all": drawn.hours_in_all,
    "practice in a run": drawn.practice_in_a_run,
    "recency": drawn.recency,
    "interruption": drawn.interruption,
}


@pytest.mark.parametrize("kind", GOING_ON)
@examples(20)
@given(data=st.data())
def test_stopping_today_never_adds_days(data: st.DataObject, kind: str) -> None:
    sections = ("practice", "qualifications", "registrations")
    requirement = data.draw(GOING_ON[kind], label="requirement")
    complete = data.draw(drawn.applicants(*sections), label="applicant")
    made = data.draw(blurred(complete, sections), label="blurred").applicant
    applicant = replace(made, as_of=data.draw(st.none() | st.just(drawn.TODAY - 40)))
    stops = evaluated(requirement, applicant, assumption="stops")
    goes_on = evaluated(requirement, applicant)
    gained = stops.yes - goes_on.yes
    assert not gained.has_days().any(), f"days gained by stopping: {gained}"
