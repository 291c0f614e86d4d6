from __future__ import annotations

from dataclasses import MISSING, dataclass

import pytest

from comity.core.declaring import Complaint, declared, fields_of
from comity.core.declaring.fields import complaints_of, is_named_by_key
from tests.samples import Choice, Circle, EveryValue, Needed, Span


@dataclass(frozen=True)
class Silent:
    line: str


@dataclass(frozen=True)
class NoneBesideADefault:
    line: str | None = declared("A line.", default="something")


def test_fields_come_in_the_order_of_their_declaration() -> None:
    assert [field.key for field in fields_of(Needed)] == [
        "name",
        "since",
        "known",
        "hours",
        "colours",
    ]


def test_a_field_without_default_is_required() -> None:
    name, since, known, *_ = fields_of(Needed)
    assert (name.is_required, name.may_be_none, name.default) == (True, False, MISSING)
    assert (known.is_required, known.may_be_none) == (True, True)
    assert (name.doc, name.example, since.example) == ("A name.", "Amara", "2019-05")


def test_bounds_and_defaults_are_kept() -> None:
    fields = {field.name: field for field in fields_of(EveryValue)}
    assert (fields["whole_number"].default, fields["whole_number"].at_least) == (0, 0)
    assert fields["hours"].at_most == 168 * 60
    assert fields["hours_by_name"].default == {}


def test_a_mapping_as_default_is_not_shared() -> None:
    first, second = EveryValue(), EveryValue()
    assert first.hours_by_name == second.hours_by_name == {}
    assert first.hours_by_name is not second.hours_by_name


def test_a_key_may_differ_from_the_name_of_its_field() -> None:
    assert [(field.name, field.key) for field in fields_of(Choice)] == [
        ("name", "name"),
        ("parts", "any"),
    ]
    assert is_named_by_key(Choice)
    assert not is_named_by_key(Circle)


def test_a_field_must_say_what_it_means() -> None:
    with pytest.raises(TypeError, match=r"^Silent does not say what its fields mean: \['line'\]$"):
        fields_of(Silent)


def test_none_cannot_be_told_from_another_default() -> None:
    message = r"^line may be None, so None is the only default that can be written out$"
    with pytest.raises(TypeError, match=message):
        fields_of(NoneBesideADefault)


def test_a_record_complains_of_values_that_contradict_each_other() -> None:
    assert list(complaints_of(Span(start=1, end=2))) == []
    assert list(complaints_of(Span(start=2, end=1))) == [
        Complaint(
            "F302",
            ("end",),
            "the end lies before the start",
            expected="a day on or after the start",
            related=((("start",), "the start"),),
        )
    ]


def test_a_record_that_does_not_look_at_its_values_has_no_complaints() -> None:
    assert list(complaints_of(Circle(radius=3))) == []
