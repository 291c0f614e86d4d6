from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest
import yaml as pyyaml

from comity.core.problems import Place
from comity.files import yaml
from comity.files.nodes import BlockNode, ListNode, TextNode
from comity.files.yaml import read_text, read_tree

if TYPE_CHECKING:
    from pathlib import Path

LAUGHS = "a: &a [ha, ha]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)


def code_at(source: bytes | str) -> str:
    """Return code and place of the first problem."""
    node, problems = read_tree(source, "x.yaml")
    assert node is None
    return f"{problems[0].code} {problems[0].place}"


def value_of(source: str) -> TextNode:
    node, problems = read_tree(source, "x.yaml")
    assert problems == ()
    assert isinstance(node, BlockNode)
    value = node.get("a")
    assert isinstance(value, TextNode)
    return value


@pytest.mark.parametrize(
    "text",
    [
        "NO",
        "on",
        "2019",
        "2019-05-01",
        "1:30",
        "0915",
        "0x1F",
        "1e5",
        "null",
        "~",
        "yes",
        "=",
        ".inf",
    ],
)
def test_values_stay_what_was_typed(text: str) -> None:
    assert value_of(f"a: {text}\n").text == text


@pytest.mark.parametrize(
    ("source", "text", "is_quoted"),
    [
        ("a: b # c\n", "b", False),
        ("a:\tb\n", "b", False),
        ("a: ! b\n", "b", False),
        ("a: b\n  c\n", "b c", False),
        ("a: ''\n", "", True),
        ('a: "\\u00e9\\tx"\n', "é\tx", True),
        ("a: |\n  b\n   c\n", "b\n c\n", True),
        ("a: >-\n  b\n  c\n", "b c", True),
        ("a:\n", "", False),
    ],
)
def test_texts_are_read_as_yaml_says(source: str, text: str, *, is_quoted: bool) -> None:
    assert (value_of(source).text, value_of(source).is_quoted) == (text, is_quoted)


def test_only_an_unquoted_empty_value_is_blank() -> None:
    assert value_of("a:\n").is_blank
    assert not value_of("a: ''\n").is_blank


def test_every_node_knows_its_place() -> None:
    node, _ = read_tree("# first\na:\n  - b: [c, dd]\n", "x.yaml")
    assert isinstance(node, BlockNode)
    outer = node.get("a")
    assert isinstance(outer, ListNode)
    inner = outer.items[0]
    assert isinstance(inner, BlockNode)
    several = inner.get("b")
    assert isinstance(several, ListNode)
    assert [node.place, outer.place, inner.place, several.place] == [
        Place("x.yaml", 2, 1, 2),
        Place("x.yaml", 3, 3, 4),
        Place("x.yaml", 3, 5, 6),
        Place("x.yaml", 3, 8, 9),
    ]
    assert [item.place for item in several.items] == [
        Place("x.yaml", 3, 9, 10),
        Place("x.yaml", 3, 12, 14),
    ]
    assert inner.get("z") is None


def test_columns_count_characters_not_bytes_or_width() -> None:
    node, _ = read_tree("名前: é🙂: x\n".replace(": x", "; x"), "x.yaml")
    assert isinstance(node, BlockNode)
    assert node.entries[0][1].place == Place("x.yaml", 1, 5, 10)


@pytest.mark.parametrize(
    "text", ["\ufeffa: 1\n", "---\na: 1\n", "%YAML 1.2\n---\na: 1\n", "a: 1\n...\n"]
)
def test_marks_at_the_beginning_and_end_do_no_harm(text: str) -> None:
    for source in (text, text.encode()):
        node, problems = read_tree(source, "x.yaml")
        assert problems == ()
        assert isinstance(node, BlockNode)


@pytest.mark.parametrize(
    "source", ["", "\n\n", "# only\n", "---\n", " \t\n", "\ufeff", "---\n# c\n...\n"]
)
def test_an_empty_file_is_refused(source: str) -> None:
    assert code_at(source) == "F101 x.yaml:0:0"


@pytest.mark.parametrize(
    ("source", "found"),
    [
        (b"a: caf\xe9\n", "F102 x.yaml:1:7"),
        (b"\xef\xbb\xbfa: 1\nb: \xff\n", "F102 x.yaml:2:4"),
        ("a: 1".encode("utf-16"), "F102 x.yaml:0:0"),
        ("a: b\x00c", "F103 x.yaml:1:5"),
        ("a: 1\r\nb: \x1b[31m", "F103 x.yaml:2:4"),
        ("a: b\u2028c", "F103 x.yaml:1:5"),
        ("a: \u202eb", "F103 x.yaml:1:4"),
        ("a: \ufeffb", "F103 x.yaml:1:4"),
        ("a: \ud800", "F103 x.yaml:1:4"),
        ("a:\n\tb: 1\n", "F104 x.yaml:2:1"),
        ("a: 1\n\t\nb: 2\n", "F104 x.yaml:2:1"),
        ("a: b\n? ]\n", "F105 x.yaml:2:3"),
        ("a: 1\n", ""),
        ("[a]: b\n", "F112 x.yaml:1:1"),
        ("? {a: b}\n: b\n", "F112 x.yaml:1:4"),
        ("? \n: b\n", "F112 x.yaml:1:2"),
        ('" ": b\n', "F112 x.yaml:1:1"),
        ('"a\\nb": b\n', "F112 x.yaml:1:1"),
        (LAUGHS, "F107 x.yaml:1:4"),
        ("a: 1\nb: *a\n", "F107 x.yaml:2:4"),
        ("a: !!int 1\n", "F107 x.yaml:1:4"),
        ("a: !x [1]\n", "F107 x.yaml:1:4"),
        ("<<: {a: 1}\n", "F107 x.yaml:1:1"),
        ("a: 1\n---\nb: 1\n", "F108 x.yaml:2:1"),
        ("a: 1\n...\nb: 2\n", "F108 x.yaml:3:1"),
    ],
    ids=range(25),
)
def test_what_cannot_be_read_is_refused_at_its_place(source: bytes | str, found: str) -> None:
    if found:
        assert code_at(source) == found
    else:
        assert read_tree(source, "x.yaml")[1] == ()


@pytest.mark.parametrize(
    ("source", "code"),
    [
        (b"[" * 10_000_000, "F109"),
        (b"[" * 4_900_000, "F110"),
        (b"{a: " * 1_200_000, "F110"),
        (b"- " * 2_400_000, "F110"),
        (b"[" + b"a," * 2_400_000 + b"]", "F109"),
        (b"a: 1\n" * 900_000, "F106"),
        (b'a: "' + b"x\n" * 2_400_000, "F105"),
        (b"\n" * 4_900_000, "F101"),
        (b" " * 4_900_000 + b"\tx", "F104"),
        (b"? " * 2_400_000, "F110"),
    ],
    ids=range(10),
)
def test_hostile_files_are_refused_in_a_moment(source: bytes, code: str) -> None:
    started = time.process_time()
    node, problems = read_tree(source, "x.yaml")
    assert node is None
    assert problems[0].code == code
    # Some 0.5 s on one core of 2024; the allowance is for slow machines.
    assert time.process_time() - started < 10


def test_a_duplicate_key_is_told_with_both_places_and_the_rest_is_read() -> None:
    node, problems = read_tree("a: 1\nb:\n  c: 1\n  c: 2\na: 3\n", "x.yaml")
    assert isinstance(node, BlockNode)
    assert [(problem.code, str(problem.place), problem.related) for problem in problems] == [
        ("F106", "x.yaml:4:3", ((Place("x.yaml", 3, 3, 4), "first time"),)),
        ("F106", "x.yaml:5:1", ((Place("x.yaml", 1, 1, 2), "first time"),)),
    ]
    assert [key.text for key, _ in node.entries] == ["a", "b"]


def test_forty_levels_are_read_and_one_more_is_refused() -> None:
    node, problems = read_tree("[" * 40 + "]" * 40, "x.yaml")
    assert node is not None
    assert problems == ()
    assert code_at("[" * 41 + "]" * 41) == "F110 x.yaml:1:41"


def test_a_file_is_read_from_its_path(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\n")
    assert read_tree(path, "x.yaml") == read_tree("a: 1\n", "x.yaml")
    assert read_text(path, "x.yaml") == ("a: 1\n", ())


@pytest.mark.parametrize(
    "name", ["missing.yaml", ".", "a\0b"], ids=["missing", "folder", "impossible"]
)
def test_a_file_that_cannot_be_opened_is_a_problem(name: str, tmp_path: Path) -> None:
    node, problems = read_tree(tmp_path / name, "x.yaml")
    assert node is None
    assert [(problem.code, str(problem.place)) for problem in problems] == [("F111", "x.yaml:0:0")]


def test_the_parser_in_python_refuses_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    sources = [
        "a: b: c\n", "a: 1\n  b: 2\n", "a: 1\nb\nc: 1\n", 'a: "b\n', "a: [1\nb: 2\n", "a: @b\n",
        "a: *b*\n", "a: 1\n- b\n", "- a\nb: 1\n", "a:\n\tb: 1\n", "a: 1\n...\nb: 2\n", 'a: "b" c\n',
        ": a\n", "a: - b\n", "a: [b,, c]\n", "a: |x\n b\n", "a: ? b\n", "%YAML 2.0\n---\na: 1\n",
        '"a\\xZZ": 1\n', "[" * 41,
    ]  # fmt: skip
    in_c = [read_tree(source, "x.yaml")[1][0].message for source in sources]
    monkeypatch.setattr(yaml, "_LOADER", pyyaml.SafeLoader)
    assert [read_tree(source, "x.yaml")[1][0].message for source in sources] == in_c
