from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from comity.core.facts.model import Applicant
from comity.core.rulebook.kinds.every import KINDS
from comity.core.rulebook.model import Edition
from comity.files.nodes import BlockNode
from comity.files.reading import read
from comity.files.schema import as_editors_see, json_schema
from comity.files.yaml import read_tree
from tests.samples import EveryValue, Figure, Needed

ROOT = Path(__file__).parents[3]
OURS = re.compile("^(applicant|rulebook):", re.MULTILINE)
SCHEMAS: dict[str, dict[str, Any]] = {
    record.__name__: json_schema(record, title=record.__name__)
    for record in (Applicant, Edition, EveryValue, Figure, Needed)
}
FILES = sorted(
    path
    for folder in ("src/comity/demo", "tests/published", "tests/assets")
    for path in (ROOT / folder).rglob("*.yaml")
    if "bad" not in path.parts and OURS.search(path.read_text(encoding="utf-8"))
)


def errors_of(name: str, source: str) -> list[str]:
    node, problems = read_tree(source, "x.yaml")
    assert problems == ()
    assert node is not None
    validator = jsonschema.Draft202012Validator(SCHEMAS[name])
    return [error.message for error in validator.iter_errors(as_editors_see(node))]


@pytest.mark.parametrize("name", SCHEMAS)
def test_each_schema_is_one_by_its_own_dialect(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[name])
    assert SCHEMAS[name]["title"] == name


def test_a_property_is_described_with_its_sentence_example_and_bounds() -> None:
    properties = SCHEMAS["EveryValue"]["$defs"]["EveryValue"]["properties"]
    assert properties["line"] == {
        "description": "A line.",
        "anyOf": [{"type": ["string", "number", "boolean"]}, {"type": "null"}],
        "examples": ["Ward 3"],
    }
    assert properties["whole_number"]["anyOf"][0]["minimum"] == 0
    assert properties["countries"]["anyOf"][0]["maxItems"] == 3


def test_the_schema_of_rulebooks_knows_every_kind() -> None:
    definitions = SCHEMAS["Edition"]["$defs"]
    assert {member.__name__ for member in KINDS.values()} <= set(definitions)


def test_needed_keys_are_required_and_others_refused() -> None:
    needed = SCHEMAS["Needed"]["$defs"]["Needed"]
    assert needed["required"] == ["name", "since", "known", "hours", "colours"]
    assert needed["additionalProperties"] is False
    assert needed["description"] == "Keys that must be there, some of which may hold nothing."


def test_the_members_of_a_family_are_told_apart_by_kind_or_key() -> None:
    definitions = SCHEMAS["Figure"]["$defs"]
    assert [each["then"]["$ref"] for each in definitions["Figure"]["allOf"]] == [
        "#/$defs/Circle",
        "#/$defs/Group",
        "#/$defs/Choice",
    ]
    assert definitions["Circle"]["required"] == ["kind", "radius"]
    assert definitions["Group"]["required"] == ["all"]


@pytest.mark.parametrize(
    "source",
    [
        "line: 2019\nidentifier: 0915\npartial_date: 2019\ncountry: NO\nlanguage: no\n",
        "choice: 3\nyes_or_no: yes\nyes_no_or_unknown: unknown\ncountries: NZ\n",
        "hours: 37:30\nshare: 50 %\nnumber: 1/3\nwhole_number:\nspan:\n",
        "number: 7.50\nyes_or_no: true\nlists: [[a, ~x]]\nhours: 37.5\nline: .5e3\n",
        "text: 1.\nfigure: {kind: any, any: []}\n",
        "number: '37.5'\nhours: '12'\nshare: '0.5'\nwhole_number: '90'\nperiod: P2Y\n",
        "figure:\n  all:\n    - kind: circle\n      radius: 3\n    - any: []\n",
    ],
)
def test_what_the_reader_takes_the_schema_takes(source: str) -> None:
    node, _ = read_tree(source, "x.yaml")
    assert node is not None
    assert read(node, EveryValue).problems == ()
    assert errors_of("EveryValue", source) == []


@pytest.mark.parametrize(
    "source",
    [
        "lime: x\n",
        "whole_number: x\n",
        "whole_number: -1\n",
        "country: nz\n",
        "choice: sene\n",
        "yes_or_no: maybe\n",
        "countries: [NZ, NZ, NZ, NZ]\n",
        "span: {start: 2019-01-01}\n",
        "figure: {kind: square}\n",
        "figure: {radius: 3}\n",
        "figure: {all: [{kind: circle, radius: 100}]}\n",
        "figure: {all: [], any: []}\n",
        "hours_by_name: [1]\n",
        "money: 120\n",
        "date: 03/05/2019\n",
        "partial_date: May 2019\n",
    ],
)
def test_what_an_editor_can_see_amiss_the_schema_refuses(source: str) -> None:
    assert errors_of("EveryValue", source)


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_schema_and_reader_agree_on_every_file_of_ours(path: Path) -> None:
    node, problems = read_tree(path, path.name)
    assert problems == ()
    assert node is not None
    assert isinstance(node, BlockNode)
    record = Applicant if node.get("applicant") else Edition
    assert read(node, record).problems == ()
    assert errors_of(record.__name__, path.read_text(encoding="utf-8")) == []
