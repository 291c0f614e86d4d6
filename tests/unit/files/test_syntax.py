from __future__ import annotations

import pytest
from yaml.error import Mark, MarkedYAMLError, YAMLError

from comity.files.syntax import explain
from comity.files.yaml import read_tree


@pytest.mark.parametrize(
    ("source", "told"),
    [
        ("a: b: c\n", "1:5 a second colon stands in the line, as if a key came before it"),
        ("a: 1\n  b: 2\n", "2:4 the line stands deeper than the one above allows"),
        ("a:\n    b: 1\n  c: 2\n", "3:3 the line fits no block above it"),
        (
            "a: 1\nhello\n",
            "2:1 the line has no colon, so it is neither a key nor the end of a text",
        ),
        ('a: "b\nc: 1\n', "1:4 a quotation mark is opened and never closed"),
        ("a: 'b\nc: 1\n", "1:4 a quotation mark is opened and never closed"),
        (
            "a: {b: 1\nc: 2\n",
            "1:4 a bracket is opened and not closed, or a comma is missing between two entries",
        ),
        ("a: @b\n", "1:4 a value cannot begin with @"),
        ("a: `b`\n", "1:4 a value cannot begin with `"),
        ("a: **b**\n", "1:4 the value begins like an alias (*) of YAML; these files do without"),
        ("a: & b\n", "1:4 the value begins like an anchor (&) of YAML; these files do without"),
        ("a: 1\n- b\n", "2:1 a list entry stands among keys"),
        ("- a\nb: 1\n", "2:1 a key stands among list entries"),
        ('a: "\\q"\n', "1:5 a backslash in double quotes begins a code, and this is none"),
        ('a: "\\xZZ"\n', "1:7 a backslash in double quotes begins a code, and this is none"),
        ("a: |x\n b\n", "1:5 after | or > nothing more may stand in the line"),
        ("a: ? b\n", "1:4 a value cannot begin with ?"),
        ("a: -\n", "1:4 a list cannot begin on its key's line"),
        ("a: [b,, c]\n", "1:7 an entry is missing here"),
        ('a: "b" c\n', "1:8 text follows a value that has already ended"),
        (": a\n", "1:1 a key must be a word or a few"),
        ("%FOO\n---\na: 1\n", "1:5 the line gives YAML an instruction; these files do without"),
        ("a: 1\n...\nb: 2\n", "3:1 text follows the end of the file's only document"),
        ("[" * 2000, "1:1001 the file is nested too deep"),
        ("\ta\n", "1:1 a tab stands before the text of this line"),
    ],
    ids=range(25),
)
def test_a_slip_is_told_in_plain_words_where_a_person_would_look(source: str, told: str) -> None:
    node, problems = read_tree(source, "x.yaml")
    assert node is None
    assert [f"{problem.place} {problem.message}" for problem in problems] == [f"x.yaml:{told}"]
    assert problems[0].hint


@pytest.mark.parametrize(
    ("error", "place"),
    [
        (MarkedYAMLError(None, None, "something new", Mark("x", 0, 2, 3, None, 0)), "3:4"),
        (MarkedYAMLError("something", None, "without a place"), "0:0"),
        (YAMLError("something else"), "0:0"),
    ],
    ids=["unknown", "without a mark", "without anything"],
)
def test_what_has_no_words_of_its_own_is_told_all_the_same(error: YAMLError, place: str) -> None:
    problem = explain(error, ["a: 1"], "x.yaml")
    assert f"{problem.code} {problem.place}" == f"F105 x.yaml:{place}"
    assert problem.message == "the file is not valid YAML from here on"
