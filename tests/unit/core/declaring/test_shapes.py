# ruff: noqa: UP007, UP045 - the old spellings must be understood, too
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Annotated, Any, ClassVar, Literal, Optional, Union

import pytest

from comity.core.declaring import SCALARS, Country, Tagged, Text
from comity.core.declaring.shapes import (
    ChoiceShape,
    ListShape,
    MappingShape,
    RecordShape,
    ScalarShape,
    TaggedShape,
    YesNoShape,
    is_optional,
    shape_of,
)

LINE = ScalarShape(SCALARS["line of text"])
COUNTRY = ScalarShape(SCALARS["country"])


class Grade(StrEnum):
    A = "first"
    B = "second"


@dataclass(frozen=True)
class Record:
    line: str = ""


class Family(Tagged):
    pass


@dataclass(frozen=True, slots=True)
class Member(Family):
    kind: ClassVar[str] = "member"


SHAPES: dict[str, tuple[object, object]] = {
    "str": (str, LINE),
    "Fraction": (Fraction, ScalarShape(SCALARS["number"])),
    "Country": (Country, COUNTRY),
    "Country | None": (Country | None, COUNTRY),
    "Optional[int]": (Optional[int], ScalarShape(SCALARS["whole number"])),
    "int | None": (int | None, ScalarShape(SCALARS["whole number"])),
    "Annotated": (Annotated[str, "a remark"], LINE),
    "bool": (bool, YesNoShape(may_be_unknown=False)),
    "bool | None": (bool | None, YesNoShape(may_be_unknown=True)),
    "Literal": (Literal["a", 1], ChoiceShape((("a", "a"), ("1", 1)))),
    "StrEnum": (Grade, ChoiceShape((("first", Grade.A), ("second", Grade.B)))),
    "tuple": (tuple[Country, ...], ListShape(COUNTRY)),
    "tuple of tuples": (tuple[tuple[str, ...], ...], ListShape(ListShape(LINE))),
    "Mapping": (Mapping[str, Country], MappingShape(COUNTRY)),
    "Mapping from Text": (Mapping[Text, Country], MappingShape(COUNTRY)),
    "record": (Record, RecordShape(Record)),
    "family": (Family, TaggedShape(Family)),
    "member": (Member, RecordShape(Member)),
}


@pytest.mark.parametrize("name", SHAPES)
def test_an_annotation_asks_for_a_shape(name: str) -> None:
    annotation, shape = SHAPES[name]
    assert shape_of(annotation) == shape


@pytest.mark.parametrize(
    "annotation",
    [
        float,
        object,
        "str",
        Any,
        Union[str, int],
        list[str],
        tuple[str, int],
        tuple[str | None, ...],
        Mapping[int, str],
        Mapping[str, str | None],
    ],
    ids=repr,
)
def test_an_annotation_that_no_file_can_hold_is_refused(annotation: object) -> None:
    with pytest.raises(TypeError, match=r"^no value of a file can be declared as "):
        shape_of(annotation)


def test_none_among_the_types_makes_a_value_optional() -> None:
    assert is_optional(str | None)
    assert is_optional(Optional[str])
    assert not is_optional(str)
    assert not is_optional(Union[str, int])


def test_a_family_knows_its_members_by_kind() -> None:
    assert dict(Family.members()) == {"member": Member}


def test_two_members_cannot_be_of_one_kind() -> None:
    with pytest.raises(TypeError, match=r"^Member and .*Other are both 'member'$"):

        class Other(Family):
            kind: ClassVar[str] = "member"


def test_a_class_below_a_member_is_no_member_of_its_own() -> None:
    class Special(Member):
        pass

    assert Special not in Family.members().values()
