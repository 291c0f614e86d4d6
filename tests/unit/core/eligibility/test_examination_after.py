"""Attempts that count only after an event, and how a rulebook says so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.days.partial import PartialDate, parse_partial_date
from comity.core.eligibility.assess import assess
from comity.core.facts.model import (
    Applicant,
    ExaminationResult,
    Facts,
    PracticeSpell,
    Qualification,
    Registration,
    Results,
)
from comity.core.rulebook.kinds.combining import Band, Bands
from comity.core.rulebook.kinds.practising import RegistrationScope
from comity.core.rulebook.kinds.qualifying import LeastShare, QualificationHeld
from comity.core.rulebook.kinds.testing import ExaminationPassed, Stage
from comity.core.rulebook.model import Authority, Edition, Rulebook, Title
from comity.core.rulebook.prose import sentence
from comity.core.rulebook.saying import readings

AUTHORITY = Authority(id="xa-council", name="Council", country="XA")
HERE = RegistrationScope(authorities=("Council",))


def exact(text: str) -> PartialDate:
    return parse_partial_date(text)


APPLICANT = Applicant(
    applicant="case",
    facts=Facts(
        qualifications=(Qualification(id="degree", completed=exact("2010-06-30")),),
        practice=(PracticeSpell(id="ward", start=exact("2010-09-01"), end=exact("2019-12-31")),),
        registrations=(
            Registration(
                id="here", authority="Council", start=exact("2011-01-01"), end=exact("2017-03-31")
            ),
            Registration(
                id="abroad", authority="Board", start=exact("2017-04-01"), end=exact("2022-03-31")
            ),
            Registration(
                id="there", authority="Chamber", start=exact("2017-04-01"), end=exact("..")
            ),
        ),
    ),
    results=Results(
        examinations=(
            ExaminationResult(
                id="pass", examination="national", taken=exact("2020-05-15"), outcome="passed"
            ),
        )
    ),
)


def verdict_of(requirement: ExaminationPassed, applicant: Applicant = APPLICANT) -> str:
    title = Title(id="t", name="Dietitian", profession="2265", requires=(requirement,))
    day = day_from_date(date(2026, 1, 1))
    edition = Edition(
        rulebook="2026", authority=AUTHORITY, read=day, wholly_read=True, titles=(title,)
    )
    found = assess(applicant, Rulebook(AUTHORITY, (edition,)), title="t", on=day, today=day)
    return str(found.verdict)


NATIONAL = ExaminationPassed(id="national", examination="national")


@pytest.mark.parametrize(
    ("requirement", "verdict"),
    [
        (replace(NATIONAL, after="qualification"), "met"),
        (replace(NATIONAL, after="last practice"), "met"),
        (replace(NATIONAL, after="registration ended", registrations=HERE), "met"),
        (replace(NATIONAL, after="registration ended"), "not met"),
    ],
)
def test_a_pass_counts_after_the_latest_event_in_scope(
    requirement: ExaminationPassed, verdict: str
) -> None:
    assert verdict_of(requirement) == verdict


def test_a_registration_still_held_has_not_ended() -> None:
    chamber = RegistrationScope(authorities=("Chamber",))
    requirement = replace(NATIONAL, after="registration ended", registrations=chamber)
    assert verdict_of(requirement) == "not met"


def test_without_registrations_on_file_nobody_can_say() -> None:
    unknown = replace(APPLICANT, facts=replace(APPLICANT.facts, registrations=None))
    requirement = replace(NATIONAL, after="registration ended", registrations=HERE)
    assert verdict_of(requirement, unknown) == "unknown"


@pytest.mark.parametrize(
    ("requirement", "words"),
    [
        (replace(NATIONAL, after="qualification"), "sat after the last qualification"),
        (replace(NATIONAL, after="last practice"), "sat after the last practice"),
        (
            replace(NATIONAL, after="registration ended", registrations=HERE),
            "sat after the end of the last registration with Council",
        ),
        (replace(NATIONAL, after="registration ended"), "after the end of the last registration"),
        (
            replace(NATIONAL, stages=(Stage(id="written"), Stage(id="oral")), stages_in_order=True),
            "in its stages written and oral, in this order",
        ),
    ],
)
def test_the_event_and_the_order_are_said(requirement: ExaminationPassed, words: str) -> None:
    assert words in sentence(requirement, at="submission")


def test_a_share_of_stated_hours_is_said() -> None:
    third = LeastShare(category="theory", share=Fraction(1, 3), of="stated hours", hours=4600 * 60)
    said = sentence(QualificationHeld(shares=(third,)), at="submission")
    assert "of 4600 hours" in said


def test_whose_registration_ends_a_gap_is_said() -> None:
    bands = Bands(
        anchor="after last practice day",
        counts=("registration",),
        registrations=HERE,
        bands=(Band(requires=()),),
    )
    assert any("(a registration with Council)" in said for said in readings(bands, "submission"))
