"""What one requirement says on a day: why it does not apply, what satisfies it, its bounds."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import iso
from comity.core.eligibility.assessment import SourceNote
from comity.core.rulebook.model import Document
from tests.unit.core.eligibility.samples import asking, assessed, result_of, title_from
from tests.unit.core.rulebook.samples import day, edition

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult

XA = "{kind: nationality, countries: [XA]}"
XB = "{kind: nationality, countries: [XB]}"
PERSON = "facts: {person: {born: 1990-01-01, nationality: [XB], residence: XC}}"


def of_title(text: str, name: str, facts: str = PERSON) -> RequirementResult:
    """Return the result of one requirement of a title."""
    found = assessed(facts, edition(title_from(text)))
    return next(each for each in found.requirements if each.id.endswith(f"/{name}"))


# ------------------------------------------------------------------------------- does not apply


NOT_APPLICABLE = {
    f"unless: {XB}": "does not apply: nationality: XB; XB asked",
    f"when: {XA}": "does not apply: only with nationality of XA",
    f"when: {XA}, unless: {{kind: nationality, countries: [XD]}}": (
        "does not apply: only with nationality of XA"
    ),
}


@pytest.mark.parametrize("condition", NOT_APPLICABLE)
def test_what_does_not_apply_tells_why(condition: str) -> None:
    found = result_of(f"{{kind: age, at_least: P60Y, {condition}}}", PERSON)
    assert (found.verdict.value, found.reason) == ("not applicable", NOT_APPLICABLE[condition])
    assert found.children == ()


def test_a_whole_of_which_no_part_applies_does_not_apply_itself() -> None:
    found = result_of(f"{{kind: all, of: [{{kind: age, at_least: P60Y, when: {XA}}}]}}", PERSON)
    assert (found.verdict.value, found.reason) == ("not applicable", "does not apply")


PATHWAYS = """
    pathways:
      - id: nationals
        label: nationals of XA
        when: {kind: nationality, countries: [XA]}
        requires: [{id: it, kind: age, at_least: P60Y%s}]
      - {id: others, label: all others, requires: []}
"""


@pytest.mark.parametrize("condition", ["", f", unless: {XA}", f", when: {XB}"])
def test_what_a_pathway_asks_is_only_for_those_on_it(condition: str) -> None:
    found = of_title(PATHWAYS % condition, "it")
    assert found.reason == "does not apply: only for nationals of XA"


# -------------------------------------------------------------------------------- satisfied else


DEEMED = """
    requires: [{id: it, kind: nationality, countries: [%s]}]
    deems:
      - id: by-birth
        label: born in XA
        when: {kind: residence, countries: [XA]}
        satisfies: [it]
      - id: by-residence
        label: resident in XC
        when: {kind: residence, countries: [XC]}
        satisfies: [it]
"""


def test_the_circumstance_that_alone_satisfies_it_is_named() -> None:
    found = of_title(DEEMED % "XA", "it")
    assert (found.verdict.value, found.deemed_by, found.reason) == (
        "met",
        "by-residence",
        "satisfied by: resident in XC",
    )


def test_no_circumstance_is_named_where_its_own_facts_are_enough() -> None:
    found = of_title(DEEMED % "XB", "it")
    assert (found.deemed_by, found.reason) == (None, "nationality: XB; XB asked")


# ----------------------------------------------------------------------------- windows and bounds


def days(found: RequirementResult) -> tuple[str | None, str | None]:
    """Return first and last day as text."""
    start, until = found.start, found.until
    return None if start is None else iso(start), None if until is None else iso(until)


def test_what_is_met_is_bounded_by_its_run_and_what_is_not_by_the_next() -> None:
    dates = "{kind: dates, every_year_from: 03-01, every_year_until: 03-31}"
    assert days(result_of(dates, PERSON, on="2026-03-10")) == ("2026-03-01", "2026-03-31")
    assert days(result_of(dates, PERSON, on="2026-06-10")) == ("2027-03-01", "2027-03-31")


def test_what_never_holds_again_has_no_bounds() -> None:
    assert days(result_of("{kind: age, below: P20Y}", PERSON)) == (None, None)


def test_possible_days_stand_around_the_certain_ones() -> None:
    facts = "facts: {practice: [{id: p, start: 2027-02, end: 2027-05}]}"
    found = result_of("{kind: recency, within: P1M}", facts)
    assert [
        (iso(each.start or 0), iso(each.until or 0), each.certainty) for each in found.windows
    ] == [
        ("2027-02-01", "2027-02-27", "possible"),
        ("2027-02-28", "2027-06-01", "certain"),
        ("2027-06-02", "2027-06-30", "possible"),
    ]


# -------------------------------------------------------------------------------------- sources


def test_a_source_is_completed_from_the_list_of_documents() -> None:
    text = "{id: it, kind: age, source: {document: act, section: s. 4}}"
    act = Document(
        title="Dietitians Act", edition="2021", read=day("2026-02-03"), url="act.example"
    )
    found = assessed(PERSON, asking(text, sources={"act": act})).requirements[0].source
    assert found == SourceNote(
        "Dietitians Act", "s. 4", "2021", read=day("2026-02-03"), url="act.example"
    )


def test_a_requirement_without_a_source_is_of_the_edition_itself() -> None:
    found = assessed(PERSON, asking("{id: it, kind: age}", summary="The rules of 2026."))
    assert found.requirements[0].source.document == "The rules of 2026."
