from __future__ import annotations

import pytest

from comity.core.problems import Place
from comity.files.decoding import (
    MAX_BYTES,
    find_unreadable,
    find_unreadable_in_value,
    place_at,
    text_of,
)

HERE = Place("x.yaml", 3, 4, 5)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_end_as_editors_end_them(end: str) -> None:
    text = f"a{end}{end}bcd"
    assert place_at(text, len(text) - 1, "x.yaml") == Place("x.yaml", 3, 3, 4)


def test_a_byte_order_mark_counts_for_nothing() -> None:
    assert text_of(b"\xef\xbb\xbfa", "x.yaml") == ("a", ())


def test_text_that_is_not_utf_8_is_still_there_to_be_shown() -> None:
    text, (problem,) = text_of(b"\xef\xbb\xbfcaf\xe9!", "x.yaml")
    assert text == "caf\ufffd!"
    assert problem.place == Place("x.yaml", 1, 4, 5)


def test_five_megabytes_are_read_and_no_more() -> None:
    assert text_of(b"a" * MAX_BYTES, "x.yaml")[1] == ()
    assert [problem.code for problem in text_of(b"a" * (MAX_BYTES + 1), "x.yaml")[1]] == ["F109"]


# Joiners and direction marks belong to names in Persian, Hindi and Arabic (Unicode 15, 23.2).
@pytest.mark.parametrize(
    "text",
    ["a\tb", "\u0645\u06cc\u200c\u062e", "क्\u200dष", "\u200f\u0633\u0644", "🏳️\u200d🌈"],
    ids=ascii,
)
def test_signs_that_names_need_are_read(text: str) -> None:
    assert find_unreadable(text, "x.yaml") == ()


@pytest.mark.parametrize(
    "sign",
    ["\x00", "\x0b", "\x7f", "\x85", "\xad", "\u200b", "\u2028", "\u202e", "\u2066", "\ufffe"],
    ids=ascii,
)
def test_signs_that_cannot_be_seen_are_refused(sign: str) -> None:
    assert [problem.code for problem in find_unreadable(f"a{sign}", "x.yaml")] == ["F103"]
    (problem,) = find_unreadable_in_value(f"a{sign}", HERE)
    assert problem.place == HERE
    assert problem.got.startswith(f"U+{ord(sign):04X}")


def test_a_carriage_return_made_by_a_code_is_refused_in_a_value() -> None:
    assert [problem.got for problem in find_unreadable_in_value("a\r", HERE)] == ["U+000D"]
    assert find_unreadable_in_value("a\n", HERE) == ()
