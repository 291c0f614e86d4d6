"""Banks as QTI packages and back.

A package holds an item a file, the manifest, and what QTI cannot say (domain, level, reviews, which
items to keep apart, numbers and matchings) in a file of ours, which other programs pass over.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Final
from urllib.parse import unquote
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from comity.core.declaring.texts import slug
from comity.core.exam.items import Bank, BestAnswer, SeveralAnswers
from comity.core.problems import Place, Problem, has_errors, sorted_by_place
from comity.files.decoding import unreadable_file
from comity.files.dumping import dump_yaml
from comity.files.item_bank import read_bank
from comity.files.qti_archive import MAX_PACKED, open_archive
from comity.files.qti_package_problems import (
    MANIFEST,
    no_items,
    no_manifest,
    not_there,
    only_ours,
    without_domain,
)
from comity.files.qti_reading import Unknown, read_item
from comity.files.qti_writing import (
    SIDECAR,
    can_be_written,
    file_of,
    item_xml,
    manifest_xml,
)
from comity.files.qti_xml import parse_xml

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from comity.core.exam.items import Item
    from comity.files.qti_archive import Archive
    from comity.files.qti_reading import ReadItem
    from comity.files.qti_xml import Element

_OLDEST: Final = (1980, 1, 1, 0, 0, 0)
_ITEM_TYPE: Final = "imsqti_item_xmlv"


@dataclass(frozen=True, slots=True)
class Exported:
    """A package, the same bytes for the same items; warnings for what others will not see."""

    data: bytes
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Imported:
    """What was read from a package.

    Parameters
    ----------
    bank : Bank or None
        None where nothing could be read.
    problems : tuple of Problem
        Errors where the package is refused or an item is broken; warnings for what stays outside.
    left_out : mapping
        From names of files to the XML of items that stayed outside, so that nothing is lost.
    texts : mapping
        From names of files, as they stand in the problems, to what stands in them.
    """

    bank: Bank | None
    problems: tuple[Problem, ...]
    left_out: Mapping[str, str]
    texts: Mapping[str, str]

    @property
    def is_sound(self) -> bool:
        """Whether no problem stops the work."""
        return not has_errors(self.problems)


def export_package(
    bank: Bank, *, cautions: Mapping[str, tuple[str, ...]] | None = None
) -> Exported:
    """Return a bank as a QTI 3.0 package.

    Parameters
    ----------
    bank : Bank
        Its items, with the cases that they name.
    cautions : mapping, optional
        From ids of items to the cautions their models gave them; others have their own.
    """
    written = [item for item in bank.items if can_be_written(item)]
    files = {
        MANIFEST: manifest_xml(bank, written),
        SIDECAR: dump_yaml(bank),
    }
    for item in written:
        if isinstance(item, BestAnswer | SeveralAnswers):
            files[file_of(item)] = item_xml(item, bank, cautions=cautions or {})
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(ZipInfo(name, _OLDEST), text, ZIP_DEFLATED)
    kept = tuple(only_ours(item) for item in bank.items if not can_be_written(item))
    return Exported(packed.getvalue(), kept)


def load_package(path: Path, *, unknown: Unknown | None = None) -> Imported:
    """Return the items of a package file."""
    try:
        with path.open("rb") as stream:
            data = stream.read(MAX_PACKED + 1)
    except OSError as error:
        problem = unreadable_file(str(path), f"from the system: {error.strerror or error}")
        return Imported(None, (problem,), {}, {})
    return import_package(data, str(path), unknown=unknown)


def import_package(data: bytes, file: str, *, unknown: Unknown | None = None) -> Imported:
    """Return the items of a package of QTI 3.0, 2.2 or 2.1.

    Parameters
    ----------
    data : bytes
        The package.
    file : str
        As the user named it.
    unknown : Unknown, optional
        Domain and level of items that come without ours.
    """
    archive, problems = open_archive(data, file)
    if archive is None:
        return Imported(None, problems, {}, {})
    reading = _Reading(archive, unknown or Unknown(), [], {}, {})
    return reading.read()


@dataclass(frozen=True, slots=True)
class _Reading:
    """One package being read; problems, texts and what is left out gather on the way."""

    archive: Archive
    unknown: Unknown
    problems: list[Problem]
    texts: dict[str, str]
    left_out: dict[str, str]

    def read(self) -> Imported:
        names = self._item_files()
        ours = self._sidecar()
        found = [item for name in names if (item := self._item(name)) is not None]
        bank = self._bank(found, ours)
        return Imported(bank, sorted_by_place(self.problems), self.left_out, self.texts)

    def _bytes(self, name: str) -> bytes | None:
        data, problems = self.archive.read(name)
        self.problems.extend(problems)
        if problems:
            return None
        self.texts[f"{self.archive.file}/{name}"] = data.decode("utf-8", "replace")
        return data

    def _item_files(self) -> Sequence[str]:
        place = Place(self.archive.file, 0, 0)
        if MANIFEST not in self.archive.names:
            self.problems.append(no_manifest(place, sorted(self.archive.names)))
            return ()
        data = self._bytes(MANIFEST)
        if data is None:
            return ()
        root, problems = parse_xml(data, f"{self.archive.file}/{MANIFEST}")
        self.problems.extend(problems)
        if root is None:
            return ()
        named = [each for each in root.walk() if each.name == "resource" and _is_item(each)]
        if not named:
            self.problems.append(no_items(root))
        found = (name for each in named if (name := self._named(each)) is not None)
        return tuple(dict.fromkeys(found))

    def _named(self, resource: Element) -> str | None:
        """Return the file of an item, if it is there."""
        href = unquote(resource.attributes.get("href", ""))
        name = str(PurePosixPath(href))
        if name in self.archive.names:
            return name
        self.problems.append(not_there(resource.place, href))
        return None

    def _item(self, name: str) -> ReadItem | None:
        data = self._bytes(name)
        if data is None:
            return None
        file = f"{self.archive.file}/{name}"
        found = read_item(data, file, unknown=self.unknown)
        self.problems.extend(found.problems)
        if found.item is None:
            self.left_out[name] = self.texts[file]
            return None
        return found

    def _sidecar(self) -> Bank | None:
        if SIDECAR not in self.archive.names or (data := self._bytes(SIDECAR)) is None:
            return None
        file = f"{self.archive.file}/{SIDECAR}"
        loaded = read_bank(data.decode("utf-8", "replace"), file)
        self.problems.extend(loaded.problems)
        return loaded.value

    def _bank(self, found: Sequence[ReadItem], ours: Bank | None) -> Bank | None:
        known = {item.id: item for item in ours.items} if ours is not None else {}
        items: list[Item] = [
            _with_ours(each.item, known.get(each.item.id), each.vignette)
            for each in found
            if each.item is not None
        ]
        read = {item.id for item in items}
        items += [item for item in known.values() if not can_be_written(item)]
        if not items:
            return None
        if unknown := [id_ for id_ in read if id_ not in known]:
            self.problems.append(without_domain(self.archive.file, len(unknown), self.unknown))
        in_order = {id_: number for number, id_ in enumerate(known)}
        items.sort(key=lambda item: in_order.get(item.id, len(in_order)))
        name = slug(PurePosixPath(self.archive.file).stem) or "imported"
        empty = ours or Bank(bank=name, items=())
        bank = replace(empty, items=tuple(items))
        self.problems.extend(_complaints(bank, self.archive.file))
        return bank


def _with_ours(
    item: BestAnswer | SeveralAnswers, ours: Item | None, vignette: str
) -> BestAnswer | SeveralAnswers:
    """Return an item as it was read, with what QTI does not say from our own file."""
    if isinstance(item, BestAnswer) and isinstance(ours, BestAnswer):
        return replace(
            ours,
            stem=item.stem,
            explanation=item.explanation,
            options=item.options,
            answer=item.answer,
            errors=item.errors,
        )
    if isinstance(item, SeveralAnswers) and isinstance(ours, SeveralAnswers):
        return replace(
            ours,
            stem=item.stem,
            explanation=item.explanation,
            options=item.options,
            answers=item.answers,
            errors=item.errors,
        )
    return replace(item, stem=f"{vignette}\n{item.stem}") if vignette else item


def _complaints(bank: Bank, file: str) -> Iterator[Problem]:
    for complaint in bank.complaints():
        at = complaint.path[1] if len(complaint.path) > 1 else None
        got = bank.items[at].id if isinstance(at, int) else ""
        yield Problem(
            complaint.code, complaint.message, place=Place(file, 0, 0), got=got, hint=complaint.hint
        )


def _is_item(resource: Element) -> bool:
    return resource.attributes.get("type", "").lower().startswith(_ITEM_TYPE)
