from __future__ import annotations

import pytest

from comity.core.declaring.fields import fields_of
from comity.core.facts.model import Applicant, Person
from comity.files.workbooks import TableProblem
from comity.service.applicant_parts import RECORDS
from comity.service.table_columns import (
    GROUPS,
    SINGLE,
    Column,
    columns_of,
    heading_of,
    plain_headings,
)


def test_every_column_is_a_field_of_the_applicant_file() -> None:
    kinds = {"about": Applicant, "person": Person, **RECORDS}
    named = [
        *SINGLE.values(),
        *((each.section, f) for each in GROUPS for f in each.fields.values()),
    ]
    for section, name in named:
        assert name in {field.name for field in fields_of(kinds[section])}


@pytest.mark.parametrize("heading", ["Post 2 Employer", "post_2_employer", " POST  2-employer "])
def test_headings_are_read_however_they_are_written(heading: str) -> None:
    columns, problems = columns_of(("reference", heading))
    assert problems == ()
    assert columns[1] == Column("post 2 employer", "practice", "employer", 1)
    assert columns[1].place == ("practice", 1)


def test_headings_go_out_as_they_come_in() -> None:
    columns, problems = columns_of(plain_headings())
    assert problems == ()
    assert [heading_of(each.section, each.field) for each in columns] == list(plain_headings())


def test_the_first_of_several_may_have_its_number() -> None:
    columns, _problems = columns_of(("reference", "post 1 start"))
    assert columns[1].heading == "post start"


def test_an_unknown_heading_is_told_with_the_nearest_one() -> None:
    _columns, problems = columns_of(("reference", "post emploier"))
    assert problems == (
        TableProblem(
            "there is no column of this name",
            row=1,
            column="post emploier",
            got="post emploier",
            expected=f"one of {', '.join(plain_headings())}",
            hint="did you mean “post employer”?",
        ),
    )


@pytest.mark.parametrize("heading", ["post 0 start", "post 21 start", "shoe size", "cv 2", "post"])
def test_what_has_no_column_is_refused(heading: str) -> None:
    _columns, problems = columns_of(("reference", heading))
    assert [each.message for each in problems] == ["there is no column of this name"]


@pytest.mark.parametrize("twice", [("name", "Name"), ("post start", "post 1 start")])
def test_a_column_that_stands_twice_is_refused(twice: tuple[str, str]) -> None:
    _columns, problems = columns_of(("reference", *twice))
    assert [(each.message, each.got) for each in problems] == [
        ("the column stands twice", twice[1])
    ]


def test_a_table_without_references_is_refused() -> None:
    _columns, problems = columns_of(("name", "born"))
    assert [(each.message, each.got) for each in problems] == [
        (
            "no column holds the reference, by which an applicant is told from the others",
            "name, born",
        )
    ]
