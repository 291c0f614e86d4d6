"""Which edition an answer rests on, day by day."""

from __future__ import annotations

from datetime import date

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.days.partial import parse_partial_date
from comity.core.eligibility.assess import assess
from comity.core.facts.model import Applicant, Facts, Person
from comity.core.rulebook.kinds.qualifying import Applies, NationalityHeld
from comity.core.rulebook.model import Authority, Edition, Rulebook, Title

AUTHORITY = Authority(id="xa-council", name="Council", country="XA")
READ = day_from_date(date(2026, 1, 1))
APPLICANT = Applicant(
    applicant="case", facts=Facts(person=Person(nationality=("XB",)), qualifications=())
)


def edition(
    name: str, country: str, *, start: str = "", end: str = "", title: str = "t"
) -> Edition:
    return Edition(
        rulebook=name,
        authority=AUTHORITY,
        applies=Applies(
            from_=parse_partial_date(start) if start else None,
            until=parse_partial_date(end) if end else None,
        ),
        read=READ,
        wholly_read=True,
        titles=(
            Title(
                id=title,
                name="Dietitian",
                profession="2265",
                requires=(NationalityHeld(id="nationality", countries=(country,)),),
            ),
        ),
    )


def verdict_on(editions: tuple[Edition, ...], day: str) -> str:
    asked = day_from_date(date.fromisoformat(day))
    found = assess(APPLICANT, Rulebook(AUTHORITY, editions), title="t", on=asked, today=asked)
    return str(found.verdict)


BORDER_KNOWN_TO_THE_YEAR = (
    edition("old", "XC", end="2023"),
    edition("new", "XB", start="2023"),
)
SUCCESSOR_AT_SOME_TIME = (
    edition("first", "XC", end="2020-07-31"),
    edition("second", "XB", start="2020-08-01", end="202X"),
    edition("third", "XC", start="202X"),
)
REPEALED = (
    edition("with", "XB", end="2018-06-30"),
    edition("without", "XB", start="2018-07-01", title="another"),
)
INTRODUCED = (
    edition("before", "XB", end="2018-06-30", title="another"),
    edition("after", "XB", start="2018-07-01"),
)


@pytest.mark.parametrize(
    ("editions", "day", "verdict"),
    [
        (BORDER_KNOWN_TO_THE_YEAR, "2022-12-31", "not met"),
        (BORDER_KNOWN_TO_THE_YEAR, "2023-01-02", "unknown"),
        (BORDER_KNOWN_TO_THE_YEAR, "2023-12-30", "unknown"),
        (BORDER_KNOWN_TO_THE_YEAR, "2023-12-31", "met"),
        (SUCCESSOR_AT_SOME_TIME, "2020-07-31", "not met"),
        (SUCCESSOR_AT_SOME_TIME, "2020-08-01", "met"),
        (SUCCESSOR_AT_SOME_TIME, "2020-08-02", "unknown"),
        (SUCCESSOR_AT_SOME_TIME, "2030-01-01", "not met"),
    ],
)
def test_an_edition_that_applies_for_certain_leaves_no_room_for_another(
    editions: tuple[Edition, ...], day: str, verdict: str
) -> None:
    assert verdict_on(editions, day) == verdict


@pytest.mark.parametrize(
    ("editions", "day", "verdict"),
    [
        (REPEALED, "2018-06-30", "met"),
        (REPEALED, "2018-07-01", "not met"),
        (INTRODUCED, "2018-06-30", "not met"),
        (INTRODUCED, "2018-07-01", "met"),
    ],
)
def test_a_title_is_given_only_while_the_edition_in_force_has_it(
    editions: tuple[Edition, ...], day: str, verdict: str
) -> None:
    assert verdict_on(editions, day) == verdict
