"""Small cases which the evaluator once had wrong, found against the oracle and kept."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal

import pytest

from comity.core.days.partial import PartialDate, parse_partial_date
from comity.core.days.period import Period
from comity.core.declaring import Amount
from comity.core.facts.model import (
    Applicant,
    EducationUnits,
    ExaminationResult,
    Paper,
    PracticeSpell,
    Qualification,
    Registration,
)
from comity.core.rulebook.kinds.combining import ForEach
from comity.core.rulebook.kinds.educating import (
    CategoryCap,
    CategoryMinimum,
    ContinuingEducation,
    Cycle,
)
from comity.core.rulebook.kinds.practising import Interruption, Practice, Recency, Scope
from comity.core.rulebook.kinds.qualifying import DatesOpen
from comity.core.rulebook.kinds.testing import ExaminationPassed, PaperHeld
from tests.properties.blurring import Blurred, put
from tests.properties.eligibility_strategies import HOUR, applicant_of
from tests.properties.test_kinds_against_oracle import check_bracket, check_exact

if TYPE_CHECKING:
    from comity.core.rulebook.kinds.base import Requirement

HALF_A_YEAR = Period(months=6)


def on(text: str) -> PartialDate:
    return parse_partial_date(text)


def spell(start: str, end: str) -> PracticeSpell:
    return PracticeSpell(
        id="post", start=on(start), end=on(end), country="XA", hours_a_week=30 * HOUR
    )


def sat(taken: str, outcome: Literal["passed", "failed"]) -> ExaminationResult:
    return ExaminationResult(
        id=f"on-{taken}", examination="written", taken=on(taken), outcome=outcome
    )


def units(earned: str, number: float, category: str) -> EducationUnits:
    return EducationUnits(
        id=f"on-{earned}", earned=on(earned), units=Fraction(number), category=category
    )


def degree(completed: str) -> Qualification:
    return Qualification(id=f"of-{completed}", completed=on(completed))


EXACT: dict[str, tuple[Requirement, Applicant]] = {
    "open from 29 February, in a common year from 1 March": (
        DatesOpen(every_year_from="02-29", every_year_until="01-01"),
        applicant_of({}),
    ),
    "the first practice is the first that counts": (
        Interruption(
            greatest=Period(months=1),
            anchor="after last practice day",
            since="first practice",
            scope=Scope(excluded_countries=("XA",)),
        ),
        applicant_of({"practice": (spell("2019-12-31", ".."),)}),
    ),
    "a week is full time, whatever a day is worth": (
        Practice(amount=Amount(Fraction(2), "weeks"), full_time=30 * HOUR, hours_a_day=6 * HOUR),
        applicant_of({"practice": (spell("2020-02-03", "2020-03-01"),)}),
    ),
    "an award is an event, whatever the anchor": (
        Recency(within=HALF_A_YEAR, counts=("qualification",), anchor="beginning first idle day"),
        applicant_of({"qualifications": (degree("2022-02-28"),)}),
    ),
    "a paper is that of the authority in turn": (
        ForEach(over="authority of registration", of=PaperHeld(paper="passport")),
        applicant_of(
            {
                "registrations": (
                    Registration(id="r", authority="XA", start=on("2020-02-01"), end=on("..")),
                ),
                "papers": (Paper(id="p", kind="passport", issuer="XB"),),
            }
        ),
    ),
}


def biennial(*, first_is_long: bool) -> ContinuingEducation:
    cycle = Cycle(
        length=Period(months=24),
        ends_on="12-31",
        first_starts="qualification",
        first_is_long=first_is_long,
    )
    return ContinuingEducation(units=Fraction(1), cycle=cycle)


# Each: a requirement, a complete file, the path of a fact, what is left of it, what it may be.
BLURRED: dict[str, tuple[Requirement, Applicant, tuple[str | int, ...], Any, tuple[Any, ...]]] = {
    "a short first cycle from an unknown day": (
        biennial(first_is_long=False),
        applicant_of(
            {
                "qualifications": (degree("2013-02-28"), degree("2020-02-27")),
                "education": (units("2024-06-30", 20, "ethics"),),
            }
        ),
        ("facts", "qualifications", 0, "completed"),
        None,
        (on("2013-02-28"), on("2014-02-28"), on("2021-01-01")),
    ),
    "a long first cycle from an unknown day": (
        biennial(first_is_long=True),
        applicant_of(
            {
                "qualifications": (degree("2024-03-31"),),
                "education": (units("2024-03-01", 10, "ethics"),),
            }
        ),
        ("facts", "qualifications", 0, "completed"),
        None,
        (on("2013-02-28"), on("2014-02-28"), on("2024-03-31")),
    ),
    "a long first cycle from some day of two years": (
        biennial(first_is_long=True),
        applicant_of(
            {
                "qualifications": (degree("2020-03-31"),),
                "education": (units("2021-03-01", 10, "ethics"), units("2024-03-01", 2, "ethics")),
            }
        ),
        ("facts", "qualifications", 0, "completed"),
        on("202X"),
        tuple(on(f"202{year}-03-31") for year in range(6)),
    ),
    "a cap on a category not known": (
        ContinuingEducation(
            units=Fraction(45, 2),
            caps=(CategoryCap(categories=("ethics",), most=Fraction(0)),),
            look_back=Period(months=24),
        ),
        applicant_of(
            {
                "education": (
                    units("2020-02-11", 20, "clinical"),
                    units("2019-11-19", 2.5, "clinical"),
                )
            }
        ),
        ("facts", "education", 1, "category"),
        None,
        ("clinical", "ethics"),
    ),
    "a minimum met by units not known": (
        ContinuingEducation(
            units=Fraction(1),
            minima=(CategoryMinimum(categories=("other", "ethics"), least=Fraction(5, 2)),),
            look_back=Period(months=24),
        ),
        applicant_of(
            {
                "education": (
                    units("2020-02-02", 1, "ethics"),
                    units("2020-02-17", 2.5, "other"),
                )
            }
        ),
        ("facts", "education", 1, "units"),
        None,
        (Fraction(0), Fraction(5, 2), Fraction(50)),
    ),
    "a copy that may have to be certified": (
        PaperHeld(paper="passport", certified_by=("notary",)),
        applicant_of(
            {"papers": (Paper(id="p", kind="passport", form="original", certified_by="school"),)}
        ),
        ("papers", 0, "form"),
        None,
        ("original", "certified copy", "plain copy"),
    ),
    "a failure on an unknown day may be the second of two": (
        ExaminationPassed(examination="written", attempts=2),
        applicant_of(
            {
                "examinations": (
                    sat("2020-03-31", "failed"),
                    sat("2020-01-30", "failed"),
                    sat("2020-01-31", "passed"),
                )
            }
        ),
        ("results", "examinations", 0, "taken"),
        None,
        (on("2019-12-31"), on("2020-03-31")),
    ),
    "a failure on an unknown day may be before the pass": (
        ExaminationPassed(
            examination="written",
            remedial_after=1,
            remedial=DatesOpen(from_=on("2021-01-01").earliest),
        ),
        applicant_of({"examinations": (sat("2020-03-31", "failed"), sat("2020-02-15", "passed"))}),
        ("results", "examinations", 0, "taken"),
        on("2020-03"),
        (on("2020-03-01"), on("2020-03-31")),
    ),
    "a bar after a failure known to the month": (
        ExaminationPassed(examination="written", attempts=1, bar=Period(months=1)),
        applicant_of({"examinations": (sat("2020-03-31", "failed"), sat("2020-04-15", "passed"))}),
        ("results", "examinations", 0, "taken"),
        on("2020-03"),
        (on("2020-03-01"), on("2020-03-15"), on("2020-03-16"), on("2020-03-31")),
    ),
}


@pytest.mark.parametrize("case", EXACT)
def test_exact_facts_once_judged_wrong_are_judged_right(case: str) -> None:
    check_exact(*EXACT[case])


@pytest.mark.parametrize("case", BLURRED)
def test_partly_known_facts_once_judged_wrong_are_judged_right(case: str) -> None:
    requirement, complete, path, left, may_be = BLURRED[case]
    completions = tuple(put(complete, path, value) for value in may_be)
    check_bracket(requirement, Blurred(put(complete, path, left), completions))
