"""A fact put into a file leaves comments and layout alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from comity.core.days.partial import parse_partial_date
from comity.core.facts.model import Applicant
from comity.files.applicants import read_applicant
from comity.service.amending import amended
from comity.service.applicant_parts import identifier_of, with_answer

FILE = """\
# Head
applicant: titi
facts:
  # the degree
  qualifications:
    - id: degree   # the first
      title: BSc
      completed: 2021
    # another
    - {id: second, title: MSc, field: }

  # who
  person: {born: 1990}
asked:
  - practice
# end
"""


def read(text: str) -> Applicant:
    found = read_applicant(text, "titi.yaml")
    assert found.problems == ()
    assert found.applicant is not None
    return found.applicant


def changed(text: str, path: str, value: object) -> tuple[list[str], list[str]]:
    """Return the lines that went and those that came."""
    applicant = with_answer(read(text), path, value)
    new = amended(text, applicant, path)
    assert read(new) == applicant
    before, after = text.splitlines(), new.splitlines()
    gone = [line for line in before if line not in after]
    return gone, [line for line in after if line not in before]


@pytest.mark.parametrize(
    ("path", "value", "gone", "come"),
    [
        ("qualifications/degree/level", 6, [], ["      level: 6"]),
        (
            "qualifications/degree/completed",
            parse_partial_date("2021-05-06"),
            ["      completed: 2021"],
            ["      completed: 2021-05-06"],
        ),
        (
            "qualifications/second/level",
            7,
            ["    - {id: second, title: MSc, field: }"],
            ["    - {level: 7, id: second, title: MSc, field: }"],
        ),
        (
            "qualifications/second/field",
            "0915",
            ["    - {id: second, title: MSc, field: }"],
            ["    - {id: second, title: MSc, field: 0915 }"],
        ),
        (
            "qualifications/second/hours",
            {"taught": 6000},
            ["    - {id: second, title: MSc, field: }"],
            ["    - {hours: {taught: 100}, id: second, title: MSc, field: }"],
        ),
        (
            "person/nationality",
            ("XA", "XB"),
            ["  person: {born: 1990}"],
            ["  person: {nationality: [XA, XB], born: 1990}"],
        ),
        (
            "person/born",
            parse_partial_date("1990-05-05"),
            ["  person: {born: 1990}"],
            ["  person: {born: 1990-05-05}"],
        ),
        (
            "practice",
            ("City", "Rural"),
            [],
            [
                "  practice:",
                "    - id: city",
                "      employer: City",
                "    - id: rural",
                "      employer: Rural",
            ],
        ),
        ("practice", (), [], ["  practice: []"]),
        ("papers", ("passport",), [], ["papers:", "  - id: passport", "    kind: passport"]),
        ("language", (), [], ["results:", "  language: []"]),
        (
            "declarations/conviction",
            False,
            [],
            ["  declarations:", "    - id: conviction", "      answer: no"],
        ),
    ],
)
def test_only_the_lines_of_the_fact_change(
    path: str, value: object, gone: list[str], come: list[str]
) -> None:
    assert changed(FILE, path, value) == (gone, come)


def test_a_second_declaration_stands_behind_the_first() -> None:
    one = amended(FILE, with_answer(read(FILE), "declarations/a", True), "declarations/a")  # noqa: FBT003
    assert changed(one, "declarations/b", value=False) == ([], ["    - id: b", "      answer: no"])


def test_a_declaration_goes_into_a_list_on_one_line() -> None:
    text = "applicant: a\nfacts:\n  declarations: [{id: a, answer: yes}] # said\n"
    new = amended(text, with_answer(read(text), "declarations/a", False), "declarations/a")  # noqa: FBT003
    assert (
        read(new).facts.declarations
        == with_answer(
            read(text),
            "declarations/a",
            False,  # noqa: FBT003
        ).facts.declarations
    )


def test_what_was_asked_is_added_to_the_list() -> None:
    applicant = replace(read(FILE), asked=("practice", "papers"))
    new = amended(FILE, applicant, "asked")
    assert new == FILE.replace("  - practice\n", "  - practice\n  - papers\n")


def test_a_text_with_commas_and_brackets_is_quoted_in_a_list_on_one_line() -> None:
    text = "# Head\napplicant: a\nfacts: {practice: [{id: p}]} # all on a line\n"
    applicant = with_answer(read(text), "practice/p/employer", "City, Ward [3]")
    new = amended(text, applicant, "practice/p/employer")
    assert new == (
        "# Head\napplicant: a\n"
        'facts: {practice: [{employer: "City, Ward [3]", id: p}]} # all on a line\n'
    )
    assert read(new) == applicant


@pytest.mark.parametrize(
    ("name", "identifier"),
    [
        ("City Hospital, Ward 3", "city-hospital-ward-3"),
        ("BSc (Hons)", "bsc-hons"),
        ("شهادة", ""),
        ("x" * 60, "x" * 40),
    ],
)
def test_an_id_is_made_of_a_name(name: str, identifier: str) -> None:
    assert identifier_of(name) == identifier


def test_entries_of_one_name_have_ids_of_their_own() -> None:
    applicant = with_answer(Applicant(applicant="a"), "stays", ("XA", "XB", "XA", "XA"))
    assert [each.id for each in applicant.facts.stays or ()] == ["xa", "xb", "xa-2", "xa-3"]


def test_names_without_letters_of_ours_get_the_sections_name() -> None:
    applicant = with_answer(Applicant(applicant="a"), "practice", ("مستشفى", "مركز"))
    assert [each.id for each in applicant.facts.practice or ()] == ["practice", "practice-2"]


def test_an_id_made_for_one_entry_is_not_given_to_another() -> None:
    applicant = with_answer(Applicant(applicant="a"), "practice", ("Ward", "Ward 3", "Ward"))
    ids = [each.id for each in applicant.facts.practice or ()]
    assert ids == ["ward", "ward-3", "ward-4"]


def test_a_file_that_is_all_comment_keeps_its_comments() -> None:
    after = Applicant(applicant="a", name="Ann")
    text = amended("# one\n# two\n", after, "name")
    assert text.startswith("# one\n# two\n")
    assert read_applicant(text, "a.yaml").applicant == after
