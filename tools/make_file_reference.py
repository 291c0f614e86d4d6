"""Write the references of the kinds of file: ``python -m tools.make_file_reference``.

The pages are derived from the declarations in the core and checked by tests/test_docs.py.
"""

from __future__ import annotations

import inspect
from dataclasses import dataclass, is_dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import yaml

from comity.core.declaring import SCALARS, fields_of
from comity.core.declaring.shapes import (
    ChoiceShape,
    ListShape,
    MappingShape,
    RecordShape,
    ScalarShape,
    Shape,
    TaggedShape,
    YesNoShape,
)
from comity.core.declaring.tagged import Tagged
from comity.core.exam.blueprints import Blueprint
from comity.core.exam.items import Bank
from comity.core.facts.model import Applicant
from comity.core.rulebook.editions import walk
from comity.core.rulebook.kinds import every
from comity.core.rulebook.kinds.base import Requirement
from comity.core.rulebook.model import Edition
from comity.core.rulebook.prose import sentence
from comity.files.dumping import dump_yaml
from comity.files.reading import read
from comity.files.yaml import read_tree
from tools.day_by_day import DAY_BY_DAY, OPENING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from comity.core.declaring.fields import DeclaredField

EXAMPLES = Path(__file__).parent.parent / "tests" / "assets" / "prose" / "sentences.yaml"
FOLDER = Path(__file__).parent.parent / "docs" / "reference"
NOTE = "<!-- Made by `python -m tools.make_file_reference`; change the declarations instead. -->"
COMMON = Requirement
KNOWN_KINDS = every.MODULES  # a kind is known once its module is imported


@dataclass(frozen=True, slots=True)
class Page:
    """One page: the record that a file holds, and what to say first."""

    path: Path
    title: str
    opening: str
    record: type


PAGES = (
    Page(
        FOLDER / "applicant-file.md",
        "Applicant file",
        "What a file about one applicant may hold. How to write one: [write an applicant"
        " file](../how-to/write-an-applicant-file.md).",
        Applicant,
    ),
    Page(
        FOLDER / "rulebook-file.md",
        "Rulebook file",
        "What an edition of a rulebook may hold. How to write one: [write a"
        " rulebook](../how-to/write-a-rulebook.md).",
        Edition,
    ),
    Page(
        FOLDER / "item-file.md",
        "Item file",
        "What a bank of examination items may hold. How to write one: [write"
        " items](../how-to/write-items.md).",
        Bank,
    ),
    Page(
        FOLDER / "blueprint-file.md",
        "Blueprint file",
        "What a blueprint of an examination may hold. How to use one: [write"
        " items](../how-to/write-items.md).",
        Blueprint,
    ),
)


def reference(page: Page) -> str:
    """Return the page: its records, each with its keys, then what single values look like."""
    elsewhere = {other.record for other in PAGES} - {page.record}
    records = records_below(page.record, elsewhere=elsewhere)
    parts = [f"# {page.title}", NOTE, page.opening]
    parts += [section_of(record) for record in records if not _is_kind(record)]
    if COMMON in records:
        parts.append(
            "## Kinds of requirement\n\nBeside its own keys, each has those of every kind."
        )
        parts.append(OPENING)
        parts += [section_of(record) for record in records if _is_kind(record)]
    return "\n\n".join([*parts, values_section()]) + "\n"


def records_below(record: type, *, elsewhere: set[type]) -> list[type]:
    """Return the record and all that it may contain, in reading order, each once.

    What has a page of its own is left out, with all that only it contains.
    """
    seen: dict[type, None] = {}
    open_ones = [record]
    while open_ones:
        current = open_ones.pop(0)
        if current not in seen and current not in elsewhere:
            seen[current] = None
            found = [inner for field in fields_of(current) for inner in _records_in(field.shape)]
            open_ones = [*found, *open_ones]
    return list(seen)


def _records_in(shape: Shape) -> Iterator[type]:
    match shape:
        case ListShape(item) | MappingShape(item):
            yield from _records_in(item)
        case RecordShape(record):
            yield record
        case TaggedShape(family):
            yield family
            yield from family.members().values()
        case _:
            return


def _is_kind(record: type) -> bool:
    return issubclass(record, COMMON) and record is not COMMON


def _family_of(record: type) -> type | None:
    """Return the dataclass whose keys a member of its family shares; None where there is none."""
    bases = (base for base in record.__mro__[1:] if Tagged in base.__bases__)
    return next((base for base in bases if is_dataclass(base)), None)


def section_of(record: type) -> str:
    """Return a record's section: what it is, then a table of its keys."""
    family = _family_of(record)
    common = {field.key for field in fields_of(family)} if family else set()
    level = "###" if _is_kind(record) else "##"
    rows = [_row(field) for field in fields_of(record) if field.key not in common]
    parts = [f"{level} {name_of(record)}", inspect.getdoc(record) or ""]
    if family and not _is_kind(record):
        parts.append(f"Beside these it has the keys of every {_link_to(family)}.")
    if _is_kind(record):
        parts.append(DAY_BY_DAY[record.kind])  # type: ignore[attr-defined]  # every kind says it
    if rows:
        parts.append("\n".join(["| key | value | meaning |", "|---|---|---|", *rows]))
    if _is_kind(record):
        parts.append(example_of(record))
    return "\n\n".join(parts)


def example_of(kind: type) -> str:
    """Return a requirement of the kind as it stands in a file, and how Comity says it."""
    shown = next(each for each in _examples() if type(each) is kind)
    said = sentence(shown)
    return f"```yaml\n{dump_yaml(shown)}```\n\nSaid: {said}{'' if said.endswith('?') else '.'}"


@cache
def _examples() -> tuple[Requirement, ...]:
    """Return every requirement of the assets that tests read, outermost first."""
    found = []
    for entry in yaml.safe_load(EXAMPLES.read_text(encoding="utf-8")):
        node, _ = read_tree(entry["requirement"], EXAMPLES.name)
        value = None if node is None else read(node, COMMON).value
        found += [] if value is None else [part for _, part in walk(value)]
    return tuple(found)


def name_of(record: type) -> str:
    """Return what the reference calls a record: its kind as it is written, or its name in words."""
    if _is_kind(record):
        return f"`kind: {record.kind}`"  # type: ignore[attr-defined]  # every kind says it
    words = "".join(f" {each.lower()}" if each.isupper() else each for each in record.__name__)
    return words.strip().capitalize()


def _row(field: DeclaredField) -> str:
    value = _words_for(field.shape)
    if field.example:
        value += f", as `{field.example}`"
    meaning = field.doc
    if field.is_required:
        meaning = f"**Required.** {meaning}"
    elif (default := _default_of(field)) is not None:
        meaning = f"{meaning} Left out: {default}."
    return f"| `{field.key}` | {value} | {meaning} |"


def _words_for(shape: Shape) -> str:
    match shape:
        case ScalarShape(scalar):
            words = scalar.name
        case ChoiceShape(values):
            words = ", ".join(f"`{word}`" for word, _ in values)
        case YesNoShape():
            words = "`yes` or `no`"
        case ListShape(item):
            words = f"list of: {_words_for(item)}"
        case MappingShape(item):
            words = f"names, each with: {_words_for(item)}"
        case RecordShape(record) | TaggedShape(record):
            words = _link_to(record)
    return words


def _link_to(record: type) -> str:
    own_page = next((page.path.name for page in PAGES if page.record is record), "")
    name = name_of(record).lower()
    return f"[{name}]({own_page or '#' + name.replace(' ', '-')})"


def _default_of(field: DeclaredField) -> str | None:
    if field.default is None or (not field.default and not isinstance(field.default, bool)):
        return None
    match field.shape:
        case ScalarShape(scalar):
            return f"`{scalar.write(field.default)}`"
        case YesNoShape():
            return "`yes`" if field.default else "`no`"
        case ChoiceShape():
            return f"`{field.default}`"
        case ListShape(ChoiceShape()):
            return f"`[{', '.join(map(str, field.default))}]`"  # type: ignore[call-overload]
        case _:
            return None


def values_section() -> str:
    """Return the section on single values, from their declarations."""
    rows = [f"| {each.name} | {each.noun} | `{each.example}` |" for each in SCALARS.values()]
    return "\n".join(
        ["## Single values", "", "| called | is | as |", "|---|---|---|", *rows],
    )


if __name__ == "__main__":
    for page in PAGES:
        page.path.write_text(reference(page), encoding="utf-8")
