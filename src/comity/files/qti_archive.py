"""Archives from strangers: looked through before anything is unpacked, and counted while it is."""

from __future__ import annotations

import stat
import zlib
from dataclasses import dataclass
from io import BytesIO
from pathlib import PurePosixPath
from typing import TYPE_CHECKING, Final
from zipfile import BadZipFile, ZipFile

from comity.core.problems import Place, Problem
from comity.files.decoding import MAX_BYTES

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from zipfile import ZipInfo

MAX_PACKED: Final = 50_000_000
MAX_FILES: Final = 10_000
MAX_UNPACKED: Final = 200_000_000
MAX_RATIO: Final = 100
MAX_DEEP: Final = 12
_SMALL: Final = 100_000
_STEP: Final = 65_536
_IS_ENCRYPTED: Final = 0x1
_ARCHIVES: Final = (".zip", ".gz", ".tgz", ".tar", ".bz2", ".xz", ".7z", ".rar", ".jar", ".imscc")


@dataclass(frozen=True, slots=True)
class Archive:
    """The files of an archive, not unpacked yet."""

    file: str
    names: frozenset[str]
    _zip: ZipFile

    def read(self, name: str) -> tuple[bytes, tuple[Problem, ...]]:
        """Return the bytes of a file, read in steps and counted: what a header says may be a lie.

        The archive was opened by `open_archive`, which has looked at its headers.
        """
        place = Place(f"{self.file}/{name}", 0, 0)
        packed = max(self._zip.getinfo(name).compress_size, 1)
        parts: list[bytes] = []
        size = 0
        try:
            with self._zip.open(name) as stream:
                while part := stream.read(_STEP):
                    size += len(part)
                    if size > MAX_BYTES or (size > _SMALL and size > MAX_RATIO * packed):
                        return b"", (_bomb(place, f"more than {size:,} bytes"),)
                    parts.append(part)
        except (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
            return b"", (_broken(place, str(error)),)
        return b"".join(parts), ()


def open_archive(data: bytes, file: str) -> tuple[Archive | None, tuple[Problem, ...]]:
    """Return an archive that is safe to read from, or everything for which it is refused."""
    place = Place(file, 0, 0)
    if len(data) > MAX_PACKED:
        return None, (_bomb(place, f"{len(data):,} bytes, packed"),)
    try:
        packed = ZipFile(BytesIO(data))
    except (BadZipFile, ValueError, NotImplementedError, EOFError) as error:
        return None, (_broken(place, str(error)),)
    entries = packed.infolist()
    problems = (*_of_sizes(entries, place), *_of_names(entries, place))
    if problems:
        return None, problems
    names = frozenset(entry.filename for entry in entries if not entry.is_dir())
    return Archive(file, names, packed), ()


def _of_sizes(entries: Sequence[ZipInfo], place: Place) -> Iterator[Problem]:
    if len(entries) > MAX_FILES:
        yield _bomb(place, f"{len(entries):,} files")
    unpacked = sum(entry.file_size for entry in entries)
    if unpacked > MAX_UNPACKED:
        yield _bomb(place, f"{unpacked:,} bytes, unpacked")
    for entry in entries:
        if entry.file_size > max(_SMALL, MAX_RATIO * entry.compress_size):
            yield _bomb(place, f"{entry.filename}, which becomes {entry.file_size:,} bytes")
            return


def _of_names(entries: Sequence[ZipInfo], place: Place) -> Iterator[Problem]:
    first: dict[str, str] = {}
    for entry in entries:
        name = entry.filename
        if reason := _unsafe(entry):
            yield Problem(
                "X411",
                "a file of the package has a name or kind that is not safe",
                place=place,
                got=f"'{name}', {reason}",
                expected="ordinary files below the folder of the package",
                hint="pack it anew from a folder with ordinary files",
            )
            return
        earlier = first.setdefault(name.casefold().rstrip("/"), name)
        if earlier is not name:
            yield Problem(
                "X411",
                "two files of the package have one name",
                place=place,
                got=f"'{earlier}' and '{name}'",
                expected="names that differ in more than capitals",
                hint="rename one of them",
            )
            return


def _unsafe(entry: ZipInfo) -> str:
    """Return why a file may not be in a package; nothing for an ordinary one."""
    name, path = entry.filename, PurePosixPath(entry.filename)
    kind = stat.S_IFMT(entry.external_attr >> 16)
    reasons = {
        "which leads out of the package": ".." in path.parts,
        "which begins at the root of a disk": path.is_absolute() or ":" in name,
        "with a backslash": "\\" in name or "\\" in entry.orig_filename,
        "with a sign that cannot be seen": not name.isprintable(),
        "which is a link": kind == stat.S_IFLNK,
        "which is no ordinary file": kind not in {0, stat.S_IFREG, stat.S_IFDIR, stat.S_IFLNK},
        f"which is more than {MAX_DEEP} folders deep": len(path.parts) > MAX_DEEP + 1,
        "which is locked by a password": bool(entry.flag_bits & _IS_ENCRYPTED),
        "which is an archive itself": name.lower().endswith(_ARCHIVES),
    }
    return next((reason for reason, is_so in reasons.items() if is_so), "")


def _bomb(place: Place, got: str) -> Problem:
    return Problem(
        "X410",
        "the package is larger than one of items can be",
        place=place,
        got=got,
        expected=f"at most {MAX_FILES:,} files, {MAX_UNPACKED // 1_000_000} MB unpacked, and"
        f" {MAX_RATIO} times what is packed",
        hint="export fewer items at once, and leave films and pictures out",
    )


def _broken(place: Place, got: str) -> Problem:
    return Problem(
        "X401",
        "the package cannot be unpacked",
        place=place,
        got=f"from the reader: {got or 'nothing said'}",
        expected="a zip archive",
        hint="export it again; a file cut off by a broken download looks like this",
    )
