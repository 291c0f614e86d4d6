"""All problems in one run: what can still be checked where part of a file cannot be read."""

from __future__ import annotations

import pytest

from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts

RULEBOOK = """\
rulebook: "2026"
authority: {id: xa, name: Council, country: XA}
applies: {from: 2026-01-01}
read: 2026-05-01
wholly_read: yes
sources: {rules: {title: Rules of the Council, read: 2026-05-01}}
titles:
  - id: dietitian
    name: Dietitian
    profession: 2265
    requires:
      - {kind: age, id: grown, at_least: many, source: {document: rules}}
      - {kind: same as, id: as-grown, requirement: grown, source: {document: rules}}
      - {kind: same as, id: ring, requirement: ring, source: {document: rules}}
      - {kind: age, id: old, at_least: 21 years, source: {document: ruls}}
      - {kind: age, id: old, at_least: 22 years, source: {document: rules}}
      - {kind: same as, id: nowhere, requirement: elsewhere, source: {document: rules}}
"""
APPLICANT = """\
applicant: amara-n
facts:
  practice:
    - {id: one, employer: First, start: then, hours_a_week: 40}
    - {id: two, employer: Second, start: 2020-01-01, hours_a_week: 40}
    - {id: two, employer: Third, start: 2021-01-01, hours_a_week: 40}
"""


def lines(problems: object) -> list[tuple[str, int]]:
    """Return code and line of each problem."""
    assert isinstance(problems, tuple)
    return [(each.code, each.place.line) for each in problems]


def test_what_can_be_read_is_checked_beside_what_cannot() -> None:
    found = lines(load_rulebook_texts({"xa.yaml": RULEBOOK}).problems)
    assert found[0] == ("F414", 12)
    assert {("R119", 14), ("R115", 15), ("R111", 16), ("R116", 17)} <= set(found)


def test_a_name_of_what_cannot_be_read_is_not_called_loose() -> None:
    found = lines(load_rulebook_texts({"xa.yaml": RULEBOOK}).problems)
    assert not [each for each in found if each[1] == 13]


def test_mended_the_file_has_no_other_problems_than_were_told() -> None:
    told = lines(load_rulebook_texts({"xa.yaml": RULEBOOK}).problems)
    mended = RULEBOOK.replace("at_least: many", "at_least: 18 years")
    left = [
        (each.code, each.place.line if each.place else 0)
        for each in load_rulebook_texts({"xa.yaml": mended}).problems
        if each.severity == "error"
    ]
    assert [each for each in told if each[1] != 12] == left


@pytest.mark.parametrize("broken", ["rulebook: [", "", "titles: none\n", "- a\n- b\n"])
def test_nothing_more_is_said_of_a_file_of_which_nothing_is_left(broken: str) -> None:
    found = load_rulebook_texts({"xa.yaml": broken}).problems
    assert found
    assert not [each for each in found if each.code.startswith("R1")]


def test_entries_of_an_applicant_are_compared_beside_one_that_cannot_be_read() -> None:
    loaded = read_applicant(APPLICANT, "amara.yaml")
    assert loaded.applicant is None
    assert [line for _code, line in lines(loaded.problems)] == [4, 6]


def test_a_requirement_goes_whole_with_one_of_its_parts() -> None:
    """The bands of a gap mean something else without the one that cannot be read."""
    bands = "{below: 24 months, requires: nothing-known}, {from: 24 months, requires: []}"
    gap = (
        "{kind: bands, id: break, anchor: after last practice day, source: {document: rules}, "
        f"bands: [{bands}]}}"
    )
    text = RULEBOOK.split("      - {kind: age, id: grown", maxsplit=1)[0] + f"      - {gap}\n"
    assert [code for code, _line in lines(load_rulebook_texts({"xa.yaml": text}).problems)] == [
        "F201"
    ]
