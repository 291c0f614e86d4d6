"""An edition from beginning to end in sentences."""

from __future__ import annotations

from dataclasses import replace

import pytest

from comity.core.days.period import Period
from comity.core.declaring import Money
from comity.core.facts.model import Applicant, Facts
from comity.core.rulebook.model import (
    Case,
    Condition,
    Deems,
    Document,
    Examination,
    Fee,
    Grant,
    PaperAsked,
    Pathway,
    Renewal,
    Sitting,
)
from comity.core.rulebook.prose_editions import applies_words, sections
from comity.core.rulebook.steps import Step
from tests.unit.core.rulebook.samples import (
    AUTHORITY,
    RULES,
    applies,
    day,
    edition,
    nationality,
    title,
)


def said(*titles: object, **fields: object) -> dict[str, list[str]]:
    """Return the sections of a sample edition by heading, each line with number and depth."""
    found = sections(edition(*titles, **fields))  # type: ignore[arg-type]
    return {
        section.heading: [
            f"{'  ' * line.depth}{line.number} {line.text}".rstrip() for line in section.lines
        ]
        for section in found
    }


def test_the_head_says_whose_from_when_and_how_far_read() -> None:
    authority = replace(AUTHORITY, time_zone="Europe/Lisbon", contact="office@example.org")
    found = said(
        authority=authority,
        fictional=True,
        wholly_read=False,
        summary="All of it",
        applies=applies(start="2026-01-01"),
        sources={
            "rules": Document(title="Rules", edition="2", url="https://example.org", read=0),
            "letter": Document(title="A letter"),
        },
    )
    assert found == {
        "Council of Dietitians, edition 2026": [
            " Fictional: invented for demonstration; no such authority exists.",
            (
                " Authority: Council of Dietitians (xa-council), XA, days by the clock of"
                " Europe/Lisbon, office@example.org."
            ),
            " All of it.",
            " Applies where submission falls from 2026-01-01 on.",
            " Read against its sources on 2026-05-01; to be read again by 2027-05-01.",
            (
                " Not wholly read: passages remain unread, and the best answer is"
                ' "nothing read so far excludes you".'
            ),
        ],
        "Sources": [
            " rules: Rules, 2, read on 1900-01-01, https://example.org.",
            " letter: A letter.",
        ],
        "Dietitian (dietitian)": [" ISCO-08 2265. Milestones, in order: Submission (submission)."],
    }


@pytest.mark.parametrize(
    ("start", "end", "words"),
    [
        (None, None, "where submission falls on any day"),
        (None, "..", "where submission falls on any day"),
        ("2026-01", None, "where submission falls from some day of January 2026 on"),
        (
            "202X",
            "2031",
            (
                "where submission falls from some day of the 2020s to some day of 2031, that day"
                " included"
            ),
        ),
        ("20XX", None, "where submission falls from some day from 2000 to 2099 on"),
        (
            "2026-01-01",
            "2026-12-31",
            "where submission falls from 2026-01-01 to 2026-12-31, that day included",
        ),
        (None, "2026-12-31", "where submission falls to 2026-12-31, that day included"),
        (
            "2026-01-01",
            "unknown",
            "where submission falls from 2026-01-01 to a day that was not found",
        ),
    ],
)
def test_the_days_of_an_edition_are_said(start: str | None, end: str | None, words: str) -> None:
    assert applies_words(applies(start=start, end=end)) == words


def test_requirements_are_numbered_with_their_names_and_ids() -> None:
    place = title(requires=(nationality("eligible", source=RULES), nationality("other", label="B")))
    (section,) = [each for each in sections(edition(place)) if each.heading == "Requirements"]
    assert [(line.number, line.text, line.id) for line in section.lines] == [
        ("1", "Eligible. Nationality of XA.", "eligible"),
        ("", "Source: The rules.", ""),
        ("2", "B. Nationality of XA.", "other"),
    ]
    assert section.title == "dietitian"


def test_pathways_say_for_whom_they_are() -> None:
    place = title(
        pathways=(
            Pathway(id="a", label="Near", when=nationality(), source=RULES, requires=()),
            Pathway(id="b", label="Rest", requires=(nationality("n"),)),
        )
    )
    assert said(place)["Pathways"] == [
        (
            "A Near, for those of whom this holds: Nationality of XA; nothing is asked beside the"
            " title's own list."
        ),
        "   Source: The rules.",
        "B Rest, for all others.",
        "  B.1 N. Nationality of XA.",
    ]


def test_deeming_says_what_satisfies_what() -> None:
    long = Deems(id="d", label="Long service", when=nationality(), satisfies=("a", "b-c"))
    place = title(deems=(long, replace(long, source=RULES)))
    assert said(place)["Deemed satisfied"] == [
        '1 Long service satisfies "a" and "b c" where this holds: Nationality of XA.',
        '2 Long service satisfies "a" and "b c" where this holds: Nationality of XA.',
        "   Source: The rules.",
    ]


def test_grants_say_how_long_and_under_which_conditions() -> None:
    grant = Grant(
        instrument="practising certificate",
        lasts=Period(months=12),
        after="registration",
        until_every_year="03-31",
        claim_within=Period(months=3),
        conditions=(Condition(when=nationality(), says="Works under supervision."),),
    )
    place = title(
        grants=grant, pathways=(Pathway(id="p", label="P", when=nationality(), requires=()),)
    )
    assert said(place)["What the holder gets"] == [
        (
            " Practising certificate, lasts 12 months after registration, ends every year on 31"
            " March, to be taken up within 3 months after the decision."
        ),
        "   While this holds: Nationality of XA: Works under supervision.",
    ]


def test_steps_fees_papers_and_examinations_are_said() -> None:
    fee = Fee(id="f", label="Fee", amount=Money(12000, "EUR"))
    found = said(
        title(
            steps=(
                Step(id="apply", label="Apply", party="applicant", source=RULES),
                Step(id="d", label="Decide", party="board", after=("apply",), reaches="submission"),
            ),
            fees=(
                fee,
                replace(
                    fee,
                    most=Money(15000, "EUR"),
                    each="attempt",
                    at="submission",
                    from_=day("2026-01-01"),
                    until=day("2026-12-31"),
                    refundable=True,
                ),
            ),
            papers=(
                PaperAsked(kind="photo"),
                PaperAsked(kind="diploma", form="certified copy", for_requirement="the-degree"),
            ),
            examinations=(
                Examination(
                    id="e",
                    name="National",
                    sittings=(
                        Sitting(on=day("2026-05-09"), closes=day("2026-03-31")),
                        Sitting(on=day("2026-11-14")),
                    ),
                ),
                Examination(id="o", name="Oral"),
            ),
        )
    )
    assert found["Steps"] == [
        "1 Apply (applicant).",
        "   Source: The rules.",
        "2 Decide (board), after apply, which reaches submission.",
    ]
    assert found["Fees"] == [
        "1 Fee: 120.00 EUR, not paid back on refusal.",
        (
            "2 Fee: 120.00 EUR to 150.00 EUR for each attempt, due at submission, from 2026-01-01,"
            " to 2026-12-31, paid back on refusal."
        ),
    ]
    assert found["Papers with the application"] == [
        "1 Photo.",
        '2 Diploma as certified copy for "the degree".',
    ]
    assert found["Examinations"] == [
        "1 National: 2026-05-09 (to be entered for by 2026-03-31); 2026-11-14.",
        "2 Oral: no sittings published.",
    ]


def test_renewal_says_how_often_and_what_it_asks() -> None:
    renewal = Renewal(every=Period(months=12), requires=(nationality("n"),))
    assert said(title(renewal=renewal))["Renewal"] == [
        " Every 12 months.",
        "  1 N. Nationality of XA.",
    ]
    assert (
        said(title(renewal=replace(renewal, source=RULES)))["Renewal"][1] == "   Source: The rules."
    )


def test_worked_cases_say_what_they_expect() -> None:
    case = Case(id="c", says="Nobody", title="dietitian", on=day("2026-06-01"), expect="unknown")
    known = replace(
        case,
        today=day("2026-05-01"),
        applicant=Applicant(applicant="someone", facts=Facts(practice=())),
        expect=None,
        requirements={"the-degree": "met", "age": "not met"},
        source=RULES,
    )
    assert said(cases=(case, known))["Worked cases"] == [
        "1 Nobody.",
        "   For dietitian on 2026-06-01, no facts: the answer is unknown.",
        "2 Nobody.",
        (
            '   For dietitian on 2026-06-01, asked on 2026-05-01: "the degree" is met and "age" is'
            " not met."
        ),
        "   Source: The rules.",
    ]
