"""Rulebooks checked, shown and compared."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from comity.core.days.calendar import day_from_date
from comity.files.rulebooks import load_rulebook_texts
from comity.service.rulebooks import (
    applicant_schema,
    change_as_json,
    check,
    compare,
    failed_cases,
    rulebook_schema,
    shown,
)

ASSETS = Path(__file__).parents[2] / "assets"
EVERY_KIND = ASSETS / "rulebooks" / "every-kind.yaml"
TODAY = day_from_date(date(2026, 11, 25))
TEXT = """\
rulebook: "2026"
authority: {id: xa, name: Council, country: XA}
applies: {from: 2026-01-01}
read: 2026-05-01
wholly_read: yes
titles:
  - id: dietitian
    name: Dietitian
    profession: 2265
    requires:
      - id: grown-up
        kind: all
        source: {document: Rules}
        of:
          - {id: age, kind: age, at_least: 21 years}
    pathways:
      - id: near
        label: Near
        when: {kind: nationality, countries: [XB]}
        source: {document: Rules}
        requires: [{id: residence, kind: residence, countries: [XA]}]
      - {id: rest, label: Rest, requires: []}
cases:
  - id: birthday
    says: On the 21st birthday.
    title: dietitian
    on: 2026-06-01
    applicant:
      applicant: case
      facts: {person: {born: 2005-06-01, nationality: [XA]}}
    expect: met
    requirements: {grown-up: met, age: met}
"""


def failures(text: str) -> list[tuple[str, str, str]]:
    """Return place, finding and expectation of each case that fails."""
    loaded = load_rulebook_texts({"a.yaml": text}, today=TODAY)
    assert loaded.is_sound, loaded.problems
    return [(str(each.place), each.got, each.expected) for each in failed_cases(loaded)]


def test_cases_that_give_what_they_expect_are_silent() -> None:
    assert failures(TEXT) == []


def test_a_part_is_looked_up_by_its_own_id() -> None:
    assert failures(TEXT.replace("age: met", "age: not met")) == [
        ("a.yaml:32:40", "met (21 years old)", "not met")
    ]


def test_the_whole_names_the_deciding_requirement() -> None:
    early = TEXT.replace("on: 2026-06-01", "on: 2026-05-31").replace(", age: met", "")
    whole, listed = failures(early)
    assert whole[0] == "a.yaml:31:13"
    assert whole[1].startswith("not met, decided by grown-up")
    assert listed[1].startswith("not met")


def test_a_case_may_be_asked_on_another_day() -> None:
    asked = TEXT.replace("    on: 2026-06-01", "    on: 2026-06-01\n    today: 2026-05-01")
    assert failures(asked) == []


def test_what_only_renewal_asks_is_not_asked_of_an_applicant() -> None:
    renewal = """\
    renewal:
      every: 12 months
      source: {document: Rules}
      requires: [{id: residence, kind: residence, countries: [XA]}]
cases:
"""
    pathways = TEXT[TEXT.index("    pathways:") : TEXT.index("cases:")]
    text = TEXT.replace(pathways, "").replace("cases:\n", renewal)
    assert failures(text.replace("age: met", "residence: not met")) == [
        ("a.yaml:29:46", "not asked of this applicant", "not met")
    ]


def test_what_another_pathway_asks_is_not_applicable() -> None:
    assert failures(TEXT.replace("age: met", "residence: not applicable")) == []


def test_a_title_without_requirements_has_none_to_decide() -> None:
    start, end = TEXT.index("    requires:"), TEXT.index("cases:")
    bare = TEXT[:start] + TEXT[end:]
    bare = bare.replace("    requirements: {grown-up: met, age: met}\n", "")
    assert failures(bare.replace("expect: met", "expect: refer")) == [
        ("a.yaml:18:13", "met", "refer")
    ]


def test_a_case_for_a_title_that_is_not_there_is_not_run() -> None:
    loaded = load_rulebook_texts({"a.yaml": TEXT.replace("title: dietitian", "title: nurse")})
    assert [each.code for each in loaded.problems] == ["R118"]
    assert list(failed_cases(loaded)) == []


def test_a_check_runs_the_cases_of_sound_files_only(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(TEXT.replace("age: met", "age: refer"), encoding="utf-8")
    found = check([path], today=TODAY)
    assert not found.is_sound
    assert ([each.code for each in found.problems], found.n_cases) == (["R150"], 1)
    path.write_text(path.read_text("utf-8").replace("wholly_read: yes", "wholly_read: si"))
    assert [each.code for each in check([path], today=TODAY).problems] == ["F416"]


def test_a_warning_leaves_a_rulebook_sound(tmp_path: Path) -> None:
    path = tmp_path / "a.yaml"
    path.write_text(TEXT, encoding="utf-8")
    found = check([path], today=TODAY + 365)
    assert found.is_sound
    assert [each.code for each in found.problems] == ["R107"]


def test_every_kind_can_be_assessed() -> None:
    assert check([EVERY_KIND], today=TODAY).problems == ()


def test_an_edition_is_shown_as_plain_data() -> None:
    (file,) = load_rulebook_texts({"a.yaml": TEXT}).files
    data = shown(file.edition)
    assert {key: data[key] for key in ("authority", "edition", "wholly_read", "fictional")} == {
        "authority": "xa",
        "edition": "2026",
        "wholly_read": True,
        "fictional": False,
    }
    assert data["sections"][2] == {
        "heading": "Requirements",
        "title": "dietitian",
        "lines": [
            {"number": "1", "depth": 0, "id": "grown-up", "text": "Grown up. All of these:"},
            {"number": None, "depth": 1, "id": None, "text": "Source: Rules."},
            {
                "number": "1.1",
                "depth": 1,
                "id": "age",
                "text": "An age of at least 21 years at submission.",
            },
        ],
    }


@pytest.fixture
def pair(tmp_path: Path) -> tuple[Path, Path]:
    """Return the files of two editions."""
    old, new = tmp_path / "2026.yaml", tmp_path / "2027.yaml"
    old.write_text(TEXT, encoding="utf-8")
    new.write_text(TEXT.replace('"2026"', '"2027"').replace("21 y", "18 y"), encoding="utf-8")
    return old, new


def test_two_editions_are_compared(pair: tuple[Path, Path]) -> None:
    found = compare(*pair)
    assert found.problems == ()
    assert [change_as_json(change) for change in found.changes] == [
        {
            "sort": "changed",
            "title": "dietitian",
            "requirement": "grown-up",
            "path": ["of", 0, "at_least"],
            "sentence": "Grown up, age: the lowest age goes from 21 years to 18 years"
            " (applications from 2026-01-01).",
        }
    ]
    assert set(found.texts) == {str(path) for path in pair}


def test_broken_editions_are_not_compared(pair: tuple[Path, Path]) -> None:
    old, new = pair
    new.write_text("rulebook: [", encoding="utf-8")
    assert [each.code for each in compare(old, new).problems] == ["F105"]
    assert [each.code for each in compare(old, old.parent / "x").problems] == ["F111"]


def test_schemas_have_titles() -> None:
    titles = [rulebook_schema()["title"], applicant_schema()["title"]]
    assert titles == ["Rulebook file", "Applicant file"]


def test_a_case_of_a_plan_is_right_on_its_day_and_wrong_on_any_other() -> None:
    """Ten working days after Thursday 5 March 2026 are the 19th (counted by two methods)."""
    text = (ASSETS / "bad" / "P114.yaml").read_text("utf-8")
    right = load_rulebook_texts({"a.yaml": text.replace("03-20}", "03-19}")}, today=TODAY)
    assert list(failed_cases(right)) == []
    wrong = list(failed_cases(load_rulebook_texts({"a.yaml": text}, today=TODAY)))
    assert [(each.code, each.got, each.expected) for each in wrong] == [
        ("P114", "2026-03-19", "2026-03-20")
    ]


def test_a_case_names_milestones_that_there_are() -> None:
    text = (ASSETS / "bad" / "P114.yaml").read_text("utf-8")
    found = load_rulebook_texts(
        {"a.yaml": text.replace("decision: 2026", "x: 2026")}, today=TODAY
    ).problems
    assert [(each.code, each.got) for each in found] == [("R118", "'x'")]
