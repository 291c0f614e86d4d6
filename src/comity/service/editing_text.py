"""The text of an applicant file with one part of it changed; the rest stays as it was written."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from comity.core.facts.sections import entries_of
from comity.files.applicants import read_applicant
from comity.files.dumping import dump_yaml
from comity.files.nodes import BlockNode, ListNode, Node, TextNode
from comity.files.yaml import read_tree
from comity.service.amending import head_of
from comity.service.applicant_parts import place_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.facts.model import Applicant
    from comity.files.applicants import LoadedApplicant

_HERE: Final = "the applicant's file"
_STEP: Final = "  "
_PLACES: Final[Mapping[str, tuple[str, ...]]] = {
    "about": (),
    "person": ("facts", "person"),
    "preferences": ("preferences",),
    "reviews": ("results", "reviews"),
}


@lru_cache(maxsize=256)
def read_once(text: str) -> LoadedApplicant:
    """Return what stands in a file; one text is read once while it is worked on."""
    return read_applicant(text, _HERE)


def keys_of(section: str) -> tuple[str, ...]:
    """Return the keys under which a section stands in the file."""
    return _PLACES[section] if section in _PLACES else place_of(section)


def rewritten(text: str, *, before: Applicant, after: Applicant, section: str, entry: str) -> str:
    """Return the text of a file after a change of one entry.

    Comments and layout stay, as far as the change leaves their lines; what cannot be put into the
    text that way is written anew: the entry, then its section, then the file, whichever is the
    least that reads as `after`.

    Parameters
    ----------
    text : str
        The file as it stands; it reads as `before`.
    before, after : Applicant
        The facts, which differ in the entry only.
    section : str
        One of the file's sections, or ``about``, ``person``, ``preferences``.
    entry : str
        Id of the entry in a list; empty for the whole of what is no list.
    """
    for candidate in _candidates(text, before, after, section=section, entry=entry):
        if candidate is not None and read_once(candidate).applicant == after:
            return candidate
    return "".join(head_of(text)) + dump_yaml(after)


def _candidates(
    text: str, before: Applicant, after: Applicant, *, section: str, entry: str
) -> Iterator[str | None]:
    keys = keys_of(section)
    old, new = (_record(each, section, entry) for each in (before, after))
    here = (*keys, entry) if entry else keys
    if old is not None and new is not None:
        yield _field_by_field(text, old, new, keys=here)
    if keys:
        whole = _lines_at(after, keys)
        if entry:
            yield _put(text, here, None if new is None else _as_item(new))
        yield _put(text, keys, whole)
        yield _put(text, keys[:1], _lines_at(after, keys[:1]))


def _record(applicant: Applicant, section: str, entry: str) -> Any:  # noqa: ANN401
    """Return what is changed: an entry of a list, or a record of its own."""
    if section == "about":
        return applicant
    if not entry:
        return {"person": applicant.facts.person, "preferences": applicant.preferences}.get(section)
    return next((each for each in entries_of(applicant, section) or () if each.id == entry), None)


def _lines_at(applicant: Applicant, keys: Sequence[str]) -> Sequence[str] | None:
    """Return the lines of a key of the file, or of its facts or results; None where none stands."""
    holder: Any = applicant
    for key in keys[:-1]:
        holder = getattr(holder, key)
    return lines_by_key(holder).get(keys[-1])


def _as_item(record: Any) -> Sequence[str]:  # noqa: ANN401
    first, *rest = dump_yaml(record).splitlines()
    return [f"- {first}", *(_STEP + line if line else line for line in rest)]


def lines_by_key(record: Any) -> dict[str, Sequence[str]]:  # noqa: ANN401
    """Return the lines with which a record is written, by the key they belong to."""
    found: dict[str, list[str]] = {}
    lines: list[str] = []
    for line in dump_yaml(record).splitlines():
        if line and not line.startswith((" ", "-", "{")):
            lines = found.setdefault(line.split(":", 1)[0], [])
        lines.append(line)
    return dict(found)


def _field_by_field(text: str, old: Any, new: Any, *, keys: tuple[str, ...]) -> str | None:  # noqa: ANN401
    held, wanted = lines_by_key(old), lines_by_key(new)
    for key in dict.fromkeys((*held, *wanted)):
        if held.get(key) != wanted.get(key):
            changed = _put(text, (*keys, key), wanted.get(key))
            if changed is None:
                return None
            text = changed
    return text


def _put(text: str, keys: Sequence[str], lines: Sequence[str] | None) -> str | None:
    """Return the text with other lines at a key or entry, or without it; None where it cannot."""
    root, _problems = read_tree(text, _HERE)
    if not isinstance(root, BlockNode):
        return None
    known: list[Node] = [root]
    for depth, key in enumerate(keys):
        inner = _inside(known[-1], key)
        if inner is None:
            return _added(text, root, known[-1], keys=keys[depth:], lines=lines)
        known.append(inner)
    return _Rows(text, root).replaced(known[-2], keys[-1], lines)


def _inside(node: Node, key: str) -> Node | None:
    if isinstance(node, BlockNode):
        return node.get(key)
    if isinstance(node, ListNode):
        return next((item for item in node.items if _id_of(item) == key), None)
    return None


def _id_of(item: Node) -> str | None:
    name = item.get("id") if isinstance(item, BlockNode) else None
    return name.text if isinstance(name, TextNode) else None


def _added(
    text: str, root: BlockNode, node: Node, *, keys: Sequence[str], lines: Sequence[str] | None
) -> str | None:
    """Return the text with lines that are not there yet, below the keys that lead to them."""
    if lines is None:
        return text
    for key in reversed(keys[:-1]):
        lines = [f"{key}:", *(_STEP + line for line in lines)]
    return _Rows(text, root).with_lines(node, lines)


class _Rows:
    """The rows of a text beside the nodes that stand in it."""

    def __init__(self, text: str, root: BlockNode) -> None:
        self.rows = text.splitlines()
        self.root = root
        self.starts = sorted(_rows_of(root))

    def replaced(self, holder: Node, key: str, lines: Sequence[str] | None) -> str | None:
        """Return the text with other lines for a key of a block or an entry of a list."""
        if isinstance(holder, ListNode):
            return self._with_item(holder, key, lines)
        if isinstance(holder, BlockNode):
            return self._with_key(holder, key, lines)
        return None

    def _with_item(self, holder: ListNode, key: str, lines: Sequence[str] | None) -> str | None:
        item = _inside(holder, key)
        is_last = lines is None and len(holder.items) == 1
        if item is None or is_last or self._is_in_brackets(holder):
            return None
        return self._swapped(item.place.line - 1, holder.place.column - 1, item, lines=lines)

    def _with_key(self, holder: BlockNode, key: str, lines: Sequence[str] | None) -> str | None:
        name, value = next(each for each in holder.entries if each[0].text == key)
        row, column = name.place.line - 1, name.place.column - 1
        if self._is_on_one_line(name, value) and lines is not None and len(lines) == 1:
            return self._with_value(name, value, lines[0])
        # Before the first key of an entry stands its hyphen, between braces another key.
        if self.rows[row][:column].strip() or self._is_in_brackets(holder):
            return None
        return self._swapped(row, column, value, lines=lines)

    def with_lines(self, holder: Node, lines: Sequence[str]) -> str | None:
        """Return the text with lines put behind the last key or entry of a block or list."""
        is_empty = isinstance(holder, ListNode) and not holder.items
        if isinstance(holder, TextNode) or is_empty or self._is_in_brackets(holder):
            return None
        end = self._end(max(_rows_of(holder)))
        column = holder.place.column - 1
        return self._joined(end, end, [" " * column + line if line else line for line in lines])

    def _swapped(self, row: int, column: int, node: Node, *, lines: Sequence[str] | None) -> str:
        new = [" " * column + line if line else line for line in lines or ()]
        return self._joined(row, self._end(max(row, *_rows_of(node))), new)

    def _joined(self, start: int, end: int, new: Sequence[str]) -> str:
        return "\n".join([*self.rows[:start], *new, *self.rows[end:]]) + "\n"

    def _end(self, last: int) -> int:
        """Return the row behind a node: before what follows it, and before that one's comments."""
        end = next((row for row in self.starts if row > last), len(self.rows))
        while end > last + 1 and self._is_blank_or_comment(end - 1):
            end -= 1
        return end

    def _is_blank_or_comment(self, row: int) -> bool:
        line = self.rows[row].strip()
        return not line or line.startswith("#")

    def _is_in_brackets(self, node: Node) -> bool:
        row, column = node.place.line - 1, node.place.column - 1
        if isinstance(node, BlockNode):
            return self.rows[row][:column].rstrip().endswith("{")
        return self.rows[row][column : column + 1] == "["

    def _is_on_one_line(self, name: TextNode, value: Node) -> bool:
        return isinstance(value, TextNode) and (
            value.is_blank or value.place.line == name.place.line
        )

    def _with_value(self, name: TextNode, value: Node, line: str) -> str | None:
        """Return the text with another value on its line; a comment behind it stays."""
        if not isinstance(value, TextNode):
            return None
        row, start = name.place.line - 1, name.place.column - 1 + len(name.text)
        end = start + 1
        if not value.is_blank:
            end = value.place.column - 1 + len(value.text) + 2 * value.is_quoted
        changed = self.rows[row][:start] + line.removeprefix(name.text) + self.rows[row][end:]
        return self._joined(row, row + 1, [changed])


def _rows_of(node: Node) -> Iterator[int]:
    yield node.place.line - 1
    if isinstance(node, BlockNode):
        for key, value in node.entries:
            yield key.place.line - 1
            yield from _rows_of(value)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _rows_of(item)
