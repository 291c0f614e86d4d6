"""Tables of answers in and out; the message of each fault stands in ``assets/bad``."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pyarrow as pa  # type: ignore[import-untyped]
import pytest
from pyarrow import parquet

from comity.core.days.calendar import day_from_date
from comity.files.decoding import MAX_BYTES
from comity.files.ratings import load_ratings, read_ratings
from comity.files.responses import (
    MOST_CELLS,
    LoadedResponses,
    load_responses,
    read_responses,
    responses_csv,
    responses_parquet,
)

if TYPE_CHECKING:
    from pathlib import Path

    from comity.files.responses import Layout

LONG = b"person,item,answer,right,on\np01,q1,a,1,2026-11-02\np01,q2,b c,0,\np02,q1,,1,2026-11-03\n"
WIDE = b"person,q1,q2\np01,a,1450\np02,,b\n"


def told(loaded: LoadedResponses) -> list[tuple[str, str, str, float | None]]:
    return [(each.person, each.item, each.answer, each.right) for each in loaded.given]


def codes(loaded: LoadedResponses) -> list[str]:
    return [problem.code for problem in loaded.problems]


def test_a_long_table_tells_answers_right_and_days() -> None:
    loaded = read_responses(LONG, "a.csv")
    assert loaded.is_sound
    assert told(loaded) == [("p01", "q1", "a", 1), ("p01", "q2", "b c", 0), ("p02", "q1", "", 1)]
    assert [each.on for each in loaded.given] == [
        day_from_date(date(2026, 11, 2)),
        None,
        day_from_date(date(2026, 11, 3)),
    ]
    assert (loaded.people, loaded.items) == (("p01", "p02"), ("q1", "q2"))


def test_a_wide_table_of_letters_tells_answers_and_leaves_out_what_was_not_seen() -> None:
    assert told(read_responses(WIDE, "a.csv")) == [
        ("p01", "q1", "a", None),
        ("p01", "q2", "1450", None),
        ("p02", "q2", "b", None),
    ]


def test_a_wide_table_of_ones_and_noughts_tells_right_and_wrong() -> None:
    loaded = read_responses(b"person;q1;q2\np01;1;0\np02;;1\n", "a.csv")
    assert told(loaded) == [("p01", "q1", "", 1), ("p01", "q2", "", 0), ("p02", "q2", "", 1)]


def test_a_wide_table_keeps_people_and_items_without_an_answer() -> None:
    loaded = read_responses(b"person,q1,q2\np01,1,\np02,,\n", "a.csv")
    assert (loaded.people, loaded.items) == (("p01", "p02"), ("q1", "q2"))


@pytest.mark.parametrize("source", [LONG, WIDE], ids=["long", "wide"])
@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_answers_written_are_read_as_they_were(source: bytes, kind: str) -> None:
    before = read_responses(source, "a")
    write = responses_csv if kind == "csv" else responses_parquet
    after = read_responses(write(before.given), "b")
    assert after.is_sound
    assert told(after) == told(before)
    assert [each.on for each in after.given] == [each.on for each in before.given]


@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_the_wide_layout_keeps_what_was_answered(kind: str) -> None:
    layout: Layout = "wide"
    before = read_responses(WIDE, "a")
    write = responses_csv if kind == "csv" else responses_parquet
    assert told(read_responses(write(before.given, layout), "b")) == told(before)


def test_no_cell_that_is_written_can_be_taken_for_a_formula() -> None:
    loaded = read_responses(b"person,item,answer\n=1+1,q1,a\n", "a.csv")
    written = responses_csv(loaded.given)
    assert b"'=1+1" in written
    assert read_responses(written, "b").people == ("=1+1",)


def test_a_byte_order_mark_does_no_harm() -> None:
    assert read_responses(b"\xef\xbb\xbf" + WIDE, "a.csv").is_sound


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "X501"),
        (b"person\np01\n", "X501"),
        (b"person,q1,q1\np01,a,b\n", "X501"),
        (b'person,q1\n"p01,a\n', "X501"),
        (b"PAR1 and then nothing", "X501"),
        ("person,q1\nJosé,a\n".encode("latin-1"), "F102"),
        ("person,q1\np01,a\n".encode("utf-16"), "F102"),
        (b"person,q1\np01,a,b\n", "X502"),
        (b"person,q1\n,a\n", "X502"),
        (b"person,item,right\np01,q1,maybe\n", "X502"),
        (b"person,q1\np01,a\np01,b\n", "X503"),
    ],
)
def test_what_is_no_table_of_answers_is_told_with_its_code(data: bytes, code: str) -> None:
    assert codes(read_responses(data, "a.csv")) == [code]


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    assert codes(load_responses(tmp_path / "none.csv")) == ["F111"]
    assert [each.code for each in load_ratings(tmp_path / "none.csv").problems] == ["F111"]


def test_a_second_attempt_on_another_day_is_no_fault() -> None:
    data = b"person,item,answer,on\np01,q1,a,2026-11-02\np01,q1,b,2026-11-09\n"
    assert read_responses(data, "a.csv").is_sound


def test_a_file_that_is_too_large_is_told_before_it_is_read() -> None:
    for beginning in (b"PAR1", b"person,q1\n"):
        assert codes(read_responses(beginning + b"x" * MAX_BYTES, "a")) == ["F109"]


def test_a_small_file_with_millions_of_cells_is_refused() -> None:
    sink = pa.BufferOutputStream()
    many = pa.array(["p01"] * (MOST_CELLS // 2 + 1)).dictionary_encode()
    parquet.write_table(pa.table({"person": many, "item": many}), sink)
    data = sink.getvalue().to_pybytes()
    assert len(data) < MAX_BYTES
    (problem,) = read_responses(data, "a.parquet").problems
    assert problem.code == "X501"
    assert problem.got.endswith(f"more than {MOST_CELLS}")


def test_ratings_are_shares_however_they_are_written() -> None:
    found = read_ratings("judge,q1,q2\nfirst,0.7,70 %\nsecond,,0,5\n".replace("0,5", '"0,5"'), "r")
    assert found.problems == ()
    assert found.shares[0].tolist() == [0.7, 0.7]
    assert found.shares[1, 1] == 0.5
    assert found.shares[1, 0] != found.shares[1, 0], "what was not rated is not a number"


@pytest.mark.parametrize(
    "text",
    ["", "person,q1\nfirst,0.5\n", "judge\nfirst\n", "judge,q1\nfirst,1.2\n",
     "judge,q1\nfirst,0.5\nfirst,0.6\n", "judge,q1,q1\nfirst,0.5,0.5\n", "judge,q1\nfirst,1,1\n"],
)  # fmt: skip
def test_what_is_no_table_of_ratings_is_told(text: str) -> None:
    assert {each.code for each in read_ratings(text, "r.csv").problems} == {"X510"}
