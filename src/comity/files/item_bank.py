"""Banks of items and blueprints from their files, and back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Generic, TypeVar

from comity.core.exam.blueprints import Blueprint, unknown_domains
from comity.core.exam.items import Bank, Item
from comity.core.exam.writing import flaws_between, flaws_of, flaws_of_form
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.files.nodes import BlockNode, ListNode, TextNode
from comity.files.reading import place_of, read
from comity.files.yaml import read_text, read_tree

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from comity.core.declaring import Complaint
    from comity.core.declaring.fields import Path as ValuePath
    from comity.core.exam.writing_flaws import Flaw
    from comity.files.nodes import Node

T = TypeVar("T")
SORTS: Final = {"a bank of items": Bank, "a blueprint": Blueprint}
_NO_KIND: Final = "F206"


@dataclass(frozen=True, slots=True)
class Loaded(Generic[T]):
    """What stood in a file.

    Parameters
    ----------
    file : str
        As the user named it.
    value : object or None
        None where nothing could be made of the file.
    problems : tuple of Problem
        By place.
    places : mapping
        From paths such as ``("items", 0, "options", "b")`` to places.
    text : str
        What stands in the file, to show problems.
    """

    file: str
    value: T | None
    problems: tuple[Problem, ...]
    places: Mapping[ValuePath, Place]
    text: str

    def place_of(self, path: ValuePath) -> Place | None:
        """Return the place of a value, or of the nearest value that holds it."""
        return place_of(path, self.places)

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work; warnings do not."""
        return not has_errors(self.problems)


def load_bank(path: Path) -> Loaded[Bank]:
    """Return the bank of a file, with all that is wrong with it."""
    text, problems = read_text(path, str(path))
    return Loaded(str(path), None, problems, {}, text) if problems else read_bank(text, str(path))


def load_blueprint(path: Path) -> Loaded[Blueprint]:
    """Return the blueprint of a file, with all that is wrong with it."""
    text, problems = read_text(path, str(path))
    if problems:
        return Loaded(str(path), None, problems, {}, text)
    return read_blueprint(text, str(path))


def read_bank(text: str, file: str, *, blueprint: Blueprint | None = None) -> Loaded[Bank]:
    """Return the bank that stands in a text; with a blueprint, its domains are checked, too."""
    loaded = _read(text, file, Bank)
    if loaded.value is None or blueprint is None:
        return loaded
    found = (problem_of(each, loaded) for each in unknown_domains(loaded.value, blueprint))
    problems = sorted_by_place((*loaded.problems, *found))
    return Loaded(file, loaded.value, problems, loaded.places, text)


def read_blueprint(text: str, file: str) -> Loaded[Blueprint]:
    """Return the blueprint that stands in a text."""
    return _read(text, file, Blueprint)


def problem_of(complaint: Complaint, loaded: Loaded[T]) -> Problem:
    """Return the problem of a complaint about what a file holds, at its place."""
    return Problem(
        complaint.code,
        complaint.message,
        place=loaded.place_of(complaint.path),
        got=complaint.got,
        expected=complaint.expected,
        hint=complaint.hint,
        related=tuple(
            (place, says)
            for path, says in complaint.related
            if (place := loaded.place_of(path)) is not None
        ),
    )


def warnings_of(loaded: Loaded[Bank]) -> tuple[Problem, ...]:
    """Return a warning for each flaw in how the items of a file are written: advice, no bar."""
    if loaded.value is None:
        return ()
    items = loaded.value.items
    found = [(("items", n), flaw) for n, item in enumerate(items) for flaw in flaws_of(item)]
    between = ((("items",), flaw) for flaw in flaws_between(items))
    problems = (_warning(flaw, above, loaded) for above, flaw in (*found, *between))
    return sorted_by_place(problems)


def warnings_of_form(loaded: Loaded[Bank]) -> tuple[Problem, ...]:
    """Return a warning for what the keys of all items of a file, sat in a row, give away."""
    flaws = () if loaded.value is None else flaws_of_form(loaded.value.items)
    return tuple(_warning(flaw, ("items",), loaded) for flaw in flaws)


def _warning(flaw: Flaw, above: ValuePath, loaded: Loaded[Bank]) -> Problem:
    place = loaded.place_of((*above, *flaw.path))
    return Problem(
        flaw.code, flaw.message, place=place, severity="warning", got=flaw.got, hint=flaw.hint
    )


def _read(text: str, file: str, record: type[T]) -> Loaded[T]:
    node, problems = read_tree(text, file)
    if node is None:
        return Loaded(file, None, problems, {}, text)
    reading = read(node, record, sorts=SORTS)
    keyless = tuple(_without_key(node))
    places = {each.place for each in keyless}
    others = (p for p in reading.problems if p.code != _NO_KIND or p.place not in places)
    problems = sorted_by_place((*problems, *others, *keyless))
    return Loaded(file, reading.value, problems, reading.places, text)


def _without_key(node: Node) -> Iterator[Problem]:
    """Yield a problem for each item that does not say what is right.

    The reader would only miss its kind, since the kind is named by the key.
    """
    items = node.get("items") if isinstance(node, BlockNode) else None
    for entry in items.items if isinstance(items, ListNode) else ():
        if isinstance(entry, BlockNode) and not _says_key(entry):
            id_ = entry.get("id")
            named = f" {id_.text}" if isinstance(id_, TextNode) else ""
            yield Problem(
                "X201",
                f"the item{named} has no key",
                place=entry.place,
                expected="answer: b, answers: [a, c], number: 1450, or matches: {a: x, b: y}",
                hint="say which option is right, by its id",
            )


def _says_key(entry: BlockNode) -> bool:
    return any(key.text in Item.members() or key.text == Item.tag_key for key, _ in entry.entries)
