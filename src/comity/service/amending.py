"""A fact put into the text of an applicant file, the rest of the text left as it is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from comity.core.facts.model import Applicant, Entry, Facts, Person, Results
from comity.core.facts.sections import entries_of
from comity.files.applicants import read_applicant
from comity.files.dumping import dump_yaml
from comity.files.nodes import BlockNode, ListNode, Node, TextNode
from comity.files.yaml import read_tree
from comity.service.applicant_parts import place_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_STEP: Final = "  "
_PARTS: Final = {"facts": Facts, "results": Results}
_HERE: Final = "here.yaml"


def amended(text: str, applicant: Applicant, path: str) -> str:
    """Return the text of a file in which a fact stands as the applicant now has it.

    Comments and layout are kept; where the fact cannot be put into the text (into entries written
    on one line, for instance), the file is written anew and only the comments at its head stay.

    Parameters
    ----------
    text : str
        The file as it stands; it differs from `applicant` in the fact only.
    applicant : Applicant
        With the fact.
    path : str
        Of the fact, as ``practice`` or ``practice/post-2/start``; ``asked`` for that list.
    """
    for candidate in _candidates(text, applicant, path):
        if read_applicant(candidate, _HERE).applicant == applicant:
            return candidate
    return "".join(head_of(text)) + dump_yaml(applicant)


def head_of(text: str) -> Iterator[str]:
    """Yield the comment lines with which a file begins."""
    for line in text.splitlines(keepends=True):
        if not line.startswith("#"):
            return
        yield line


def _candidates(text: str, applicant: Applicant, path: str) -> Iterator[str]:
    root, _problems = read_tree(text.encode("utf-8"), _HERE)
    if not isinstance(root, BlockNode):
        return
    keys, lines = _change(applicant, path)
    known: list[Node] = [root]
    for depth, key in enumerate(keys):
        inner = _inside(known[-1], key)
        if inner is None:
            yield _with_lines(text, root, known[-1], lines=_wrapped(keys[depth:], lines))
            return
        known.append(inner)
    yield from _replaced(text, known, key=keys[-1], lines=lines)


def _change(applicant: Applicant, path: str) -> tuple[tuple[str, ...], Sequence[str]]:
    """Return the keys that lead to a fact, and the lines of the last key with its value."""
    section, *rest = path.split("/")
    if section == "asked":
        return ("asked",), _lines_of(Applicant(applicant="x", asked=applicant.asked), 1)
    if section == "person":
        field = rest[0]
        person = Person(**{field: getattr(applicant.facts.person, field)})
        return ("facts", "person", field), _lines_of(person, 0)
    place = place_of(section)
    if not rest or section == "declarations":
        return place, _section_lines(applicant, section, place)
    entry = next(each for each in entries_of(applicant, section) or () if each.id == rest[0])
    bare = type(entry)(**{**_required(entry), rest[1]: getattr(entry, rest[1])})
    n_required = len(_required(entry))
    return (*place, rest[0], rest[1]), _lines_of(bare, n_required)


def _required(entry: Entry) -> dict[str, Any]:
    names = {"id", "of", "kind", "test", "examination", "milestone"}
    return {name: getattr(entry, name) for name in names if _is_required(entry, name)}


def _is_required(entry: Entry, name: str) -> bool:
    return hasattr(entry, name) and isinstance(getattr(entry, name), str)


def _section_lines(applicant: Applicant, section: str, place: tuple[str, ...]) -> Sequence[str]:
    entries = tuple(entries_of(applicant, section) or ())
    if len(place) == 1:
        top: dict[str, Any] = {section: entries}
        return _lines_of(replace(Applicant(applicant="x"), **top), 1)
    return _lines_of(_PARTS[place[0]](**{section: entries}), 0)


def _lines_of(record: Any, n_skipped: int) -> Sequence[str]:  # noqa: ANN401
    return dump_yaml(record).splitlines()[n_skipped:]


def _wrapped(keys: Sequence[str], lines: Sequence[str]) -> Sequence[str]:
    """Return lines below the keys that are not there yet; the last key stands in the lines."""
    for key in reversed(keys[:-1]):
        lines = [f"{key}:", *(f"{_STEP}{line}" for line in lines)]
    return lines


def _inside(node: Node, key: str) -> Node | None:
    if isinstance(node, BlockNode):
        return node.get(key)
    if isinstance(node, ListNode):
        return next(
            (
                item
                for item in node.items
                if isinstance(item, BlockNode)
                and isinstance(name := item.get("id"), TextNode)
                and name.text == key
            ),
            None,
        )
    return None


def _with_lines(text: str, root: BlockNode, node: Node, *, lines: Sequence[str]) -> str:
    """Return the text with lines of a new key in a block of keys."""
    rows = text.splitlines()
    row, column = node.place.line - 1, node.place.column - 1
    if not isinstance(node, BlockNode):
        return text
    before, behind = rows[row][:column], rows[row][column:]
    if before.rstrip().endswith("{"):
        rows[row] = f"{before}{', '.join(_on_one_line(lines))}, {behind}"
    else:
        after = _end_of(root, node, rows)
        rows[after:after] = [f"{' ' * column}{line}" if line else line for line in lines]
    return "\n".join(rows) + "\n"


def _on_one_line(lines: Sequence[str]) -> Iterator[str]:
    """Yield lines of a key with its values as they stand between braces."""
    if len(lines) == 1:
        yield lines[0]
    elif lines[1].startswith(f"{_STEP}- "):
        yield f"{lines[0]} [{', '.join(line.strip().removeprefix('- ') for line in lines[1:])}]"
    else:
        yield f"{lines[0]} {{{', '.join(line.strip() for line in lines[1:])}}}"


def _end_of(root: BlockNode, node: BlockNode, rows: Sequence[str]) -> int:
    """Return the row behind a block: before the next key or entry, and before its comments."""
    inner = set(_rows_in(node))
    later = [row for row in _rows_in(root) if row > node.place.line - 1 and row not in inner]
    end = min((row for row in later if row > max(inner)), default=len(rows))
    while end > 0 and (not rows[end - 1].strip() or rows[end - 1].lstrip().startswith("#")):
        end -= 1
    return end


def _rows_in(node: Node) -> Iterator[int]:
    yield node.place.line - 1
    if isinstance(node, BlockNode):
        for key, value in node.entries:
            yield key.place.line - 1
            yield from _rows_in(value)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _rows_in(item)


def _replaced(text: str, known: Sequence[Node], *, key: str, lines: Sequence[str]) -> Iterator[str]:
    """Yield the text with another value behind a key, or with one entry more in a list."""
    value, block = known[-1], known[-2]
    rows = text.splitlines()
    if isinstance(value, ListNode) and value.items:
        yield _with_entry(rows, value, lines)
    if isinstance(value, TextNode) and len(lines) == 1 and isinstance(block, BlockNode):
        name = next(each for each, _value in block.entries if each.text == key)
        row, start = name.place.line - 1, name.place.column - 1 + len(key)
        end = start + 1
        if not value.is_blank:
            if value.place.line != name.place.line:
                return
            end = value.place.column - 1 + len(value.text) + 2 * value.is_quoted
        rows[row] = rows[row][:start] + lines[0].removeprefix(key) + rows[row][end:]
        yield "\n".join(rows) + "\n"


def _with_entry(rows: Sequence[str], node: ListNode, lines: Sequence[str]) -> str:
    """Return the rows with the last entry of the lines put behind the list's last entry."""
    starts = [number for number, line in enumerate(lines) if line.startswith(f"{_STEP}- ")]
    row, column = node.place.line - 1, node.place.column - 1
    changed = list(rows)
    if rows[row][column : column + 1] == "[":
        new = lines[starts[-1]].strip().removeprefix("- ")
        changed[row] = f"{rows[row][: column + 1]}{new}, {rows[row][column + 1 :]}"
    else:
        end = max(_rows_in(node))
        changed[end + 1 : end + 1] = [
            " " * column + line.removeprefix(_STEP) for line in lines[starts[-1] :]
        ]
    return "\n".join(changed) + "\n"
