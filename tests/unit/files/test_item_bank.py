"""Banks and blueprints from files and back; messages stand in ``assets/bad``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import jsonschema
import pytest

from comity.core.exam.blueprints import Blueprint, quotas
from comity.core.exam.items import Bank, BestAnswer, Matching, NumberAnswer, SeveralAnswers
from comity.files.dumping import dump_yaml
from comity.files.item_bank import load_bank, load_blueprint, read_bank, read_blueprint
from comity.files.schema import as_editors_see, json_schema
from comity.files.yaml import read_tree

if TYPE_CHECKING:
    from collections.abc import Callable

    from comity.files.item_bank import Loaded

ROOT = Path(__file__).parents[3]
OUTLINE = ROOT / "src" / "comity" / "bank" / "blueprints" / "dietetics.yaml"
EVERY_KIND = ROOT / "tests" / "assets" / "items" / "every-kind.yaml"


def test_each_kind_is_told_by_the_key_that_says_what_is_right() -> None:
    loaded = load_bank(EVERY_KIND)
    assert loaded.problems == ()
    assert loaded.value is not None
    kinds = [type(item) for item in loaded.value.items]
    assert kinds == [BestAnswer, SeveralAnswers, NumberAnswer, Matching]
    assert loaded.is_sound


@pytest.mark.parametrize(
    ("load", "read", "path"),
    [(load_bank, read_bank, EVERY_KIND), (load_blueprint, read_blueprint, OUTLINE)],
)
def test_what_is_written_out_reads_as_the_same(
    load: Callable[[Path], Loaded[Bank]], read: Callable[[str, str], Loaded[Bank]], path: Path
) -> None:
    loaded = load(path)
    assert loaded.problems == ()
    assert loaded.value is not None
    assert read(dump_yaml(loaded.value), "again.yaml").value == loaded.value


@pytest.mark.parametrize(("record", "path"), [(Bank, EVERY_KIND), (Blueprint, OUTLINE)])
def test_the_schema_takes_what_the_reader_takes(record: type, path: Path) -> None:
    node, _problems = read_tree(path, path.name)
    assert node is not None
    validator = jsonschema.Draft202012Validator(json_schema(record, title=record.__name__))
    assert [error.message for error in validator.iter_errors(as_editors_see(node))] == []


def test_the_outline_gives_a_form_of_a_hundred_by_its_own_shares() -> None:
    outline = load_blueprint(OUTLINE).value
    assert outline is not None
    assert len(outline.domains) == 9
    by_domain: dict[str, int] = {}
    for (domain, _level), count in quotas(outline, 100).items():
        by_domain[domain] = by_domain.get(domain, 0) + count
    assert list(by_domain.values()) == [12, 18, 7, 30, 6, 9, 10, 4, 4]


def test_all_items_without_a_key_are_told_in_one_run() -> None:
    head = "bank: x\nitems:\n"
    item = "  - {id: i, domain: d, level: recall, stem: s, source: s, options: {a: x, b: y}}\n"
    loaded = read_bank(head + item + item, "two.yaml")
    assert [(p.code, str(p.place)) for p in loaded.problems] == [
        ("X201", "two.yaml:3:6"),
        ("X201", "two.yaml:4:6"),
    ]
    assert not loaded.is_sound


def test_an_item_with_two_keys_is_told_to_be_two() -> None:
    item = "{id: i, domain: d, level: recall, stem: s, source: s, answer: a, number: 2}"
    loaded = read_bank(f"bank: x\nitems:\n  - {item}\n", "x.yaml")
    assert [(p.code, p.got) for p in loaded.problems] == [("F206", "both answer and number")]


def test_what_is_no_bank_at_all_keeps_its_own_problem() -> None:
    assert [p.code for p in read_bank("- a\n", "x.yaml").problems] == ["F201"]
    assert [p.code for p in read_bank("", "x.yaml").problems] == ["F101"]


@pytest.mark.parametrize("load", [load_bank, load_blueprint])
def test_a_file_that_is_not_there_is_a_problem_and_no_trace(
    tmp_path: Path, load: Callable[[Path], Loaded[Bank]]
) -> None:
    loaded = load(tmp_path / "none.yaml")
    assert [problem.code for problem in loaded.problems] == ["F111"]
    assert loaded.value is None


def test_a_place_is_known_for_every_option() -> None:
    loaded = load_bank(EVERY_KIND)
    place = loaded.place_of(("items", 0, "options", "b"))
    assert place is not None
    assert "Transferrin" in loaded.text.splitlines()[place.line - 1]
