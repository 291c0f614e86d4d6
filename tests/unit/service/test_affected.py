"""Whose answer a new edition changes."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from comity.core.days.calendar import day_from_date
from comity.core.eligibility.assessment import Verdict
from comity.files.applicants import read_applicant
from comity.files.rulebooks import load_rulebook_texts
from comity.service.affected import (
    Cause,
    Days,
    affected,
    concerned_as_json,
    concerned_by,
    first_day_of,
)

if TYPE_CHECKING:
    from pathlib import Path

    from comity.core.facts.model import Applicant
    from comity.core.rulebook.model import Edition

TODAY = day_from_date(date(2026, 11, 25))
NEXT = day_from_date(date(2027, 2, 1))
DAYS = Days(on=NEXT, today=TODAY)
OLD = """\
rulebook: "2026"
authority: {id: xa, name: Council, country: XA}
applies: {until: 2027-01-31}
read: 2026-05-01
wholly_read: yes
titles:
  - id: dietitian
    name: Dietitian
    profession: 2265
    requires:
      - {id: age, kind: age, at_least: 21 years, source: {document: Rules}}
      - {id: seat, kind: residence, countries: [XA], source: {document: Rules}}
"""
NEW = OLD.replace('"2026"', '"2027"').replace("until: 2027-01-31", "from: 2027-02-01")
YOUNG = "applicant: young\nname: Ada Young\nfacts: {person: {born: 2008-01-01, residence: XA}}\n"
ABROAD = "applicant: abroad\nfacts: {person: {born: 1980-01-01, residence: XB}}\n"


def edition(text: str) -> Edition:
    """Return the edition that stands in a text."""
    loaded = load_rulebook_texts({"a.yaml": text})
    assert loaded.is_sound, loaded.problems
    return loaded.files[0].edition


def applicant(text: str) -> Applicant:
    """Return the applicant who stands in a text."""
    found = read_applicant(text, "a.yaml").applicant
    assert found is not None
    return found


def changed(new: str, *texts: str) -> list[tuple[str, str | None, str | None, tuple[Cause, ...]]]:
    """Return whose answer is another one under the new edition."""
    found = affected(edition(OLD), edition(new), map(applicant, texts), days=DAYS)
    return [(each.applicant, each.before, each.after, each.causes) for each in found]


def test_nobody_is_told_whose_answer_stays() -> None:
    assert changed(NEW, YOUNG, ABROAD) == []


def test_who_gets_another_answer_is_told_with_the_requirement_that_changes_it() -> None:
    assert changed(NEW.replace("21 years", "18 years"), YOUNG, ABROAD) == [
        (
            "young",
            "not met",
            "met",
            (Cause("age", "Age", Verdict.NOT_MET, Verdict.MET, "19 years old"),),
        )
    ]


def test_a_requirement_that_is_new_or_gone_is_a_cause_if_it_stands_in_the_way() -> None:
    seat = "      - {id: seat, kind: residence, countries: [XA], source: {document: Rules}}\n"
    (gone,) = changed(NEW.replace(seat, ""), ABROAD)
    assert gone[:3] == ("abroad", "not met", "met")
    assert gone[3] == (Cause("seat", "Seat", Verdict.NOT_MET, None, ""),)
    heir = seat.replace("id: seat", "id: heir").replace("XA", "XC")
    old = "applicant: old\nfacts: {person: {born: 1980-01-01, residence: XA}}\n"
    (new,) = changed(NEW + heir, old)
    assert [(cause.requirement, cause.before, cause.after) for cause in new[3]] == [
        ("heir", None, "not met")
    ]


def test_titles_that_one_edition_lacks_are_told_without_a_verdict_there() -> None:
    renamed = NEW.replace("id: dietitian", "id: nutritionist")
    assert [each[:3] for each in changed(renamed, ABROAD)] == [
        ("abroad", None, "not met"),
        ("abroad", "not met", None),
    ]
    assert changed(renamed, ABROAD)[0][3] == ()


def test_the_first_day_of_an_edition_is_its_first_certain_one_or_today() -> None:
    assert first_day_of(edition(NEW), today=TODAY) == NEXT
    assert first_day_of(edition(OLD), today=TODAY) == TODAY


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with two applicants and a page that is none."""
    (tmp_path / "b.yaml").write_text(ABROAD, encoding="utf-8")
    (tmp_path / "a.yml").write_text(YOUNG, encoding="utf-8")
    (tmp_path / "notes.txt").write_text("Call Ada.", encoding="utf-8")
    return tmp_path


def test_a_folder_stands_for_its_applicant_files(folder: Path) -> None:
    editions = edition(OLD), edition(NEW.replace("21 years", "18 years"))
    found = concerned_by(editions, [folder], on=None, today_at=lambda _zone: TODAY)
    assert concerned_as_json(found) == {
        "on": "2027-02-01",
        "looked_at": 2,
        "applicants": [
            {
                "applicant": "young",
                "applicant_name": "Ada Young",
                "title": "dietitian",
                "title_name": "Dietitian",
                "before": "not met",
                "after": "met",
                "causes": [
                    {
                        "requirement": "age",
                        "label": "Age",
                        "before": "not met",
                        "after": "met",
                        "reason": "19 years old",
                    }
                ],
            }
        ],
    }


def test_another_day_may_be_asked_about(folder: Path) -> None:
    editions = edition(OLD), edition(NEW.replace("21 years", "18 years"))
    late = day_from_date(date(2029, 1, 1))
    found = concerned_by(editions, [folder], on=late, today_at=lambda _zone: TODAY)
    assert (found.days.on, found.affected) == (late, ())


def test_nothing_is_said_of_files_that_are_broken(folder: Path) -> None:
    (folder / "c.yaml").write_text(YOUNG, encoding="utf-8")
    found = concerned_by(
        (edition(OLD), edition(NEW)), [folder], on=None, today_at=lambda _zone: TODAY
    )
    assert [each.code for each in found.read.problems] == ["E101"]
    assert (found.read.is_sound, found.affected) == (False, ())
    empty = folder / "empty"
    empty.mkdir()
    alone = concerned_by(
        (edition(OLD), edition(NEW)), [empty], on=None, today_at=lambda _zone: TODAY
    )
    assert [each.code for each in alone.read.problems] == ["F111"]
