"""What can be wrong with a package as a whole, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from comity.core.problems import Place, Problem
from comity.files.qti_writing import ITEM_TYPE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from comity.core.exam.items import Item
    from comity.files.qti_reading import Unknown
    from comity.files.qti_xml import Element

MANIFEST: Final = "imsmanifest.xml"
_WORDS: Final = {"NumberAnswer": "asks for a number", "Matching": "is a matching"}


def only_ours(item: Item) -> Problem:
    """Return the warning of an item that other programs pass over."""
    return Problem(
        "X413",
        f"the item {item.id} is in the package for Comity alone",
        severity="warning",
        got=f"it {_WORDS.get(type(item).__name__, 'has options whose ids are no names')}",
        expected="one best answer or several, with ids as a, b, c",
        hint="other programs will not show it; write it as a question with options for them",
    )


def no_items(root: Element) -> Problem:
    """Return the problem of a manifest without items."""
    return Problem(
        "X412",
        "the manifest names no item",
        place=root.place,
        expected=f'<resource type="{ITEM_TYPE}" href="items/iron.xml">',
        hint="export the items themselves, not only a test or a course that uses them",
    )


def no_manifest(place: Place, names: Sequence[str]) -> Problem:
    """Return the problem of a package without a manifest at its top."""
    inner = next((name for name in names if name.endswith(f"/{MANIFEST}")), None)
    return Problem(
        "X412",
        f"the package has no {MANIFEST}",
        place=place,
        got=f"it stands in a folder: {inner}" if inner else ", ".join(names[:3]),
        expected=f"{MANIFEST} at the top of the archive",
        hint="pack what is in the folder, not the folder",
    )


def not_there(place: Place, href: str) -> Problem:
    """Return the problem of a file that is named and not there."""
    return Problem(
        "X412",
        "the manifest names a file that is not in the package",
        place=place,
        got=f"'{href}'",
        expected="the path of a file in the package",
        hint="nothing is fetched from elsewhere; export the package again with all its files",
    )


def without_domain(file: str, count: int, unknown: Unknown) -> Problem:
    """Return the warning of items whose domain nobody said."""
    items = "1 item comes" if count == 1 else f"{count} items come"
    return Problem(
        "X414",
        f"{items} without domain and level, which QTI does not say",
        place=Place(file, 0, 0),
        severity="warning",
        got=f"taken as domain {unknown.domain}, level {unknown.level}",
        hint="say the domain when importing, or set it in the bank before forms are made",
    )
