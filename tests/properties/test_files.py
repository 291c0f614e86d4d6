from __future__ import annotations

import jsonschema
import pytest
from hypothesis import example, given

from comity.files.dumping import dump_yaml
from comity.files.reading import read
from comity.files.rendering import MAX_SHOWN, as_json, render
from comity.files.schema import as_editors_see, json_schema
from comity.files.yaml import read_text, read_tree
from tests.properties.effort import examples
from tests.properties.files_strategies import any_bytes, any_text, every_value, yaml_like
from tests.samples import EveryValue

SCHEMA = jsonschema.Draft202012Validator(json_schema(EveryValue, title="Every value"))


class TestWhateverStandsInAFile:
    @examples(150)
    @given(any_bytes)
    @example(b"\xff\xfea\x00")
    @example(b"\xef\xbb\xbf")
    @example(b"%YAML 9.9\n---\n")
    @example(b"!<tag:yaml.org,2002:python> x")
    def test_bytes_are_read_or_refused_with_a_problem(self, data: bytes) -> None:
        node, problems = read_tree(data, "x.yaml")
        assert (node is not None) or problems

    @examples(150)
    @given(any_text)
    @example("\ud800")
    @example("a: \\ud800")
    @example("? ? ?")
    def test_text_is_read_or_refused_and_shown(self, source: str) -> None:
        text, _ = read_text(source, "x.yaml")
        node, problems = read_tree(source, "x.yaml")
        if node is not None:
            problems += read(node, EveryValue).problems
        shown = render(problems, {"x.yaml": text})
        assert shown.count(": error F") >= min(len(problems), MAX_SHOWN)
        assert len(as_json(problems)) == len(problems)
        assert all(
            character.isprintable() or character == "\n"
            for character in shown
            if character < "\x80"
        )

    @examples(150)
    @given(yaml_like)
    @example("number: 9" + "9" * 20)
    @example("identifier: 1e5")
    @example("choice: '3'")
    def test_what_the_reader_takes_the_schema_takes(self, source: str) -> None:
        node, problems = read_tree(source, "x.yaml")
        if node is not None and not problems and not read(node, EveryValue).problems:
            SCHEMA.validate(as_editors_see(node))


class TestWhatWasWritten:
    @examples(80)
    @given(every_value)
    def test_is_read_as_the_same_and_is_good_for_editors(self, value: EveryValue) -> None:
        text = dump_yaml(value)
        node, problems = read_tree(text, "x.yaml")
        assert problems == ()
        assert node is not None
        reading = read(node, EveryValue)
        assert reading.problems == ()
        assert reading.value == value
        assert dump_yaml(reading.value) == text
        SCHEMA.validate(as_editors_see(node))


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_make_no_difference(end: str) -> None:
    text = dump_yaml(EveryValue(text="two\n\nlines", whole_number=3, countries=("NZ", "AU")))
    node, _ = read_tree(text.replace("\n", end).encode(), "x.yaml")
    same, _ = read_tree(text, "x.yaml")
    assert node == same
