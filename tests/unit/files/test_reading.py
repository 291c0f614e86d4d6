from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

import pytest

from comity.core.days.calendar import FOREVER
from comity.core.facts.model import Applicant
from comity.core.problems import Place
from comity.core.rulebook.model import Edition
from comity.files.reading import Reading, place_of, read
from comity.files.yaml import read_tree
from tests.samples import Choice, Circle, Colour, EveryValue, Figure, Group, Needed, Span

if TYPE_CHECKING:
    from comity.core.declaring.fields import Path


T = TypeVar("T")


def reading_of(source: str, record: type[T]) -> Reading[T]:
    node, problems = read_tree(source, "x.yaml")
    assert problems == ()
    assert node is not None
    return read(node, record)


def value_of(source: str, record: type[T]) -> T:
    reading = reading_of(source, record)
    assert reading.problems == ()
    assert reading.value is not None
    return reading.value


def codes_at(source: str, record: type) -> list[str]:
    reading: Reading[object] = reading_of(source, record)
    assert reading.value is None
    return [f"{problem.code} {problem.place}" for problem in reading.problems]


def test_each_value_is_read_in_its_kind() -> None:
    value = value_of(
        "line: NO\nwhole_number: 12\nhours: 37:30\nshare: 50 %\nchoice: 3\ncolour: deep green\n"
        "yes_or_no: yes\nyes_no_or_unknown: No\ncountries: [NZ, AU]\nhours_by_name:\n  ward: 12\n",
        EveryValue,
    )
    assert value == EveryValue(
        line="NO",
        whole_number=12,
        hours=2250,
        share=Fraction(1, 2),
        choice=3,
        colour=Colour.GREEN,
        yes_or_no=True,
        yes_no_or_unknown=False,
        countries=("NZ", "AU"),
        hours_by_name={"ward": 720},
    )


def test_what_is_left_out_has_its_default() -> None:
    assert value_of("line: x\n", EveryValue) == EveryValue(line="x")


def test_one_text_may_stand_for_a_list_of_one() -> None:
    assert value_of("countries: NZ\n", EveryValue).countries == ("NZ",)


def test_lists_may_hold_lists() -> None:
    assert value_of("lists:\n  - [a, b]\n  - []\n  - c\n", EveryValue).lists == (
        ("a", "b"),
        (),
        ("c",),
    )


def test_an_empty_list_is_not_a_list_left_out() -> None:
    assert value_of("spans: []\n", EveryValue).spans == ()
    assert value_of("spans:\n", EveryValue).spans is None


@pytest.mark.parametrize("word", ["", "~", "null", "NULL"])
def test_a_key_left_blank_is_a_key_left_out(word: str) -> None:
    source = f"whole_number: {word}\nyes_no_or_unknown: {word}\nhours_by_name: {word}\n"
    assert value_of(source, EveryValue) == EveryValue()


def test_in_a_text_null_is_a_word() -> None:
    assert value_of("line: Null\ntext: ~\n", EveryValue) == EveryValue(line="Null", text="~")


def test_quotes_around_other_values_do_no_harm() -> None:
    source = 'whole_number: "12"\nyes_or_no: "yes"\ncountry: " NZ "\n'
    assert value_of(source, EveryValue) == EveryValue(whole_number=12, yes_or_no=True, country="NZ")


def test_a_needed_key_may_hold_nothing_where_nothing_is_a_value() -> None:
    value = value_of("name: A\nsince:\nknown: unknown\nhours:\ncolours: red\n", Needed)
    assert (value.since.earliest, value.since.latest) == (0, FOREVER)
    assert (value.known, value.hours, value.colours) == (None, None, (Colour.RED,))
    assert value.seen == "not part of the file"


def test_a_member_of_a_family_is_named_by_its_kind_or_by_its_key() -> None:
    source = "all:\n  - kind: circle\n    radius: 3\n  - any: []\n  - kind: any\n    any: []\n"
    assert value_of(source, Figure) == Group(
        parts=(Circle(radius=3), Choice(parts=()), Choice(parts=()))
    )


def test_a_member_alone_may_still_say_its_kind() -> None:
    assert value_of("kind: circle\nradius: 3\n", Circle) == Circle(radius=3)


def test_all_problems_are_told_in_one_run_and_in_reading_order() -> None:
    source = (
        "lime: x\nwhole_number: x\nspans:\n  - start: x\n    end: x\n  - {}\nfigure:\n  kind: x\n"
    )
    assert codes_at(source, EveryValue) == [
        "F202 x.yaml:1:1",
        "F403 x.yaml:2:15",
        "F412 x.yaml:4:12",
        "F412 x.yaml:5:10",
        "F203 x.yaml:6:5",
        "F205 x.yaml:8:9",
    ]


def test_an_unknown_key_is_compared_with_those_not_yet_used() -> None:
    reading = reading_of("line: x\nlin: y\nWhole-Number: 3\ncountrys: NZ\n", EveryValue)
    assert [problem.hint for problem in reading.problems] == [
        "delete the key, or look for where it belongs",
        "write whole_number",
        "write country",
    ]


def test_a_word_for_not_knowing_is_answered_with_how_to_say_so() -> None:
    optional, with_default = reading_of("hours: n/a\nwhole_number: n/a\n", EveryValue).problems
    assert optional.hint == "leave the line out while it is not known"
    assert with_default.hint == ""


def test_a_complaint_stands_at_the_value_it_speaks_of() -> None:
    reading = reading_of("spans:\n  - start: 2019-01-02\n    end: 2019-01-01\n", EveryValue)
    (problem,) = reading.problems
    assert (problem.code, problem.place) == ("F302", Place("x.yaml", 3, 10, 20))
    assert problem.got == "'2019-01-01'"
    assert problem.related == ((Place("x.yaml", 2, 12, 22), "the start"),)


@pytest.mark.parametrize(
    ("path", "place"),
    [
        ((), "1:1"),
        (("spans", 0, "end"), "3:10"),
        (("spans", 0, "missing"), "2:5"),
        (("spans", 7), "2:3"),
        (("nothing", "here"), "1:1"),
        (("figures_by_name", "a", "any"), "6:10"),
        (("figures_by_name", "a", "parts"), "6:10"),
    ],
)
def test_a_reading_knows_the_place_of_each_path(path: Path, place: str) -> None:
    source = (
        "spans:\n  - start: 2019-01-01\n    end: 2019-01-02\nfigures_by_name:\n  a:\n    any: []\n"
    )
    assert str(reading_of(source, EveryValue).place_of(path)) == f"x.yaml:{place}"


def test_no_path_has_a_place_where_there_is_none() -> None:
    assert place_of(("a",), {}) is None


@pytest.mark.parametrize(
    ("source", "record", "wanted"),
    [
        ("rulebook: 2026\nauthority: {}\ntitles: []\n", Applicant, "an applicant file"),
        ("applicant: a\nfacts: {}\n", Edition, "a rulebook"),
    ],
)
def test_a_file_of_another_sort_is_called_by_its_name(
    source: str, record: type, wanted: str
) -> None:
    node, _ = read_tree(source, "x.yaml")
    assert node is not None
    sorts = {"an applicant file": Applicant, "a rulebook": Edition}
    reading: Reading[object] = read(node, record, sorts=sorts)
    (problem,) = reading.problems
    assert (problem.code, problem.expected) == ("F207", wanted)
    assert reading.place_of(("facts",)) == Place(
        "x.yaml", 1, 1, problem.place.end_column if problem.place else None
    )


@pytest.mark.parametrize("source", ["what: 1\never: 2\n", "- a\n", "applicant: a\nx: 1\n"])
def test_a_file_of_no_sort_is_told_what_is_amiss(source: str) -> None:
    node, _ = read_tree(source, "x.yaml")
    assert node is not None
    sorts = {"an applicant file": Applicant, "a rulebook": Edition}
    codes = {problem.code for problem in read(node, Applicant, sorts=sorts).problems}
    assert codes
    assert "F207" not in codes


def test_a_record_may_stand_alone_in_a_file() -> None:
    assert (
        value_of("start: 2019-01-01\nend: 2019-01-01\n", Span).start
        == value_of("start: 2019-01-01\nend: 2019-01-01\n", Span).end
    )
