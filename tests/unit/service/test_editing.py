"""Facts changed by hand: what is typed is read, what cannot be is said, the file stays as it was.

The dates follow EDTF (ISO 8601-2:2019, levels 0 and 1): 2019-05 is a month, 2019~ about a year.
"""

from __future__ import annotations

import difflib

import pytest

from comity.core.facts.sections import entries_of
from comity.demo.caseload import demo_files
from comity.files.applicants import read_applicant
from comity.files.dumping import dump_yaml
from comity.service.editing import (
    LISTED,
    WHOLE,
    Edited,
    Refused,
    changed_entry,
    controls_of,
    mark_of,
    read_document,
    removed_entry,
    with_none,
)
from comity.service.editing_words import SECTION_WORDS

FILE = """\
# Head
applicant: titi
name: Titi A.
facts:
  # who
  person: {born: 1990, residence: XA}
  practice:
    - id: ward   # the first
      employer: City Hospital
      start: 2019-05   # from the contract
      end: ..
      hours_a_week: 37.5
    # the second
    - {id: clinic, employer: Clinic, start: 2015,
       end: 2018}
  stays: []
papers:
  - id: letter
    kind: employer's letter
# end
"""
DEMO = {path: text for path, text in demo_files().items() if path.startswith("applicants/")}


def edited(found: Edited | Refused) -> Edited:
    assert isinstance(found, Edited), found
    assert read_document(found.text) == found.applicant
    return found


def refused(found: Edited | Refused) -> dict[str, str]:
    assert isinstance(found, Refused)
    return {name: problem.sentence for name, problem in found.problems.items()}


def difference(new: str, old: str = FILE) -> list[str]:
    lines = difflib.unified_diff(old.splitlines(), new.splitlines(), n=0, lineterm="")
    return [line for line in lines if not line.startswith(("---", "+++", "@@"))]


@pytest.mark.parametrize("path", DEMO)
def test_a_form_sent_back_as_it_came_changes_nothing(path: str) -> None:
    applicant = read_document(DEMO[path])
    for section in SECTION_WORDS:
        ids = (
            [each.id for each in entries_of(applicant, section) or ()]
            if section in LISTED
            else [""]
        )
        for entry in ids:
            controls = controls_of(applicant, section, entry=entry)
            typed = {control.name: control.value for control in controls}
            found = edited(changed_entry(DEMO[path], section, typed, entry=entry))
            assert not found.is_changed, (section, entry)


@pytest.mark.parametrize("path", DEMO)
def test_taking_any_entry_away_leaves_every_other_line_of_the_file(path: str) -> None:
    applicant = read_document(DEMO[path])
    for section in set(LISTED) - {"papers"}:
        entries = entries_of(applicant, section) or ()
        for entry in entries:
            found = edited(removed_entry(DEMO[path], section, entry=entry.id))
            lines = difference(found.text, DEMO[path])
            assert len(entries_of(found.applicant, section) or ()) == len(entries) - 1
            assert [line for line in lines if line[0] == "+"] in ([], _empty(section, lines))


def _empty(section: str, lines: list[str]) -> list[str]:
    return [line for line in lines if line.strip("+ ") == f"{section}: []"]


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("3 May 2019", "2019-05-03"),
        ("May 2019", "2019-05"),
        ("2019-05", "2019-05"),
        ("2019", "2019"),
        ("about 2019", "2019~"),
        ("about May 2019", "2019-05~"),
        ("2019?", "2019?"),
    ],
)
def test_days_are_read_as_people_write_them(typed: str, written: str) -> None:
    found = edited(changed_entry(FILE, "practice", {"start": typed}, entry="ward"))
    practice = found.applicant.facts.practice
    assert practice is not None
    assert str(practice[0].start) == written


def test_a_changed_value_keeps_the_comment_behind_it() -> None:
    found = edited(changed_entry(FILE, "practice", {"start": "1 June 2019"}, entry="ward"))
    assert difference(found.text) == [
        "-      start: 2019-05   # from the contract",
        "+      start: 2019-06-01   # from the contract",
    ]


def test_a_value_taken_away_takes_its_line_and_nothing_else() -> None:
    found = edited(changed_entry(FILE, "practice", {"hours_a_week": ""}, entry="ward"))
    assert difference(found.text) == ["-      hours_a_week: 37.5"]


def test_a_value_not_there_yet_stands_in_its_entry() -> None:
    typed = {"evidence": "seen", "papers": "letter"}
    found = edited(changed_entry(FILE, "practice", typed, entry="ward"))
    assert difference(found.text) == [
        "+      evidence: seen",
        "+      papers:",
        "+        - letter",
    ]


def test_an_entry_between_braces_is_written_anew_and_the_others_stay() -> None:
    found = edited(changed_entry(FILE, "practice", {"hours_a_week": "20"}, entry="clinic"))
    assert difference(found.text)[:2] == [
        "-    - {id: clinic, employer: Clinic, start: 2015,",
        "-       end: 2018}",
    ]
    assert "# the second" in found.text
    assert "id: ward   # the first" in found.text


def test_a_new_entry_gets_an_id_made_of_its_name_that_nothing_else_has() -> None:
    found = edited(changed_entry(FILE, "practice", {"employer": "Clinic", "start": "2020"}))
    assert found.entry == "clinic-2"
    assert difference(found.text)[0] == "+    - id: clinic-2"


def test_a_new_entry_opens_a_section_that_was_empty_or_not_there() -> None:
    stay = edited(changed_entry(FILE, "stays", {"country": "xb", "start": "2020"}))
    assert difference(stay.text)[:2] == ["-  stays: []", "+  stays:"]
    test = edited(changed_entry(FILE, "language", {"test": "Halvenian", "overall": "71"}))
    assert "+results:" in difference(test.text)


def test_what_is_known_of_the_person_is_changed_too() -> None:
    found = edited(changed_entry(FILE, "person", {"residence": "xb"}))
    assert found.applicant.facts.person.residence == "XB"
    assert "  # who" in found.text


def test_the_name_and_the_wishes_are_changed_where_they_stand() -> None:
    named = edited(changed_entry(FILE, "about", {"name": "Titi Adeyemi"}))
    assert difference(named.text) == ["-name: Titi A.", "+name: Titi Adeyemi"]
    wished = edited(changed_entry(FILE, "preferences", {"language": "en"}))
    assert wished.applicant.preferences.language == "en"
    assert "# Head" in wished.text


def test_a_declaration_is_chosen_among_the_questions_not_answered_yet() -> None:
    offers = {"declarations": (("conviction", "Were you ever convicted?"),)}
    found = edited(
        changed_entry(FILE, "declarations", {"id": "conviction", "answer": "no"}, offers=offers)
    )
    assert found.entry == "conviction"
    again = controls_of(found.applicant, "declarations", offers=offers)
    assert again[0].choices == ()
    wrong = changed_entry(FILE, "declarations", {"id": "other"}, offers=offers)
    assert refused(wrong) == {
        "id": "“other” cannot be taken. Expected: one of the questions listed."
    }


def test_a_part_of_a_record_inside_an_entry_is_read_and_taken_away() -> None:
    typed = {"how": "formal study", "supervisor.registered_since": "2010"}
    found = edited(changed_entry(FILE, "updating", typed))
    updating = found.applicant.facts.updating
    assert updating is not None
    assert updating[0].supervisor is not None
    gone = edited(
        changed_entry(
            found.text, "updating", {"supervisor.registered_since": ""}, entry=found.entry
        )
    )
    assert gone.applicant.facts.updating is not None
    assert gone.applicant.facts.updating[0].supervisor is None


@pytest.mark.parametrize(
    ("section", "typed", "said"),
    [
        (
            "practice",
            {"start": "last spring"},
            {
                "start": "“last spring” cannot be taken. Expected: a day as 3 May 2019, May 2019, "
                "about May 2019 or 2019."
            },
        ),
        (
            "practice",
            {"hours_a_week": "ninety"},
            {"hours_a_week": "“ninety” cannot be taken. Expected: a number of hours, as 37.5."},
        ),
        (
            "practice",
            {"country": "UK"},
            {
                "country": "“UK” cannot be taken. Expected: the code of a country (ISO 3166), as "
                "NZ. Write GB."
            },
        ),
        (
            "practice",
            {"start": "2020", "end": "2018"},
            {
                "end": "“2018” cannot be taken: the end lies before the start. Expected: a day on "
                "or after 2020. Compare both dates with the paper that shows them."
            },
        ),
        (
            "certificates",
            {"of": ""},
            {"of": "Something is needed here. Expected: what it certifies."},
        ),
        (
            "qualifications",
            {"level": "9"},
            {
                "level": "“9” cannot be taken: ISCED 2011 levels go from 0 to 8. Expected: e.g. 6 "
                "for a bachelor's degree."
            },
        ),
        (
            "qualifications",
            {"hours": "taught 2900"},
            {
                "hours": "“taught 2900” cannot be taken. Expected: a name, a colon and a value, as "
                "taught: 2900."
            },
        ),
        (
            "practice",
            {"registered": "perhaps", "evidence": "guessed"},
            {
                "registered": "“perhaps” cannot be taken. Expected: yes or no.",
                "evidence": "“guessed” cannot be taken. Expected: one of stated by the applicant, "
                "seen on a paper, confirmed by its issuer.",
            },
        ),
    ],
)
def test_each_field_says_what_was_found_and_what_would_do(
    section: str, typed: dict[str, str], said: dict[str, str]
) -> None:
    assert refused(changed_entry(FILE, section, typed)) == said


def test_an_answer_with_control_characters_is_refused() -> None:
    found = refused(changed_entry(FILE, "practice", {"employer": "City\x00Hospital"}))
    assert found["employer"].startswith("Something is needed here. Expected: a text without")


def test_a_paper_that_a_fact_names_is_not_taken_away() -> None:
    named = edited(changed_entry(FILE, "practice", {"papers": "letter"}, entry="ward"))
    emptied = edited(changed_entry(named.text, "papers", {"kind": "diploma"}))
    found = removed_entry(emptied.text, "papers", entry="letter")
    assert refused(found)[WHOLE].startswith("“letter” cannot be taken: no paper with this id")


def test_a_section_nobody_has_filled_can_say_none() -> None:
    found = edited(with_none(FILE, "education"))
    assert found.applicant.facts.education == ()
    assert difference(found.text) == ["+  education: []"]
    assert not edited(with_none(FILE, "practice")).is_changed


def test_the_mark_of_an_entry_changes_with_it_and_with_nothing_else() -> None:
    before = read_document(FILE)
    after = edited(changed_entry(FILE, "practice", {"start": "2018"}, entry="ward")).applicant
    assert mark_of(before, "practice", "ward") != mark_of(after, "practice", "ward")
    assert mark_of(before, "practice", "clinic") == mark_of(after, "practice", "clinic")
    assert mark_of(before, "about", "") == mark_of(after, "about", "")
    assert mark_of(before, "practice", "elsewhere") == ""


def test_sections_and_entries_that_are_not_there_are_refused() -> None:
    with pytest.raises(KeyError, match="hobbies"):
        changed_entry(FILE, "hobbies", {})
    with pytest.raises(KeyError, match="nowhere"):
        changed_entry(FILE, "practice", {}, entry="nowhere")
    with pytest.raises(KeyError, match="nowhere"):
        removed_entry(FILE, "practice", entry="nowhere")


def test_a_file_that_cannot_be_read_is_said_with_its_place() -> None:
    with pytest.raises(ValueError, match="the applicant's file:2:1: an entry is missing"):
        read_document("applicant: [")


def test_a_file_no_part_of_which_can_be_kept_is_written_anew_below_its_head() -> None:
    text = "# Head\n" + '{applicant: titi, facts: {practice: [{id: a, employer: "A"}]}}\n'
    found = edited(changed_entry(text, "practice", {"start": "2019"}, entry="a"))
    assert found.text == "# Head\n" + dump_yaml(found.applicant)
    assert read_applicant(found.text, "x").problems == ()


def test_the_words_that_rulebooks_use_are_offered_where_an_entry_is_named() -> None:
    offers = {"registrations": (("xa-council", "Council of Xandria"),)}
    form = controls_of(read_document(FILE), "registrations", offers=offers)
    found = {each.name: each for each in form}
    assert found["authority"].choices == (("xa-council", "Council of Xandria"),)
