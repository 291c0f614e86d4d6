"""The problems of files that are good YAML and not what was asked for, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from comity.core.declaring.fields import DeclaredField, Path, fields_of
from comity.core.declaring.tagged import Tagged
from comity.core.problems import Place, Problem
from comity.files.nodes import BlockNode, Node, TextNode
from comity.files.wording import listed, nearest, quoted, shortened

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from comity.core.declaring.scalar import Scalar

_UNKNOWN_WORDS: Final = frozenset(("unknown", "not known", "n/a", "none", "?", "-"))


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be read: its name, its path, and its declaration if it is a field's value."""

    label: str
    path: Path
    declared: DeclaredField | None = None

    def entry(self, position: int) -> Asked:
        """Return how to ask for an entry of a list."""
        return Asked(f"an entry of {self.label}", (*self.path, position))

    def under(self, name: str) -> Asked:
        """Return how to ask for a value under a name of the writer's choice."""
        return Asked(f'"{shortened(name)}"', (*self.path, name))


# ------------------------------------------------------------------------- one piece of text


def not_text(node: Node, asked: Asked, noun: str) -> Problem:
    """Return the problem of a list or block where one value is asked for."""
    return Problem(
        "F201",
        f"{asked.label} must be {noun}",
        place=node.place,
        got=quoted(node),
        expected="one value",
    )


def blank(place: Place, asked: Asked) -> Problem:
    """Return the problem of a key or hyphen that must have a value and has none."""
    example = asked.declared.example if asked.declared else None
    return Problem(
        "F204",
        f"{asked.label} has no value",
        place=place,
        got="nothing",
        expected=f"e.g. {example}" if example else "",
    )


def unparsed(node: TextNode, asked: Asked, scalar: Scalar, *, hint: str) -> Problem:
    """Return the problem of a text that is not the value asked for."""
    declared = asked.declared
    if declared and declared.default is None and node.text.lower() in _UNKNOWN_WORDS:
        hint = "leave the line out while it is not known"
    example = declared.example if declared and declared.example else scalar.example
    return Problem(
        scalar.code,
        f"{asked.label} must be {scalar.noun}",
        place=node.place,
        got=quoted(node),
        expected=f"e.g. {example}",
        hint=hint,
    )


def no_choice(node: TextNode, asked: Asked, choices: Sequence[str]) -> Problem:
    """Return the problem of a word that is none of those asked for."""
    meant = nearest(node.text, choices)
    return Problem(
        "F415",
        f"{asked.label} must be one of a few words",
        place=node.place,
        got=quoted(node),
        expected=listed(choices),
        hint=f"write {meant}" if meant else "",
    )


def not_yes_or_no(node: TextNode, asked: Asked) -> Problem:
    """Return the problem of a text that is neither yes nor no."""
    may_be_left_out = asked.declared is not None and asked.declared.default is None
    return Problem(
        "F416",
        f"{asked.label} must be yes or no",
        place=node.place,
        got=quoted(node),
        expected="yes or no",
        hint="leave the line out while it is not known" if may_be_left_out else "",
    )


def find_out_of_bounds(
    node: TextNode, asked: Asked, scalar: Scalar, *, value: object
) -> Problem | None:
    """Return the problem of a value below the least or above the greatest that is declared."""
    declared = asked.declared
    if declared is None:
        return None
    least: Any = declared.at_least
    most: Any = declared.at_most
    if (least is None or least <= value) and (most is None or value <= most):
        return None
    return Problem(
        "F301",
        f"{asked.label} is out of its range",
        place=node.place,
        got=quoted(node),
        expected=_range(
            least if least is None else scalar.write(least),
            most if most is None else scalar.write(most),
        ),
    )


def _range(least: str | None, most: str | None) -> str:
    if least is None:
        return f"at most {most}"
    return f"at least {least}" if most is None else f"from {least} to {most}"


# ------------------------------------------------------------------------ lists and blocks


def not_list(node: Node, asked: Asked) -> Problem:
    """Return the problem of something else where a list is asked for."""
    return Problem(
        "F201",
        f"{asked.label} must be a list",
        place=node.place,
        got=quoted(node),
        expected="entries below each other, each begun with a hyphen",
        hint="put a hyphen and a space before the first key, and two spaces before the others"
        if isinstance(node, BlockNode)
        else "",
    )


def find_wrong_length(node: Node, asked: Asked, length: int) -> Problem | None:
    """Return the problem of a list with fewer or more entries than are declared."""
    declared = asked.declared
    if declared is None:
        return None
    least, most = declared.at_least or 0, declared.at_most
    if length >= least and (most is None or length <= most):
        return None
    return Problem(
        "F303",
        f"{asked.label} has too {'few' if length < least else 'many'} entries",
        place=node.place,
        got=str(length),
        expected=_range(str(least) if least else None, None if most is None else str(most)),
    )


def not_block(node: Node, asked: Asked) -> Problem:
    """Return the problem of something else where a block of keys is asked for."""
    return Problem(
        "F201",
        f"{asked.label} must be a block of keys",
        place=node.place,
        got=quoted(node),
        expected="lines such as name: value",
    )


def find_unknown_keys(node: BlockNode, record: type) -> Iterator[Problem]:
    """Yield a problem for each key that the record does not have."""
    known = [declared.key for declared in fields_of(record)]
    accepted = {*known, *_tag_keys(record)}
    present = {key.text for key, _ in node.entries}
    free = [key for key in known if key not in present]
    for key, _ in node.entries:
        if key.text not in accepted:
            meant = nearest(key.text, free)
            yield Problem(
                "F202",
                f"there is no key {quoted(key)} here",
                place=key.place,
                expected=listed(free) if free and not meant else "",
                hint=f"write {meant}" if meant else "delete the key, or look for where it belongs",
            )


def find_missing_keys(node: BlockNode, record: type) -> Iterator[Problem]:
    """Yield one problem that names all keys which must be there and are not."""
    present = {key.text for key, _ in node.entries}
    missing = [
        declared
        for declared in fields_of(record)
        if declared.is_required and declared.key not in present
    ]
    if missing:
        names = ", ".join(f'"{declared.key}"' for declared in missing)
        yield Problem(
            "F203",
            f"a key is missing: {names}" if len(missing) == 1 else f"keys are missing: {names}",
            place=node.place,
            expected=f"e.g. {missing[0].key}: {missing[0].example}" if missing[0].example else "",
            hint=f"{missing[0].key}: {missing[0].doc}",
        )


def _tag_keys(record: type) -> tuple[str, ...]:
    return (record.tag_key,) if issubclass(record, Tagged) else ()


# -------------------------------------------------------------------------------- families


def no_kind(node: BlockNode, family: type[Tagged], named: Sequence[str]) -> Problem:
    """Return the problem of a block that does not say which member of a family it is."""
    return Problem(
        "F206",
        f'the block must say one "{family.tag_key}"',
        place=node.place,
        got=f"both {' and '.join(named)}" if named else "none",
        expected=listed(tuple(family.members())),
        hint="give each an entry of its own" if named else "",
    )


def unknown_kind(kind: Node, family: type[Tagged]) -> Problem:
    """Return the problem of a kind that no member of a family has."""
    members = tuple(family.members())
    meant = nearest(kind.text, members) if isinstance(kind, TextNode) else None
    return Problem(
        "F205",
        f'the "{family.tag_key}" must be one that is known',
        place=kind.place,
        got=quoted(kind),
        expected=listed(members),
        hint=f"write {meant}" if meant else "",
    )


# ------------------------------------------------------------------------------ whole files


def find_other_sort(node: Node, record: type, sorts: Mapping[str, type]) -> Problem | None:
    """Return the one problem of a file that is good for something else."""
    if not isinstance(node, BlockNode):
        return None
    keys = {key.text for key, _ in node.entries}
    n_known = {name: len(keys & _keys(sort)) for name, sort in sorts.items()}
    wanted = next((name for name, sort in sorts.items() if sort is record), None)
    if wanted is None or 2 * n_known[wanted] > len(keys):
        return None
    likeliest = max(n_known, key=n_known.__getitem__)
    if 2 * n_known[likeliest] <= len(keys):
        return None
    return Problem(
        "F207",
        f"the file is not {wanted}",
        place=node.place,
        got=f"what looks like {likeliest}",
        expected=wanted,
        hint="check which file stands where in the command",
    )


def _keys(record: type) -> set[str]:
    return {declared.key for declared in fields_of(record)}
