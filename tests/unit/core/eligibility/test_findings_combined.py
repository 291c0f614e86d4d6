"""What is said of requirements made of requirements."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.unit.core.eligibility.samples import result_of

if TYPE_CHECKING:
    from comity.core.eligibility.assessment import RequirementResult

BANDS = """
    kind: bands
    anchor: after last practice day
    counts: [practice]
    bands:
      - {label: short, below: P2Y, requires: []}
      - {label: long, from: P2Y, below: P5Y, requires: [{kind: age, at_least: P40Y}]}
      - from: P5Y
        requires:
          - {kind: age, at_least: P40Y}
          - {kind: nationality, countries: [XA]}
          - {kind: age, at_least: P18Y}
"""
LEFT = {
    "2026-01-01": "short: nothing is owed",
    "2023-01-01": "long: 36 years old",
    "2019-01-01": "2 of 3 duties are open",
}


def left_practice(on: str) -> RequirementResult:
    """Return what bands give for somebody who left practice on a day, asked on 1 June 2026."""
    facts = f"""
        facts:
          person: {{born: 1990-01-01, nationality: [XB]}}
          practice: [{{id: p, start: 2010-01-01, end: {on}}}]
    """
    return result_of(BANDS, facts)


@pytest.mark.parametrize("on", LEFT)
def test_the_band_in_which_the_gap_lies_tells_what_is_owed(on: str) -> None:
    assert left_practice(on).reason == LEFT[on]


def test_what_would_settle_an_uncertain_gap_is_its_last_day() -> None:
    found = left_practice("2024")
    assert (found.verdict.value, found.missing, found.remedy) == (
        "unknown",
        ("practice/p/end",),
        None,
    )


def test_a_gap_of_uncertain_length_that_fails_any_band_is_told_but_not_mended() -> None:
    adult = "{kind: age, at_least: P40Y}"
    text = f"""
        kind: bands
        anchor: after last practice day
        counts: [practice]
        bands: [{{below: P2Y, requires: [{adult}]}}, {{from: P2Y, requires: [{adult}]}}]
    """
    found = result_of(
        text,
        """
        facts:
          person: {born: 2000-01-01}
          practice: [{id: p, start: 2010-01-01, end: 2024}]
        """,
    )
    assert (found.verdict.value, found.reason) == (
        "not met",
        "the time out of practice is not certain",
    )


READINGS = "{kind: conflict, of: [{kind: age, at_least: P18Y}, {kind: age, at_least: P21Y}]}"
BORN = {
    "1990-01-01": ("met", "36 years old"),
    "2006-01-01": ("refer", "the sources differ (Age: met; Age: not met)"),
    "2012-01-01": ("not met", "14 years old"),
}


@pytest.mark.parametrize("born", BORN)
def test_sources_that_differ_are_told_only_where_they_do(born: str) -> None:
    found = result_of(READINGS, f"facts: {{person: {{born: {born}}}}}")
    assert (found.verdict.value, found.reason) == BORN[born]


def test_what_must_not_hold_is_told_by_what_holds() -> None:
    text = "{kind: not, of: {kind: residence, countries: [XB]}}"
    found = result_of(text, "facts: {person: {residence: XB}}")
    assert (found.verdict.value, found.reason) == ("not met", "residence: XB; XB asked")


def test_of_a_choice_only_as_many_are_proposed_as_lack() -> None:
    text = """
        kind: at least
        k: 2
        of: [{kind: paper, paper: a}, {kind: paper, paper: b}, {kind: paper, paper: c}]
    """
    found = result_of(text, "papers: [{id: p, kind: b}]")
    assert found.reason == "no a on file; no c on file"
    assert found.remedy is not None
    assert (found.remedy.what, found.remedy.detail) == ("Get the a", "or: Get the c (2026-06-01)")


COUNTRIES = {
    "stays: [{id: s, country: XA, start: 2020-01-01, end: ..}], certificates: []": (
        "met",
        "no country of stay matters",
    ),
    "stays: [], certificates: []": ("met", "no country of stay is on file"),
    """
    stays: [{id: s, country: XB, start: 2020-01-01, end: ..}],
    certificates: [{id: c, of: criminal record, country: XB, issued: 2026-01-01}]
    """: ("met", "it holds for XB"),
    """
    stays: [{id: s, country: XB, start: 2020-01-01, end: ..}],
    certificates: [{id: c, of: criminal record, country: XC, issued: 2026-01-01}]
    """: ("not met", "no criminal record certificate from XB on file"),
    "certificates: []": (
        "unknown",
        "not certain yet; still open: countries lived in",
    ),
}


@pytest.mark.parametrize("facts", COUNTRIES)
def test_for_each_country_it_tells_which_matter_and_what_lacks(facts: str) -> None:
    text = """
        kind: for each
        over: country of stay
        excluded: [XA]
        of: {kind: certificate, of: criminal record}
    """
    found = result_of(text, f"facts: {{{' '.join(facts.split())}}}")
    assert (found.verdict.value, found.reason) == COUNTRIES[facts]
