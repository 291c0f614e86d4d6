"""What a form shows of a field, and what it makes of what is typed."""

from __future__ import annotations

from typing import Any

import pytest

from comity.core.days.partial import parse_partial_date
from comity.core.declaring.fields import DeclaredField, fields_of
from comity.core.declaring.shapes import RecordShape, TaggedShape
from comity.core.facts.model import Paper, PracticeSpell, Preferences, Qualification
from comity.service.editing_fields import (
    Control,
    FieldError,
    read_field,
    said,
    shown,
    sort_of,
)
from tests.samples import EveryValue, Figure, Span

RECORD = RecordShape(Span)
FAMILY = TaggedShape(Figure)


def field(record: type, name: str) -> DeclaredField:
    return next(each for each in fields_of(record) if each.name == name)


def read(record: type, name: str, typed: str) -> Any:  # noqa: ANN401 - any value of a field
    return read_field(field(record, name), typed, ())


def refusal(record: type, name: str, typed: str) -> str:
    with pytest.raises(FieldError) as refused:
        read(record, name, typed)
    return refused.value.problem.sentence


@pytest.mark.parametrize(
    ("record", "name", "sort"),
    [
        (PracticeSpell, "end", "last day"),
        (PracticeSpell, "start", "day"),
        (PracticeSpell, "papers", "papers"),
        (PracticeSpell, "country", "country"),
        (EveryValue, "yes_or_no", "yes or no"),
        (EveryValue, "choice", "choice"),
        (EveryValue, "countries", "countries"),
        (EveryValue, "hours_by_name", "by part"),
    ],
)
def test_each_kind_of_field_has_its_control(record: type, name: str, sort: str) -> None:
    assert sort_of(field(record, name)) == sort


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2019-05-03", "3 May 2019"),
        ("2019-05~", "about May 2019"),
        ("..", "still"),
        ("2019?", "2019?"),
        ("2019-05-XX", "2019-05-XX"),
    ],
)
def test_a_day_is_said_as_people_say_it_where_they_have_words(text: str, words: str) -> None:
    assert said(parse_partial_date(text)) == words


def test_the_ticked_entries_of_a_list_are_told_apart() -> None:
    assert Control("names", "Names", "", "list", "a; b, c").chosen == ("a", "b, c")
    assert Control("names", "Names", "", "list", "").chosen == ()


@pytest.mark.parametrize(
    ("record", "name", "typed"),
    [
        (PracticeSpell, "employer", "City Hospital"),
        (PracticeSpell, "hours_a_week", "37:30"),
        (PracticeSpell, "end", "still"),
        (Preferences, "language", "ar"),
        (EveryValue, "countries", "XA; XB"),
        (EveryValue, "hours_by_name", "ward: 2\nclinic: 3:30"),
        (EveryValue, "yes_or_no", "yes"),
        (EveryValue, "date", "3 May 2019"),
    ],
)
def test_what_is_read_is_shown_as_it_was_typed(record: type, name: str, typed: str) -> None:
    value = read(record, name, typed)
    assert shown(value, field(record, name).shape) == typed


@pytest.mark.parametrize("typed", ["still", "STILL", ".."])
def test_only_a_last_day_may_be_open(typed: str) -> None:
    assert read(PracticeSpell, "end", typed).is_open
    assert refusal(PracticeSpell, "start", typed)


def test_a_country_may_be_typed_in_small_letters() -> None:
    assert read(PracticeSpell, "country", "xa") == "XA"


def test_what_is_no_whole_day_is_told_with_an_example() -> None:
    assert "a whole day, as 3 May 2019" in refusal(EveryValue, "date", "May 2019")


def test_a_field_that_has_to_be_there_cannot_be_emptied() -> None:
    assert refusal(Paper, "kind", " ")
    assert read(Qualification, "country", "I don't know") is None


def test_a_block_of_keys_is_no_field_of_a_form() -> None:
    span = field(EveryValue, "span")
    with pytest.raises(TypeError, match="span has a shape that no form can show"):
        sort_of(span)
    with pytest.raises(TypeError, match="no form can read span"):
        read_field(span, "x", ())
    with pytest.raises(TypeError, match="no form can show 3"):
        shown(3, FAMILY)
    with pytest.raises(TypeError, match="no form can read 'a'"):
        read(EveryValue, "spans", "a")
