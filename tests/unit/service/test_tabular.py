"""Rows and applicants: read by column, compared, put into files, and back again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from comity.demo.caseload import demo_files
from comity.files.applicants import read_applicant
from comity.files.dumping import dump_yaml
from comity.files.tables import read_table, write_table
from comity.files.workbooks import TableProblem
from comity.service.editing import read_document
from comity.service.tabular import (
    Difference,
    cells_of,
    changed_text,
    conflicts,
    differences,
    headings_for,
    new_applicant,
    numbers_of,
    read_rows,
)

if TYPE_CHECKING:
    from comity.core.facts.model import Applicant
    from comity.files.tables import Format
    from comity.service.tabular import RowRead, TableRead

PEOPLE = sorted(path for path in demo_files() if path.startswith("applicants/"))
KNOWN = """\
# kept by hand
applicant: a-1
name: Lu
facts:
  person:
    born: 1990-05
    evidence: seen
  practice:
    - id: ward
      employer: North Ward   # on the phone
      start: 2019-05
      end: ..
      evidence: confirmed
      note: ask again
"""


def read(text: str) -> TableRead:
    return read_rows(read_table(text.encode("utf-8")))


def row(text: str) -> RowRead:
    found = read(text)
    assert found.problems == []
    return found.rows[0]


def problems(text: str) -> list[TableProblem]:
    return read(text).problems


def demo_people() -> list[Applicant]:
    return [read_document(demo_files()[path]) for path in PEOPLE]


def most_entries(people: list[Applicant]) -> dict[str, int]:
    counts = [numbers_of(each) for each in people]
    return {section: max(each[section] for each in counts) for section in counts[0]}


# -------------------------------------------------------------------------------------------- in


def test_a_reference_is_enough() -> None:
    applicant = new_applicant(row("reference\na-1\n"))
    assert dump_yaml(applicant) == "applicant: a-1\n"


def test_a_row_becomes_a_file_that_reads_as_the_same() -> None:
    text = (
        "reference,name,born,nationality,residence,degree title,degree level,degree completed,"
        "post employer,post start,post end,post hours,post 2 employer,post 2 start,"
        "registration authority,registration start,registration end\n"
        "a-1,Lu Adebayo,3 May 1990,xn; XQ,xh,Bachelor of Dietetics,6,about May 2012,"
        "North Ward,May 2013,2015,37:30,North Ward,2016-02-01,XN Register,2013,still\n"
    )
    found = row(text)
    assert (found.name, found.counts) == ("Lu Adebayo", (1, 2, 1))
    applicant = new_applicant(found)
    assert dump_yaml(applicant) == (
        "applicant: a-1\nname: Lu Adebayo\nfacts:\n  person:\n    born: 1990-05-03\n"
        "    nationality:\n      - XN\n      - XQ\n    residence: XH\n  qualifications:\n"
        "    - id: bachelor-of-dietetics\n      title: Bachelor of Dietetics\n      level: 6\n"
        '      completed: "2012-05~"\n  practice:\n    - id: north-ward\n'
        "      employer: North Ward\n      start: 2013-05\n      end: 2015\n"
        "      hours_a_week: 37:30\n    - id: north-ward-2\n      employer: North Ward\n"
        "      start: 2016-02-01\n  registrations:\n    - id: xn-register\n"
        "      authority: XN Register\n      start: 2013\n      end: ..\n"
    )
    again = read_applicant(dump_yaml(applicant), "a-1.yaml")
    assert (again.applicant, again.problems) == (applicant, ())


def test_none_in_the_first_column_of_a_group_says_that_there_is_none() -> None:
    applicant = new_applicant(row("reference,post employer,degree title\na-1,None,\n"))
    assert applicant.facts.practice == ()
    assert applicant.facts.qualifications is None


def test_a_question_mark_says_nothing() -> None:
    assert row("reference,born\na-1,?\n").said.get(("person", 0), {}) == {}


def test_every_cell_that_cannot_be_read_is_told_by_row_and_column() -> None:
    found = problems(
        "reference,born,post hours,post country\nLu Li,03/05/1990,37.5,XN\na-2,,many,Nowhere\n"
    )
    assert [(each.row, each.column, each.got) for each in found] == [
        (2, "reference", "Lu Li"),
        (2, "born", "03/05/1990"),
        (3, "post hours", "many"),
        (3, "post country", "Nowhere"),
    ]
    assert found[0].hint == "write lu-li"
    assert found[1] == TableProblem(
        "the value cannot be taken",
        row=2,
        column="born",
        got="03/05/1990",
        expected="a day as 3 May 2019, May 2019, about May 2019 or 2019",
        hint="write year-month-day, as 2019-05-03; other orders are read in two ways",
    )


def test_values_that_contradict_each_other_are_told() -> None:
    found = problems("reference,post 2 start,post 2 end\na-1,2020,2019\n")
    assert [(each.row, each.column, each.message) for each in found] == [
        (2, "post 2 end", "the end lies before the start")
    ]


def test_a_row_without_a_reference_is_told() -> None:
    found = problems("reference,name\n,Lu\n")
    assert [(each.row, each.message) for each in found] == [(2, "the row has no reference")]


def test_a_reference_that_stands_twice_is_told_with_its_first_row() -> None:
    assert problems("reference,name\na-1,Lu\na-2,Li\na-1,Lo\n") == [
        TableProblem(
            "the same reference stands in row 2",
            row=4,
            column="reference",
            got="a-1",
            expected="one row for each applicant",
            hint="put further posts and degrees into numbered columns, as “post 2 employer”",
        )
    ]


def test_problems_of_headings_come_alone() -> None:
    assert [each.row for each in problems("reference,shoe\n,\nx y,9\n")] == [1]


def test_a_blank_column_does_no_harm() -> None:
    assert new_applicant(row("reference,,name\na-1,,Lu\n")).name == "Lu"


# ------------------------------------------------------------------------- people who are there


def test_a_row_that_says_the_same_changes_nothing() -> None:
    same = row("reference,name,born,post employer,post end\na-1,Lu,May 1990,North Ward,still\n")
    assert differences(same, read_document(KNOWN)) == ()
    assert changed_text(KNOWN, same, read_document(KNOWN)) == KNOWN


def test_empty_cells_take_nothing_away() -> None:
    assert differences(row("reference,name,post employer\na-1,,\n"), read_document(KNOWN)) == ()


def test_differences_stand_by_column_with_before_and_after() -> None:
    found = row(
        "reference,name,post end,post hours,post 2 employer\na-1,Lu Li,May 2024,30,South Ward\n"
    )
    assert differences(found, read_document(KNOWN)) == (
        Difference("name", "Lu", "Lu Li"),
        Difference("post end", "still", "2024-05"),
        Difference("post hours", "", "30"),
        Difference("post 2 employer", "", "South Ward"),
    )


def test_a_change_keeps_comments_and_is_stated_again() -> None:
    found = row("reference,name,post end,post 2 employer\na-1,Lu Li,May 2024,South Ward\n")
    text = changed_text(KNOWN, found, read_document(KNOWN))
    assert "# kept by hand" in text
    assert "# on the phone" in text
    after = read_document(text)
    assert after.name == "Lu Li"
    assert after.facts.person.evidence == "seen"
    first, second = after.facts.practice or ()
    assert first.end is not None
    assert (first.end.text, first.evidence, first.note) == ("2024-05", "stated", "ask again")
    assert (second.id, second.employer) == ("south-ward", "South Ward")
    assert differences(found, after) == ()


def test_none_is_taken_where_nothing_was_known() -> None:
    found = row("reference,degree title,post employer\na-1,none,\n")
    assert differences(found, read_document(KNOWN)) == (Difference("degree title", "", "none"),)
    after = read_document(changed_text(KNOWN, found, read_document(KNOWN)))
    assert after.facts.qualifications == ()


def test_none_never_takes_facts_away() -> None:
    found = row("reference,post employer\na-1,none\n")
    assert list(conflicts(found, read_document(KNOWN))) == [
        TableProblem(
            "the table says none where facts are known",
            row=2,
            column="post employer",
            got="none",
            hint="empty the cell, or remove the facts on the applicant's page",
        )
    ]


def test_a_value_that_contradicts_what_is_known_is_told() -> None:
    found = row("reference,post end\na-1,2018\n")
    assert [(each.column, each.message) for each in conflicts(found, read_document(KNOWN))] == [
        ("post end", "the end lies before the start")
    ]
    with pytest.raises(ValueError, match="the end lies before the start"):
        changed_text(KNOWN, found, read_document(KNOWN))


# ------------------------------------------------------------------------------------------- out


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_goes_out_comes_in_as_the_same(form: Format) -> None:
    people = demo_people()
    n_entries = most_entries(people)
    cells = [cells_of(each, n_entries) for each in people]
    found = read_rows(read_table(write_table(headings_for(n_entries), cells, form)))
    assert found.problems == []
    for known, each in zip(people, found.rows, strict=True):
        assert differences(each, known) == ()
        assert list(conflicts(each, known)) == []
        assert cells_of(new_applicant(each), n_entries) == cells_of(known, n_entries)


def test_hours_go_out_decimal_unless_that_would_round_them() -> None:
    applicant = new_applicant(
        row("reference,post hours,post 2 hours,post 3 hours\na-1,37:30,37:20,40\n")
    )
    n_entries = numbers_of(applicant)
    cells = dict(zip(headings_for(n_entries), cells_of(applicant, n_entries), strict=True))
    assert [cells[name] for name in ("post hours", "post 2 hours", "post 3 hours")] == [
        "37.5", "37:20", "40",
    ]  # fmt: skip
