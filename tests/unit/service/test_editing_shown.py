"""The facts of a file as people read them."""

from __future__ import annotations

from comity.demo.caseload import demo_files
from comity.service.editing import read_document
from comity.service.editing_shown import shown_entry, shown_sections

KOFI = read_document(demo_files()["applicants/kofi.yaml"])
NAMES = {"XF": "Oduanta", "conviction": "Have you ever been convicted?"}


def test_every_section_is_shown_and_tells_none_from_not_known() -> None:
    sections = {each.name: each for each in shown_sections(KOFI, names=NAMES)}
    assert sections["updating"].is_known
    assert sections["updating"].entries == ()
    assert not sections["education"].is_known
    assert [each.name for each in sections["practice"].entries] == ["Oduanko Regional Hospital"]


def test_an_entry_is_shown_with_its_values_as_people_write_them() -> None:
    entry = shown_entry(KOFI, "practice", entry="hospital", names=NAMES)
    assert entry is not None
    assert dict(entry.lines) == {
        "Post held": "dietitian",
        "Kind of work": "clinical",
        "Country": "Oduanta (XF)",
        "Registered there at the time": "yes",
        "First day": "2 September 2024",
        "Last day": "31 October 2025",
        "Hours a week": "17",
    }
    assert entry.evidence_said == "seen on a paper"
    assert entry.papers == ("employers' letters with hours",)


def test_a_declaration_goes_by_its_question_and_levels_by_their_words() -> None:
    declared = shown_entry(KOFI, "declarations", entry="conviction", names=NAMES)
    assert declared is not None
    assert declared.name == "Have you ever been convicted?"
    degree = shown_entry(KOFI, "qualifications", entry="degree", names=NAMES)
    assert degree is not None
    assert ("Level", "bachelor or equal (6)") in degree.lines
    assert ("Hours by category", "taught: 3300, placement: 720") in degree.lines


def test_an_entry_that_is_not_there_is_nothing() -> None:
    assert shown_entry(KOFI, "practice", entry="elsewhere", names={}) is None
