"""Which countries a `for each` goes through, and what it says of them."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from comity.core.days.calendar import day_from_date
from comity.core.days.partial import PartialDate
from comity.core.days.period import Period
from comity.core.eligibility.assess import assess
from comity.core.facts.model import Applicant, Certificate, Facts, Person, Stay
from comity.core.rulebook.kinds.combining import ForEach
from comity.core.rulebook.kinds.testing import CertificateHeld
from comity.core.rulebook.model import Authority, Edition, Rulebook, Title
from comity.core.rulebook.prose import sentence

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult

READ = day_from_date(date(2026, 1, 1))
RECORD = CertificateHeld(of="criminal record", greatest_age=Period(months=3))
LAST_FIVE_YEARS = ForEach(
    id="records", over="country of stay", look_back=Period(months=60), of=RECORD
)


def exact(text: str) -> PartialDate:
    return PartialDate.exact(day_from_date(date.fromisoformat(text)))


def result_of(requirement: ForEach, facts: Facts, *, on: str) -> RequirementResult:
    authority = Authority(id="xa-council", name="Council", country="XA")
    title = Title(id="dietitian", name="Dietitian", profession="2265", requires=(requirement,))
    edition = Edition(
        rulebook="2026", authority=authority, read=READ, wholly_read=True, titles=(title,)
    )
    day = day_from_date(date.fromisoformat(on))
    (result,) = assess(
        Applicant(applicant="case", facts=facts),
        Rulebook(authority, (edition,)),
        title="dietitian",
        on=day,
        today=day,
    ).requirements
    return result


TWO_COUNTRIES = Facts(
    person=Person(born=exact("2000-01-10")),
    stays=(
        Stay(id="before", country="XB", start=exact("2000-01-10"), end=exact("2021-03-15")),
        Stay(id="now", country="XC", start=exact("2021-03-16"), end=exact("2030-12-31")),
    ),
    certificates=(
        Certificate(id="paper", of="criminal record", country="XC", issued=exact("2026-02-01")),
    ),
)


def test_a_country_left_long_ago_is_neither_shown_nor_asked_for() -> None:
    lapsed = result_of(LAST_FIVE_YEARS, TWO_COUNTRIES, on="2026-06-01")
    assert lapsed.verdict.value == "not met"
    assert [part.label for part in lapsed.children] == ["Certificate (XC)"]
    assert lapsed.remedy is not None
    assert "XB" not in lapsed.remedy.what


def test_a_country_of_the_last_years_is_shown_and_asked_for() -> None:
    lacking = result_of(LAST_FIVE_YEARS, TWO_COUNTRIES, on="2026-03-01")
    assert [part.label for part in lacking.children] == ["Certificate (XB)", "Certificate (XC)"]
    assert "from XB" in lacking.reason


def test_an_excluded_country_does_not_matter() -> None:
    abroad = ForEach(id="records", over="country of stay", excluded=("XB",), of=RECORD)
    assert result_of(abroad, TWO_COUNTRIES, on="2026-03-01").verdict.value == "met"


def test_only_time_from_the_age_on_counts() -> None:
    childhood = Facts(
        person=Person(born=exact("2003-03-16")),
        stays=(Stay(id="b", country="XB", start=exact("2003-03-16"), end=exact("2021-03-15")),),
        certificates=(),
    )
    adult = ForEach(
        id="records", over="country of stay", from_age=Period(months=18 * 12), of=RECORD
    )
    assert result_of(adult, childhood, on="2026-03-01").verdict.value == "met"


def test_the_age_and_what_is_excluded_are_said() -> None:
    requirement = ForEach(
        id="records",
        over="country of stay",
        from_age=Period(months=18 * 12),
        excluded=("XA", "XB"),
        of=RECORD,
    )
    said = sentence(requirement, at="submission")
    assert "from the age of 18 years on" in said
    assert "but not XA or XB" in said
