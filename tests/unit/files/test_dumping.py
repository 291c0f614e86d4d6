from __future__ import annotations

from fractions import Fraction

import pytest

from comity.core.days.partial import parse_partial_date
from comity.files.dumping import dump_yaml
from tests.samples import Choice, Circle, Colour, EveryValue, Group, Needed, Span


def test_a_record_is_written_as_a_person_would_write_it() -> None:
    value = EveryValue(
        line="Ward 3: dietetics",
        text="Two lines\n\n  of text",
        whole_number=12,
        share=Fraction(1, 2),
        hours=2250,
        yes_no_or_unknown=False,
        countries=("NO", "NZ"),
        lists=(("a", "b"), (), ("c\nd",)),
        hours_by_name={"ward": 720, "out-patients": 90},
        texts_by_name={},
        span=Span(start=0, end=1),
        spans=(),
        figure=Group(parts=(Circle(name="one", radius=3), Choice(parts=()))),
    )
    assert (
        dump_yaml(value)
        == """\
line: "Ward 3: dietetics"
text: |-
  Two lines

    of text
whole_number: 12
share: 50 %
hours: 37:30
yes_no_or_unknown: no
countries:
  - NO
  - NZ
lists:
  - - a
    - b
  - []
  - - |-
      c
      d
hours_by_name:
  ward: 12
  out-patients: 1:30
texts_by_name: {}
span:
  start: 1900-01-01
  end: 1900-01-02
spans: []
figure:
  all:
    - kind: circle
      name: one
      radius: 3
    - any: []
"""
    )


def test_a_record_of_defaults_is_an_empty_block() -> None:
    assert dump_yaml(EveryValue()) == "{}\n"


def test_a_needed_key_that_holds_nothing_says_so() -> None:
    value = Needed(
        name="A",
        since=parse_partial_date("unknown", margin=None),
        known=None,
        hours=None,
        colours=(Colour.GREEN,),
    )
    assert dump_yaml(value) == (
        "name: A\nsince: unknown\nknown: unknown\nhours:\ncolours:\n  - deep green\n"
    )


@pytest.mark.parametrize(
    "text", ["2019-05", "37:30", "..", "a-b", "Åsa", "50 %", "-3", "unknown", "a/b", "yes"]
)
def test_harmless_text_needs_no_quotes(text: str) -> None:
    assert dump_yaml(EveryValue(line=text)) == f"line: {text}\n"


@pytest.mark.parametrize(
    "text", ["null", "~", "a: b", "a #b", "- a", "*a", "&a", "!a", "#", "a:", "'", "[", "?", "a\tb"]
)
def test_text_that_yaml_would_take_for_more_is_quoted(text: str) -> None:
    assert dump_yaml(EveryValue(line=text)).startswith('line: "')
